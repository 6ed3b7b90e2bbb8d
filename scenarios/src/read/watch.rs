//! `[[watch]]`.

use tepid_sim::ids::{CircuitId, HeaterId, PersonId, ProbeId};
use tepid_sim::quantity::{System, print};
use tepid_sim::scenario::{Backup, Contact, ContactKind, Heater, Need, Tank, Watch, WatchRule};
use tepid_sim::time::{HOUR, MINUTE, seconds};

use super::equipment::collect;
use super::person::Persons;
use super::{Index, act};
use crate::fields::watch::{NEEDS, PARTICULAR, RULES, WATCH, used_by};
use crate::nearest::nearest;
use crate::node::{Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;
use crate::watch_words::rule_words;

/// What watches refer to; `None` where it could not be read and is reported by its own section.
pub(super) struct Watched<'a> {
    pub index: &'a Index,
    pub persons: &'a Persons,
    pub heaters: Option<&'a [Heater]>,
    pub contacts: Option<&'a [Contact]>,
    pub tanks: Option<&'a [Tank]>,
    pub backups: Option<&'a [Backup]>,
    /// The room's air answers to what stands in it.
    pub room_answers: bool,
    pub problems: &'a Problems,
}

pub(super) fn read_all(tables: &[&Table], watched: &Watched<'_>) -> Result<Vec<Watch>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &WATCH, watched.problems);
        let name = reader.optional_text("name");
        let rule = rule(&reader, watched);
        let lasting = reader.millis("lasting");
        let reaches = reaches(&reader, watched);
        let needs = needs(&reader, watched.index);
        let (battery, passed_on) = (reader.millis("battery"), reader.optional_millis("passed_on"));
        let acts = act::read_all(&reader, watched);
        let (rule, needs) = (rule?, needs?);
        let needs = match needs {
            Some(needs) => needs,
            None if rule == WatchRule::NoSignOfLife => {
                vec![Need::Power, Need::Router, Need::Network, Need::Controller]
            }
            None => Vec::new(),
        };
        if rule == WatchRule::NoSignOfLife && needs.is_empty() {
            let problem = Problem::new(
                "watch-needs",
                reader.place_of("needs"),
                "something that needs nothing always gives a sign of life",
            )
            .expected("what must be alive for the box to report, or no `needs`: all of it");
            return Err(reader.report(problem));
        }
        Ok(Watch {
            name: name?.unwrap_or_else(|| named(rule, watched.index)),
            rule,
            lasting_ms: lasting?,
            needs,
            battery_ms: battery?,
            reaches: reaches?,
            passed_on_ms: passed_on?,
            acts: acts?,
        })
    })
}

/// What must be alive for the alert to get out.
fn needs(reader: &Reader<'_>, index: &Index) -> Result<Option<Vec<Need>>, Reported> {
    let Some(wanted) = reader.optional_texts("needs")? else {
        return Ok(None);
    };
    let needs = wanted.into_iter().map(|(name, node)| {
        let need = match name.as_str() {
            "power" => Some(Need::Power),
            "router" => Some(Need::Router),
            "network" => Some(Need::Network),
            "controller" => Some(Need::Controller),
            _ => index.circuits.find(&name).map(|at| Need::Circuit(CircuitId(at))),
        };
        need.ok_or_else(|| {
            let known: Vec<&str> = NEEDS.iter().copied().chain(index.circuits.known()).collect();
            let problem = Problem::new(
                "unknown-name",
                &node.place,
                format!("an alert cannot need `{name}`"),
            )
            .label("no such thing")
            .found(name.as_str())
            .expected(format!("some of {}", known.join(", ")))
            .nearest(nearest(&name, known.iter().copied()));
            reader.report(problem)
        })
    });
    // Every unknown name is told.
    let needs: Vec<_> = needs.collect();
    needs.into_iter().collect::<Result<_, _>>().map(Some)
}

/// Whom the alert reaches: people of the file, or, where it has none, names alone.
fn reaches(reader: &Reader<'_>, watched: &Watched<'_>) -> Result<Vec<PersonId>, Reported> {
    let names = &watched.index.persons;
    let Some(wanted) = reader.optional_texts("reaches")? else {
        return Ok((0..watched.persons.list.len()).map(PersonId).collect());
    };
    let ids = wanted.into_iter().map(|(name, node)| {
        let found = watched.persons.list.iter().position(|person| person.name == name);
        found
            .map(PersonId)
            .ok_or_else(|| reader.report(names.unknown(&name, &node.place, "reaches")))
    });
    // Every unknown name is told.
    let ids: Vec<_> = ids.collect();
    ids.into_iter().collect()
}

