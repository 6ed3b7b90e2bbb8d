//! `[[event]]` and `[[fault]]`.

mod control;
mod struck;
mod water;

use tepid_sim::ids::{
    BackupId, BoxId, ChillerId, CircuitId, ContactId, FanId, HeaterId, LightId, ProbeId, PumpId, TankId,
};
use tepid_sim::scenario::{
    Cover, Effect, Happening, Lasts, Origin, Restart, Room, RoomDevice, Tank, Water, When, called,
};
use tepid_sim::time::{DAY, Millis, SECOND};

use super::calendar::{self, StartDate};
use super::equipment::{collect, names, tank_of};
use super::tank::USUAL_LID;
use super::{Index, the_only};
use crate::fields::happening::{EVENT, FAULT, PARTICULAR, used_by};
use crate::names::Names;
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;
use struck::Struck;

/// When a fault of the scenario itself strikes where its file does not say; one of a set is tried at the worst phase.
const USUAL_FAULT_TIME: When = When::At(DAY);

/// How long a wild sample stands, ms: as long as the usual decision interval, so that a controller meets it once.
pub(crate) const ONE_SAMPLE_MS: Millis = 10 * SECOND;

/// What happenings refer to; `None` where it could not be read and is reported by its own section.
pub(super) struct Around<'a> {
    pub index: &'a Index,
    pub tanks: Option<&'a [Tank]>,
    pub water: Option<&'a Water>,
    pub room: Option<&'a Room>,
    /// The date of day 1.
    pub start_date: StartDate,
    /// Somebody or something tops off.
    pub topped_off: bool,
    pub flow_tables: &'a [&'a Table],
    pub contact_tables: &'a [&'a Table],
    pub problems: &'a Problems,
}

/// A fault of a file: its set, and one case per component it may strike.
pub(super) struct Fault {
    pub set: Option<String>,
    pub cases: Vec<Happening>,
}

pub(super) fn events(tables: &[&Table], around: &Around<'_>) -> Result<Vec<Happening>, Reported> {
    let read = collect(tables, |table| {
        let reader = Reader::open(table, &EVENT, around.problems);
        let (daily, at) = (
            reader.optional_time_of_day("daily"),
            calendar::optional_moment(&reader, "at", around.start_date),
        );
        let cases = happenings(&reader, around, false);
        let when = match (daily?, at?) {
            (Some(time), None) => When::Daily(time),
            (None, Some(moment)) => When::At(moment),
            (None, None) => return Err(reader.missing("daily")),
            (Some(_), Some(_)) => {
                let problem = Problem::new(
                    "daily-and-at",
                    reader.place_of("at"),
                    "an event has `daily` or `at`, not both",
                )
                .label("leave one of the two out");
                return Err(reader.report(problem));
            }
        };
        let cases = cases?;
        if let (When::Daily(_), Some(Lasts::For(lasts))) = (when, cases.first().map(|case| case.lasts))
            && lasts >= DAY
        {
            let problem = Problem::new(
                "out-of-range",
                reader.place_of("lasts"),
                "a daily event lasts less than a day",
            )
            .expected("less than 24 h");
            return Err(reader.report(problem));
        }
        if let (When::Daily(_), Some(Lasts::ToTheEnd)) = (when, cases.first().map(|case| case.lasts)) {
            return Err(reader.missing("lasts"));
        }
        Ok(cases
            .into_iter()
            .map(|case| Happening { when, ..case })
            .collect::<Vec<_>>())
    })?;
    Ok(read.into_iter().flatten().collect())
}

