//! The mains are out: oxygen first, then how long the water keeps its heat, and what it takes to hold the mildest cold line.
//!
//! Every figure is a run from the target on, with nothing broken but the mains, in a room that does not change: oxygen in the coldest and the warmest,
//! heat in the coldest. What holds the line is a heater with a thermostat of its own just above it, on a battery without end; what it drew is told.

use tepid_output::records::{
    HoursToLine, OutageBacked, OutageBackup, OutageChange, OutageCourse, OutageLoad, OutageOxygen, RoomKind,
    SizeOutage,
};
use tepid_scenarios::{USUAL_WRAP_M2_K_PER_W, usual_body};
use tepid_sim::ids::{ContactId, HeaterId, TankId};
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{
    Backup, Contact, ContactKind, Effect, Happening, Heater, HeaterKind, Lasts, Load, Origin, OwnSensing,
    Reset, Scenario, SensedAt, Store, When,
};
use tepid_sim::scores::{OxygenScores, Scores, TankScores};
use tepid_sim::time::{DAY, HOUR, Millis, hours};
use tepid_strategies::Entry;
use tepid_strategies::{heater_dial, on_off};

use super::bench::{Heaters, SEED, equipped, sensed_tank};
use super::changes::{ROOM_K, covered_otherwise};
use super::{SizeError, needed_w};
use crate::budget::room_words;
use crate::exposure::HORIZON_MS;
use crate::rooms;

/// The mains go at this instant: the water has had a day to settle, ms.
const OUT_FROM_MS: Millis = DAY;

/// Where the thermostat that holds a line closes and opens above it, K. A choice: the water stays above the line, hardly warmer.
const HELD_ABOVE_K: (f64, f64) = (0.05, 0.15);

/// Energy of a battery without end, J. A choice: more than any outage takes.
const ENDLESS_J: f64 = 1e12;

/// How much sooner than with the mains on something must come about to be put down to the outage, ms. A choice.
const SOONER_MS: Millis = HOUR;

/// Joules in a watt-hour, J/Wh. Exact.
const J_PER_WH: f64 = 3600.0;

/// How fast, K/h, and how far, K, a house without heating cools beside its tank. An assumption, no source: an insulated house on a winter's night.
const HOUSE_K_PER_H: f64 = 0.5;
const HOUSE_K: f64 = 5.0;

/// The outage that is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outage {
    /// How long the mains are out, ms; at most the 72 h for which the water is followed.
    pub lasts_ms: Millis,
    /// The house cools evenly from the coldest room to this temperature until the mains are back, °C; `None`: it stays as warm as it is.
    pub house_falls_to_c: Option<f64>,
}

impl Outage {
    /// So long, in a house that stays as warm as it is.
    #[must_use]
    pub fn of(lasts_ms: Millis) -> Self {
        Self {
            lasts_ms,
            house_falls_to_c: None,
        }
    }
}

/// The mains out in a scenario that is one water system.
///
/// # Errors
/// [`SizeError`].
pub fn outage(scenario: &Scenario, asked: Outage) -> Result<SizeOutage, SizeError> {
    let lines = &scenario.livestock.danger_cold;
    let safe_c = lines.first().ok_or(SizeError::NoDangerLines)?.temp_c;
    let lasts_ms = asked.lasts_ms;
    let bench = Bench {
        lasts_ms,
        safe_c,
        house_falls: house_falls(scenario, asked)?,
    };
    let bare = bench.course(scenario, false)?;
    let wrapped = bench.course(scenario, true)?;
    let changes = bench.changes(scenario, first_line_h(&bare.hours_to_lines))?;
    Ok(SizeOutage {
        lasts_h: hours(lasts_ms),
        house_falls_to_c: asked.house_falls_to_c,
        back_heater_w: back_heater_w(scenario)?,
        followed_h: hours(HORIZON_MS),
        wrap_m2_k_per_w: USUAL_WRAP_M2_K_PER_W,
        oxygen: bench.oxygen(scenario)?,
        band_from_c: scenario.water.band_c.0,
        safe_c,
        courses: vec![bare, wrapped],
        backed: bench.backed(scenario)?,
        changes,
    })
}