/// The rule that stands in a table: a flag that is false is none.
fn rules_given(reader: &Reader<'_>) -> Vec<&'static str> {
    let stands = |rule: &&&str| {
        reader
            .node(rule)
            .is_some_and(|node| !matches!(node.value, Value::Flag(false)))
    };
    RULES.iter().filter(stands).copied().collect()
}

fn rule(reader: &Reader<'_>, watched: &Watched<'_>) -> Result<WatchRule, Reported> {
    let index = watched.index;
    let given = rules_given(reader);
    let [rule] = given[..] else {
        let place = given
            .get(1)
            .map_or(reader.place(), |second| reader.place_of(second));
        let problem = Problem::new("watch-rule", place, "a watch has exactly one rule")
            .label("one rule each")
            .expected(format!(
                "one of {}; write two watches for two rules",
                RULES
                    .iter()
                    .map(|rule| format!("`{rule}`"))
                    .collect::<Vec<_>>()
                    .join(", ")
            ))
            .fix("above = \"27 °C\"");
        return Err(reader.report(problem));
    };
    reader.only(PARTICULAR, used_by(rule), rule)?;
    let probe = || reader.reference("probe", &index.probes).map(ProbeId);
    let heater = || reader.reference("heater", &index.heaters).map(HeaterId);
    let line = || reader.quantity(rule);
    Ok(match rule {
        "above" => {
            let (probe, line) = (probe(), line());
            WatchRule::Above {
                probe: probe?,
                line_c: line?,
            }
        }
        "below" => {
            let (probe, line) = (probe(), line());
            WatchRule::Below {
                probe: probe?,
                line_c: line?,
            }
        }
        "faster" => {
            let (probe, rate, over) = (probe(), line(), reader.millis("over"));
            let over_ms = over?;
            if over_ms % MINUTE != 0 {
                let problem = Problem::new(
                    "out-of-range",
                    reader.place_of("over"),
                    "readings are looked at once a minute",
                )
                .expected("whole minutes");
                return Err(reader.report(problem));
            }
            WatchRule::Faster {
                probe: probe?,
                k_per_h: rate? * seconds(HOUR),
                over_ms,
            }
        }
        "apart" => apart(reader, index)?,
        "no_reading" => WatchRule::NoReading { probe: probe()? },
        "draws_above" => {
            let (heater, line) = (heater(), line());
            WatchRule::DrawsAbove {
                heater: heater?,
                line_w: line?,
            }
        }
        "draws_below" => {
            let (heater, line) = (heater(), line());
            WatchRule::DrawsBelow {
                heater: heater?,
                line_w: line?,
            }
        }
        "drawn" => drawn(reader, watched)?,
        _ => WatchRule::NoSignOfLife,
    })
}

/// Two probes that disagree.
fn apart(reader: &Reader<'_>, index: &Index) -> Result<WatchRule, Reported> {
    let (probe, other) = (
        reader.reference("probe", &index.probes),
        reader.reference("other", &index.probes),
    );
    let by = reader.quantity("apart");
    let (probe, other) = (probe?, other?);
    if probe == other {
        let problem = Problem::new(
            "watch-rule",
            reader.place_of("other"),
            "a probe cannot disagree with itself",
        )
        .label("the same probe")
        .expected("another probe");
        return Err(reader.report(problem));
    }
    Ok(WatchRule::Disagree {
        probe: ProbeId(probe),
        other: ProbeId(other),
        by_k: by?,
    })
}

/// Current against commands, of a heater that takes any.
fn drawn(reader: &Reader<'_>, watched: &Watched<'_>) -> Result<WatchRule, Reported> {
    let names = &watched.index.heaters;
    let (heater, word) = (reader.reference("heater", names), reader.choice("drawn"));
    let (position, word) = (heater?, word?);
    let chain = &watched
        .heaters
        .and_then(|heaters| heaters.get(position))
        .ok_or(Reported)?
        .chain;
    let contacts = watched.contacts.ok_or(Reported)?;
    let commanded = |kind: ContactKind| matches!(kind, ContactKind::Relay | ContactKind::SolidState);
    if !chain.iter().any(|contact| commanded(contacts[contact.0].kind)) {
        let problem = Problem::new(
            "watch-not-commanded",
            reader.place_of("heater"),
            format!("{} takes no commands", names.described(position)),
        )
        .label("no relay or solid state contact in its chain")
        .expected("a heater that a strategy commands; `draws_above` with `lasting` watches any");
        return Err(reader.report(problem));
    }
    let heater = HeaterId(position);
    Ok(if word == "though not commanded" {
        WatchRule::DrawnNotCommanded { heater }
    } else {
        WatchRule::CommandedNotDrawn { heater }
    })
}

/// "probe `main` above 27 °C".
fn named(rule: WatchRule, index: &Index) -> String {
    rule_words(
        rule,
        &|probe| index.probes.described(probe.0),
        &|heater| index.heaters.described(heater.0),
        &|kind, value| print(kind, value, System::Metric),
    )
}