pub(super) fn faults(tables: &[&Table], around: &Around<'_>) -> Result<Vec<Fault>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &FAULT, around.problems);
        let set = reader.optional_text("set");
        let when = struck::when(&reader, around);
        let in_set = reader.given("set");
        let cases = happenings(&reader, around, in_set);
        let (set, when) = (set?, when?);
        if let Some(name) = &set
            && name == crate::fault_sets::NONE
        {
            let problem = Problem::new("set-none", reader.place_of("set"), "the set `none` has no faults")
                .expected("another name");
            return Err(reader.report(problem));
        }
        if set.is_none() && matches!(when, Some(Struck::At(When::WorstPhase))) {
            let problem = Problem::new(
                "worst-phase-without-set",
                reader.place_of("when"),
                "only a case of a fault set can strike at the worst phase",
            )
            .label("a study finds the moment")
            .expected("`set` with the name of a fault set, or a time");
            return Err(reader.report(problem));
        }
        let cases = cases?;
        let stale = |case: &Happening| {
            matches!(
                case.effect,
                Effect::ControllerHung {
                    restart: Restart::Stale(_),
                    ..
                }
            )
        };
        if !matches!(when, None | Some(Struck::At(When::At(_) | When::WorstPhase))) && cases.iter().any(stale)
        {
            let problem = Problem::new(
                "stale-without-time",
                reader.place_of("when"),
                "a state saved before something unforeseen cannot be kept ready",
            )
            .label("waits for something")
            .expected("a time, such as \"36 h\"");
            return Err(reader.report(problem));
        }
        let cases: Result<Vec<Happening>, Reported> = cases
            .into_iter()
            .map(|case| {
                let usual = if set.is_some() {
                    When::WorstPhase
                } else {
                    USUAL_FAULT_TIME
                };
                let when = match when {
                    Some(Struck::At(when)) => when,
                    Some(Struck::Worn(lasting)) => struck::worn(&reader, lasting, &case)?,
                    None => usual,
                };
                Ok(Happening {
                    when,
                    origin: Origin::Fault,
                    ..case
                })
            })
            .collect();
        Ok(Fault { set, cases: cases? })
    })
}

/// The happenings of one table, all at time zero: the caller knows when. More than one only where `each` component
/// is a case of its own, or where a feeding pause stops several pumps.
fn happenings(reader: &Reader<'_>, around: &Around<'_>, each: bool) -> Result<Vec<Happening>, Reported> {
    let what = reader.choice("what");
    let (name, lasts) = (reader.optional_text("name"), reader.optional_millis("lasts"));
    let what = what?;
    let effects = effects(reader, what, around, each);
    let usual = if what == "wild sample" {
        Lasts::For(ONE_SAMPLE_MS)
    } else {
        Lasts::ToTheEnd
    };
    let (name, lasts) = (name?, lasts?.map_or(usual, Lasts::For));
    let effects = effects?;
    let several = effects.len() > 1;
    Ok(effects
        .into_iter()
        .map(|(subject, effect)| Happening {
            name: match &name {
                Some(name) if several => format!("{name}: {subject}"),
                Some(name) => name.clone(),
                None if what == "contact welded" && is_solid_state(around, &subject) => {
                    described("contact shorted", &subject)
                }
                None => described(what, &subject),
            },
            when: When::At(0),
            lasts,
            effect,
            origin: Origin::Event,
        })
        .collect())
}

/// What happens to what, in words: "relay left welded", "heater left dead", "feeding pause".
#[must_use]
pub fn described(what: &str, subject: &str) -> String {
    match what {
        "contact welded" => format!("{subject} welded"),
        "contact shorted" => format!("{subject} shorted"),
        "contact stuck open" => format!("{subject} stuck open"),
        "contact chatters" => format!("{subject} chatters"),
        "box welded" => format!("all contacts in box {subject} welded"),
        "box stuck open" => format!("all contacts in box {subject} stuck open"),
        "dial off" => format!("{subject} off"),
        "dial drifts" => format!("{subject} drifts"),
        "dial set" => format!("{subject} set wrong"),
        "probe in the wrong tank" => format!("{} in the wrong tank", called("probe", subject)),
        "wild sample" => format!("wild sample of {}", called("probe", subject)),
        "probe out of the water" => format!("{} out of the water", called("probe", subject)),
        "water change" | "leak" => format!("{what} in {subject}"),
        _ => match what.split_once(' ') {
            Some((
                kind @ ("heater" | "light" | "pump" | "probe" | "fan" | "chiller" | "circuit" | "backup"),
                state,
            )) => {
                format!("{} {state}", called(kind, subject))
            }
            _ => what.to_owned(),
        },
    }
}