/// The house that cools, where it is said to.
fn house_falls(scenario: &Scenario, asked: Outage) -> Result<Option<Happening>, SizeError> {
    let Some(to_c) = asked.house_falls_to_c else {
        return Ok(None);
    };
    let from_c = scenario.room.coldest.temp_c;
    if to_c >= from_c {
        return Err(SizeError::HouseNoColder { to_c, from_c });
    }
    let by_k = from_c - to_c;
    let k_per_h = by_k / hours(asked.lasts_ms);
    Ok(Some(happening(
        "the house cools",
        Effect::RoomCooled { by_k, k_per_h },
    )))
}

/// What all runs of one outage have in common.
struct Bench {
    lasts_ms: Millis,
    safe_c: f64,
    house_falls: Option<Happening>,
}

/// A heater that holds the target in the coldest room with as much again to spare, W.
fn heater_w(scenario: &Scenario) -> Result<f64, SizeError> {
    Ok((2.0 * needed_w(scenario)?).max(Heaters::SOME.each_w))
}

/// The heater that warms the water again, W: the scenario's own where they are strong enough, else as strong as one that holds the target.
fn back_heater_w(scenario: &Scenario) -> Result<f64, SizeError> {
    let own_w: f64 = scenario.heaters.iter().map(|heater| heater.power_w).sum();
    Ok(if own_w > needed_w(scenario)? {
        own_w
    } else {
        heater_w(scenario)?
    })
}

impl Bench {
    /// The mains out for good, the sides of every tank wrapped or not, the house as it is said to cool.
    fn without_mains(&self, scenario: &Scenario, wrapped: bool) -> Vec<Happening> {
        let mut all = without_mains(scenario, wrapped);
        all.extend(self.house_falls.clone());
        all
    }

    /// From the return of the mains until the water is within its band again, h, in a house that is at once as warm as before; `None`: it never left
    /// it, or is not back while it is followed.
    fn back_after_h(&self, scenario: &Scenario, faults: &[Happening]) -> Result<Option<f64>, SizeError> {
        let heaters = Heaters {
            count: 1,
            each_w: back_heater_w(scenario)?,
        };
        let equipped = rooms::in_room(&equipped(scenario, heaters), RoomKind::Coldest);
        let ending: Vec<Happening> = faults
            .iter()
            .map(|fault| Happening {
                lasts: Lasts::For(self.lasts_ms),
                ..fault.clone()
            })
            .collect();
        let scores = run_dial(&equipped, &ending, self.lasts_ms + HORIZON_MS)?;
        let recovery = judged(&scores)?.recovery.as_ref();
        Ok(recovery
            .filter(|recovery| recovery.complete)
            .map(|recovery| recovery.length_h))
    }

    /// The scenario with a heater that holds the target while there are mains, and no backups.
    fn plain(scenario: &Scenario, room: RoomKind) -> Result<Scenario, SizeError> {
        let heaters = Heaters {
            count: 1,
            each_w: heater_w(scenario)?,
        };
        Ok(rooms::in_room(&equipped(scenario, heaters), room))
    }

    /// The same with a heater on a battery that holds the line.
    fn holding(&self, scenario: &Scenario, power_w: f64, battery: &Battery) -> Result<Scenario, SizeError> {
        let mut holding = Self::plain(scenario, RoomKind::Coldest)?;
        let thermostat = ContactId(holding.contacts.len());
        holding.contacts.push(Contact {
            name: "thermostat at the line".to_owned(),
            kind: ContactKind::Thermostat,
            in_box: None,
            role: None,
            life_closings: None,
            own_sensing: Some(OwnSensing {
                closes_below_c: self.safe_c + HELD_ABOVE_K.0,
                opens_above_c: self.safe_c + HELD_ABOVE_K.1,
                sensed_at: SensedAt::Bulb {
                    tank: sensed_tank(scenario),
                    lag_ms: 0,
                },
                reset: Reset::Automatic,
                dial_error_k: 0.0,
            }),
        });
        let heater = HeaterId(holding.heaters.len());
        holding.heaters.push(Heater {
            name: "heater at the line".to_owned(),
            power_w,
            // One in a sump warms nothing while its pump stands.
            tank: sensed_tank(scenario),
            chain: vec![thermostat],
            body: usual_body(power_w),
            kind: HeaterKind::Immersed,
            exposed_below_m: 0.0,
        });
        holding.backups.push(Backup {
            name: "battery".to_owned(),
            store: Store::Battery {
                usable_j: battery.usable_j,
            },
            limit_w: battery.limit_w,
            idle_w: battery.idle_w,
            feeds: vec![Load::Heater(heater)],
        });
        Ok(holding)
    }

    /// Heat in the coldest room.
    fn course(&self, scenario: &Scenario, wrapped: bool) -> Result<OutageCourse, SizeError> {
        let plain = Self::plain(scenario, RoomKind::Coldest)?;
        let faults = self.without_mains(scenario, wrapped);
        let followed = run_dial(&plain, &faults, HORIZON_MS)?;
        let until_back = run_dial(&plain, &faults, self.lasts_ms)?;
        let hours_to_lines = hours_to_lines(scenario, judged(&followed)?);
        Ok(OutageCourse {
            wrapped,
            dose_used_up_h: since(judged(&followed)?.cold.used_up_ms),
            end_c: judged(&until_back)?.end_c,
            back_after_h: self.back_after_h(scenario, &faults)?,
            holding_wh: self.holding_wh(scenario, &faults)?,
            holding_from_h: first_line_h(&hours_to_lines).filter(|after_h| *after_h < hours(self.lasts_ms)),
            hours_to_lines,
        })
    }

    /// What a heater at the line draws until the mains are back, Wh.
    fn holding_wh(&self, scenario: &Scenario, faults: &[Happening]) -> Result<f64, SizeError> {
        let power_w = heater_w(scenario)?;
        let endless = Battery {
            usable_j: ENDLESS_J,
            limit_w: power_w,
            idle_w: 0.0,
        };
        let holding = self.holding(scenario, power_w, &endless)?;
        let scores = run_dial(&holding, faults, self.lasts_ms)?;
        let heater = scores.heaters.last();
        Ok(heater.map_or(0.0, |heater| 1000.0 * heater.energy_kwh))
    }

    /// Oxygen where the stock is stated.
    fn oxygen(&self, scenario: &Scenario) -> Result<Vec<OutageOxygen>, SizeError> {
        if scenario.livestock.oxygen.is_none() {
            return Ok(Vec::new());
        }
        [RoomKind::Coldest, RoomKind::Warmest]
            .into_iter()
            .filter_map(|room| self.oxygen_in(scenario, room).transpose())
            .collect()
    }

    fn oxygen_in(&self, scenario: &Scenario, room: RoomKind) -> Result<Option<OutageOxygen>, SizeError> {
        let plain = Self::plain(scenario, room)?;
        let faults = match room {
            RoomKind::Coldest => self.without_mains(scenario, false),
            _ => without_mains(scenario, false),
        };
        let followed = run_dial(&plain, &faults, HORIZON_MS)?;
        let until_back = run_dial(&plain, &faults, self.lasts_ms)?;
        let sound = run_dial(&plain, &[], HORIZON_MS)?;
        let (Some(followed), Some(until_back)) = (least_oxygen(&followed), least_oxygen(&until_back)) else {
            return Ok(None);
        };
        let sound_from_ms = least_oxygen(&sound).and_then(|sound| sound.below_half_from_ms);
        Ok(Some(OutageOxygen {
            room: room_words(scenario, room).to_owned(),
            room_c: rooms::verdict_room(scenario, room).map_or(f64::NAN, |room| room.temp_c),
            below_half_after_h: since(followed.below_half_from_ms),
            below_half_already: followed
                .below_half_from_ms
                .zip(sound_from_ms)
                .is_some_and(|(out_ms, sound_ms)| out_ms + SOONER_MS > sound_ms),
            lowest_mg_per_l: until_back.lowest_mg_per_l,
            lowest_saturation_frac: until_back.lowest_saturation_frac,
        }))
    }