/// What a table does, each with the name of what it does it to.
fn effects(
    reader: &Reader<'_>,
    what: &'static str,
    around: &Around<'_>,
    each: bool,
) -> Result<Vec<(String, Effect)>, Reported> {
    let index = around.index;
    let struck = |field: &str, names: &Names, effect: &dyn Fn(usize) -> Effect| {
        let positions: Vec<usize> = match reader
            .optional_reference(field, names)?
            .or_else(|| the_only(names))
        {
            Some(position) => vec![position],
            None if each => (0..names.len())
                .filter(|at| field != "contact" || switches(around, *at))
                .collect(),
            None => return Err(reader.missing_name(field, names)),
        };
        let named = |position: usize| names.known().nth(position).unwrap_or_default().to_owned();
        Ok(positions
            .into_iter()
            .map(|position| (named(position), effect(position)))
            .collect())
    };
    let by = || stated(reader, "by");
    let plain = |effect| Ok(vec![(String::new(), effect)]);
    // A field that means nothing for what happens is a mistake, not a silence.
    let particular: Vec<&str> = PARTICULAR.iter().map(|field| field.name).collect();
    reader.only(&particular, used_by(what), what)?;
    match what {
        "feeding pause" => {
            let heaters = reader.choice("heaters")?;
            let mut effects = feeding_pause(reader, around)?;
            if heaters == "held off" {
                effects.push(("heaters".to_owned(), Effect::HeatersHeldOff));
            }
            Ok(effects)
        }
        "pump stopped" => struck("pump", &index.pumps, &|at| Effect::PumpStopped(PumpId(at))),
        "contact welded" => struck("contact", &index.contacts, &|at| {
            Effect::ContactWelded(ContactId(at))
        }),
        "contact stuck open" => struck("contact", &index.contacts, &|at| {
            Effect::ContactStuckOpen(ContactId(at))
        }),
        "box welded" => struck("box", &index.boxes, &|at| Effect::BoxWelded(BoxId(at))),
        "box stuck open" => struck("box", &index.boxes, &|at| Effect::BoxStuckOpen(BoxId(at))),
        "heater dead" => struck("heater", &index.heaters, &|at| Effect::HeaterDead(HeaterId(at))),
        "dial off" => {
            let by_k = by()?;
            let field_given = reader.given("contact");
            if !field_given {
                return Err(reader.missing_name("contact", &index.contacts));
            }
            struck("contact", &index.contacts, &|at| Effect::DialOff {
                contact: ContactId(at),
                by_k,
            })
        }
        "contact chatters" => {
            let period_ms = reader.millis("every")?;
            let mut chattering = struck("contact", &index.contacts, &|at| Effect::ContactChatters {
                contact: ContactId(at),
                period_ms,
            })?;
            let all = chattering.len();
            chattering.retain(|(name, _)| !is_solid_state(around, name));
            if all > 0 && chattering.is_empty() {
                let problem = Problem::new(
                    "nothing-parts",
                    reader.place_of("what"),
                    "a solid-state switch does not chatter: it has nothing that parts",
                )
                .expected("`contact welded` (it fails shorted), or another contact");
                return Err(reader.report(problem));
            }
            Ok(chattering)
        }
        "dial drifts" | "dial set" => control::dial(reader, what, around),
        "controller hung" => plain(control::hung(reader)?),
        "heater unplugged" => struck("heater", &index.heaters, &|at| {
            Effect::HeaterUnplugged(HeaterId(at))
        }),
        "mains voltage" => plain(Effect::MainsVoltage {
            of_nominal_frac: stated(reader, "of_nominal")?,
        }),
        "circuit tripped" => struck("circuit", &index.circuits, &|at| {
            Effect::CircuitTripped(CircuitId(at))
        }),
        "backup dead" => struck("backup", &index.backups, &|at| Effect::BackupDead(BackupId(at))),
        "fan stopped" => struck("fan", &index.fans, &|at| Effect::FanStopped(FanId(at))),
        "light out" => struck("light", &index.lights, &|at| Effect::LightOut(LightId(at))),
        "light left on" => struck("light", &index.lights, &|at| Effect::LightLeftOn(LightId(at))),
        "chiller dead" => struck("chiller", &index.chillers, &|at| {
            Effect::ChillerDead(ChillerId(at))
        }),
        "chiller blocked" => {
            let left_frac = reader.quantity("left")?;
            struck("chiller", &index.chillers, &|at| Effect::ChillerBlocked {
                chiller: ChillerId(at),
                left_frac,
            })
        }
        "probe off" => {
            let by_k = by()?;
            struck("probe", &index.probes, &|at| Effect::ProbeOffset {
                probe: ProbeId(at),
                by_k,
            })
        }
        "probe drifts" => {
            let k_per_day = stated(reader, "per_day")?;
            struck("probe", &index.probes, &|at| Effect::ProbeDrifts {
                probe: ProbeId(at),
                k_per_day,
            })
        }
        "probe noisy" => {
            let noise_k = stated(reader, "noise")?;
            struck("probe", &index.probes, &|at| Effect::ProbeNoisy {
                probe: ProbeId(at),
                noise_k,
            })
        }
        "probe reads" | "wild sample" => {
            let reading_c = stated(reader, "to")?;
            struck("probe", &index.probes, &|at| Effect::ProbeReads {
                probe: ProbeId(at),
                reading_c,
            })
        }
        "probe in the wrong tank" => {
            let tank = tank_of(reader, index)?;
            struck("probe", &index.probes, &|at| Effect::ProbeInTank {
                probe: ProbeId(at),
                tank,
            })
        }
        "probe stuck" => struck("probe", &index.probes, &|at| Effect::ProbeStuck(ProbeId(at))),
        "probe out of the water" => {
            struck("probe", &index.probes, &|at| Effect::ProbeOutOfWater(ProbeId(at)))
        }
        "probe silent" => struck("probe", &index.probes, &|at| Effect::ProbeSilent(ProbeId(at))),
        "cover" => {
            let tank: TankId = tank_of(reader, index)?;
            let Some(word) = reader.optional_choice("cover")? else {
                return Err(reader.missing("cover"));
            };
            let cover = match word {
                "lid" => USUAL_LID,
                "mesh" => Cover::Mesh,
                _ => Cover::Open,
            };
            plain(Effect::Covered { tank, cover })
        }
        "heaters unplugged" => plain(Effect::HeatersUnplugged),
        "room shift" => plain(Effect::RoomShift { by_k: by()? }),
        "water change" => water::change(reader, around).map(|effect| vec![effect]),
        "leak" => water::leak(reader, around).map(|effect| vec![effect]),
        "top-off stopped" | "top-off stuck on" => plain(water::top_off(reader, what, around)?),
        "room heating off" | "room heating stuck on" | "room cooling off" | "room cooling stuck on" => {
            plain(room_device(reader, what, around)?)
        }
        "network down" => plain(Effect::NetworkDown),
        "alerts muted" => plain(Effect::AlertsMuted),
        _ => plain(Effect::PowerOut),
    }
}