    /// The scenario's own equipment on its own backups, in the coldest room.
    fn backed(&self, scenario: &Scenario) -> Result<Option<OutageBacked>, SizeError> {
        if scenario.backups.is_empty() {
            return Ok(None);
        }
        let mut own = rooms::in_room(scenario, RoomKind::Coldest);
        own.happenings.clear();
        own.watches.clear();
        let faults = self.without_mains(scenario, false);
        let (strategy, scores) = match run_under(&on_off::ENTRY, &own, &faults, self.lasts_ms) {
            Err(SizeError::Run(RunError::Bind(_))) => {
                (heater_dial::ENTRY.name, run_dial(&own, &faults, self.lasts_ms)?)
            }
            other => (on_off::ENTRY.name, other?),
        };
        let backups = scenario.backups.iter().zip(&scores.backups);
        let backups = backups.map(|(backup, scores)| {
            Ok::<_, SizeError>(OutageBackup {
                backup: backup.name.clone(),
                usable_wh: usable_j(backup).map(|usable_j| usable_j / J_PER_WH),
                limit_w: backup.limit_w,
                feeds: loads(scenario, backup),
                ran_out_after_h: since(scores.ran_out_ms),
                alone_holds_h: self.alone_holds_h(scenario, backup)?,
            })
        });
        let tank = judged(&scores)?;
        Ok(Some(OutageBacked {
            strategy: strategy.to_owned(),
            backups: backups.collect::<Result<_, _>>()?,
            oxygen_below_half_after_h: since(
                least_oxygen(&scores).and_then(|oxygen| oxygen.below_half_from_ms),
            ),
            hours_to_lines: hours_to_lines(scenario, tank),
            end_c: tank.end_c,
        }))
    }

    /// All of a battery for a heater at the line, bare and wrapped.
    fn alone_holds_h(&self, scenario: &Scenario, backup: &Backup) -> Result<Vec<Option<f64>>, SizeError> {
        let power_w = heater_w(scenario)?.min(backup.limit_w - backup.idle_w);
        let Some(usable_j) = usable_j(backup).filter(|_| power_w > 0.0) else {
            return Ok(Vec::new());
        };
        let battery = Battery {
            usable_j,
            limit_w: backup.limit_w,
            idle_w: backup.idle_w,
        };
        let holding = self.holding(scenario, power_w, &battery)?;
        [false, true]
            .into_iter()
            .map(|wrapped| {
                let scores = run_dial(&holding, &self.without_mains(scenario, wrapped), self.lasts_ms)?;
                let reached_ms = &judged(&scores)?.cold.reached_ms;
                Ok(since(reached_ms.first().copied().flatten()))
            })
            .collect()
    }

    /// The outage under other circumstances; as it is the bare water is at the line after `bare_after_h`.
    fn changes(
        &self,
        scenario: &Scenario,
        bare_after_h: Option<f64>,
    ) -> Result<Vec<OutageChange>, SizeError> {
        let mut colder = scenario.clone();
        colder.room.coldest.temp_c -= ROOM_K;
        let (covered, words) = covered_otherwise(scenario);
        let house = [happening(
            "the house cools",
            Effect::RoomCooled {
                by_k: HOUSE_K,
                k_per_h: HOUSE_K_PER_H,
            },
        )];
        let cools = format!("the house cools with it, {HOUSE_K_PER_H} K an hour by {HOUSE_K} K");
        let mut circumstances: Vec<(String, &Scenario, &[Happening])> = vec![
            (format!("the coldest room {ROOM_K} K colder"), &colder, &[]),
            (words.to_owned(), &covered, &[]),
        ];
        if self.house_falls.is_none() {
            circumstances.push((cools, scenario, &house));
        }
        let mut changes = circumstances
            .into_iter()
            .map(|(what, scenario, also)| self.change(what, scenario, also))
            .collect::<Result<Vec<_>, _>>()?;
        let moved = |change: &OutageChange| {
            let h = |after_h: Option<f64>| after_h.unwrap_or(hours(HORIZON_MS));
            (h(change.bare_after_h) / h(bare_after_h)).ln().abs()
        };
        changes.sort_by(|a, b| moved(b).total_cmp(&moved(a)));
        Ok(changes)
    }

    fn change(
        &self,
        what: String,
        scenario: &Scenario,
        also: &[Happening],
    ) -> Result<OutageChange, SizeError> {
        let plain = Self::plain(scenario, RoomKind::Coldest)?;
        let [bare, wrapped] =
            [false, true].map(|wrapped| [&self.without_mains(scenario, wrapped), also].concat());
        let first_h = |faults: &[Happening]| {
            let followed = run_dial(&plain, faults, HORIZON_MS)?;
            Ok::<_, SizeError>(first_line_h(&hours_to_lines(scenario, judged(&followed)?)))
        };
        Ok(OutageChange {
            what,
            bare_after_h: first_h(&bare)?,
            wrapped_after_h: first_h(&wrapped)?,
            holding_wh: self.holding_wh(scenario, &bare)?,
        })
    }
}

/// What a heater at the line hangs on.
struct Battery {
    usable_j: f64,
    limit_w: f64,
    idle_w: f64,
}

fn usable_j(backup: &Backup) -> Option<f64> {
    match backup.store {
        Store::Battery { usable_j } => Some(usable_j),
        Store::Generator { .. } => None,
    }
}

/// What a backup feeds, whether it fits beside what is more important, and whether it waits for a controller that no backup feeds.
fn loads(scenario: &Scenario, backup: &Backup) -> Vec<OutageLoad> {
    let mut feeds = scenario.backups.iter().flat_map(|backup| &backup.feeds);
    let without_controller = !feeds.any(|load| *load == Load::Controller);
    // What a controller commands opens when it has no electricity, whoever else has some.
    let commanded = |load: Load| {
        let mut chains = scenario.chains();
        let chain = chains.find(|(of, _)| *of == load).map(|(_, chain)| chain);
        let mut contacts = chain.into_iter().flatten();
        contacts.any(|contact| scenario.contacts[contact.0].role.is_some())
    };
    let mut left_w = backup.limit_w;
    let loads = backup.feeds.iter().map(|load| {
        let power_w = scenario.rated_w(*load);
        let fits = power_w <= left_w;
        if fits {
            left_w -= power_w;
        }
        OutageLoad {
            load: scenario.load_name(*load),
            power_w,
            fits,
            waits_for_controller: without_controller && commanded(*load),
        }
    });
    loads.collect()
}

fn happening(name: &str, effect: Effect) -> Happening {
    Happening {
        name: name.to_owned(),
        when: When::At(OUT_FROM_MS),
        lasts: Lasts::ToTheEnd,
        effect,
        origin: Origin::Fault,
    }
}

/// The mains out.
pub(super) fn mains_out() -> Happening {
    happening("mains out", Effect::PowerOut)
}

/// The mains out for good, the sides of every tank wrapped or not.
fn without_mains(scenario: &Scenario, wrapped: bool) -> Vec<Happening> {
    let mut all = vec![mains_out()];
    if wrapped {
        all.extend((0..scenario.tanks.len()).map(|tank| {
            happening(
                "sides wrapped",
                Effect::SidesWrapped {
                    tank: TankId(tank),
                    extra_m2_k_per_w: USUAL_WRAP_M2_K_PER_W,
                },
            )
        }));
    }
    all
}

fn run_dial(scenario: &Scenario, faults: &[Happening], lasts_ms: Millis) -> Result<Scores, SizeError> {
    run_under(&heater_dial::ENTRY, scenario, faults, lasts_ms)
}

fn run_under(
    entry: &Entry,
    scenario: &Scenario,
    faults: &[Happening],
    lasts_ms: Millis,
) -> Result<Scores, SizeError> {
    let recipe = (entry.build)(&entry.defaults())?;
    Ok(run(
        &RunRequest {
            faults,
            judged_from_ms: OUT_FROM_MS,
            end_ms: OUT_FROM_MS + lasts_ms,
            ..RunRequest::new(scenario, recipe.as_ref(), SEED)
        },
        None,
    )?)
}

/// The tank that is told of.
fn judged(scores: &Scores) -> Result<&TankScores, SizeError> {
    scores
        .tanks
        .get(scores.worst_tank)
        .ok_or(SizeError::NoDangerLines)
}

fn least_oxygen(scores: &Scores) -> Option<&OxygenScores> {
    let stocked = scores.tanks.iter().filter_map(|tank| tank.oxygen.as_ref());
    stocked.min_by(|a, b| a.lowest_saturation_frac.total_cmp(&b.lowest_saturation_frac))
}

fn since(at_ms: Option<Millis>) -> Option<f64> {
    at_ms.map(|at_ms| hours(at_ms - OUT_FROM_MS))
}

fn hours_to_lines(scenario: &Scenario, tank: &TankScores) -> Vec<HoursToLine> {
    let lines = scenario.livestock.danger_cold.iter();
    lines
        .zip(&tank.cold.reached_ms)
        .map(|(line, reached_ms)| HoursToLine {
            temp_c: line.temp_c,
            after_h: since(*reached_ms),
        })
        .collect()
}

/// When the mildest line is reached, h.
fn first_line_h(lines: &[HoursToLine]) -> Option<f64> {
    lines.first().and_then(|line| line.after_h)
}