/// A quantity without which this happening means nothing.
fn stated(reader: &Reader<'_>, field: &str) -> Result<f64, Reported> {
    match reader.optional_quantity(field)? {
        Some(value) => Ok(value),
        None => Err(reader.missing(field)),
    }
}

/// A device of the room that is there.
fn room_device(reader: &Reader<'_>, what: &str, around: &Around<'_>) -> Result<Effect, Reported> {
    let building = around.room.ok_or(Reported)?.lumped.as_ref();
    let (device, found) = if what.starts_with("room heating") {
        (
            RoomDevice::Heating,
            building.is_some_and(|room| room.heating.is_some()),
        )
    } else {
        (
            RoomDevice::Cooling,
            building.is_some_and(|room| room.cooling.is_some()),
        )
    };
    if !found {
        let word = if device == RoomDevice::Heating {
            "heating"
        } else {
            "cooling"
        };
        let problem = Problem::new(
            "no-room-device",
            reader.place_of("what"),
            format!("`{what}`, but the room has no {word}"),
        )
        .expected(format!("`building` of [room] with its `{word}`"));
        return Err(reader.report(problem));
    }
    Ok(if what.ends_with("stuck on") {
        Effect::RoomDeviceStuckOn(device)
    } else {
        Effect::RoomDeviceOff(device)
    })
}

/// Whether a contact of this name is a solid-state switch.
fn is_solid_state(around: &Around<'_>, name: &str) -> bool {
    let mut tables = around.contact_tables.iter();
    tables.any(|table| names(table, "name") == Some(name) && names(table, "kind") == Some("solid state"))
}

/// Whether a contact switches in normal use: protective devices that only trip are no cases of a set.
fn switches(around: &Around<'_>, position: usize) -> bool {
    let kind = around
        .contact_tables
        .get(position)
        .and_then(|table| names(table, "kind"));
    !matches!(kind, Some("residual-current" | "breaker"))
}

/// The named pump, else the pumps of all flows, together.
fn feeding_pause(reader: &Reader<'_>, around: &Around<'_>) -> Result<Vec<(String, Effect)>, Reported> {
    let pumps = &around.index.pumps;
    let named = reader.optional_reference("pump", pumps)?;
    let of_flows = || {
        let mut found: Vec<usize> = Vec::new();
        for pump in around
            .flow_tables
            .iter()
            .filter_map(|flow| names(flow, "pump"))
            .filter_map(|name| pumps.find(name))
        {
            if !found.contains(&pump) {
                found.push(pump);
            }
        }
        found
    };
    let mut stopped = named.map_or_else(of_flows, |pump| vec![pump]);
    if stopped.is_empty() {
        stopped.extend(the_only(pumps));
    }
    if stopped.is_empty() {
        return Err(reader.missing_name("pump", pumps));
    }
    let named = |position: usize| pumps.known().nth(position).unwrap_or_default().to_owned();
    Ok(stopped
        .into_iter()
        .map(|pump| (named(pump), Effect::PumpStopped(PumpId(pump))))
        .collect())
}
