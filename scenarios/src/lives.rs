//! How long the parts of a scenario last: what its file states, and usual lives for the rest.

use std::sync::Arc;

use tepid_sim::ids::{BackupId, BoxId, ChillerId, CircuitId, ContactId, FanId, HeaterId, ProbeId, PumpId};
use tepid_sim::scenario::{
    Circuit, ContactKind, Counted, Effect, Fails, Guard, Hazard, Life, PartLife, Scenario,
};

use crate::fault_sets::BUILT_IN;
use crate::fields::life::LIVES;
use crate::load::finish;
use crate::nearest::nearest;
use crate::problem::{Problem, Problems, Report, Reported};
use crate::read::life::{Row, rows};
use crate::reader::Reader;
use crate::source::Source;
use crate::variant::parse_document;

/// The usual lives that come with the program, as a file.
pub const LIBRARY: &str = include_str!("../library/lives.toml");

/// The lives of a scenario's parts: what its file states, else what is usual. A relay's usual life is the one it is rated for, if the scenario
/// states that.
///
/// # Errors
/// [`Report`], which would be a mistake of ours: a test loads the usual lives.
pub fn lives(scenario: &Scenario) -> Result<Vec<PartLife>, Report> {
    let mut all = scenario.lives.clone();
    for row in library()? {
        let usual = of_row(&row, scenario);
        let missing = usual.into_iter().filter(|usual| {
            let stated = scenario.lives.iter();
            !stated
                .clone()
                .any(|own| own.kind == usual.kind && own.part == usual.part)
        });
        all.extend(missing.map(|usual| as_rated(usual, scenario)));
    }
    Ok(all)
}

fn library() -> Result<Vec<Row>, Report> {
    let source: Arc<Source> = Source::new("lives", LIBRARY);
    let problems = Problems::default();
    let read = parse_document(&source, &problems).and_then(|root| {
        let reader = Reader::open(&root, &LIVES, &problems);
        let (tables, whole) = reader.tables("life");
        let read = rows(&tables, &problems);
        whole?;
        read
    });
    finish(read, problems)
}

/// A usual life in closings is that of the rating, where one is stated.
fn as_rated(usual: PartLife, scenario: &Scenario) -> PartLife {
    let Counted::Closings(contact) = usual.hazard.counted else {
        return usual;
    };
    let Some(closings) = scenario.contacts[contact.0].life_closings else {
        return usual;
    };
    let life = Life {
        characteristic: closings,
        ..usual.hazard.life
    };
    PartLife {
        hazard: Hazard { life, ..usual.hazard },
        source: format!("characteristic life: the rating stated; {}", usual.source),
        ..usual
    }
}

/// The lives that rows of a scenario's own file give its parts.
pub(crate) fn of_file(
    rows: &[Row],
    scenario: &Scenario,
    problems: &Problems,
) -> Result<Vec<PartLife>, Reported> {
    let mut all: Vec<PartLife> = Vec::new();
    let mut result = Ok(());
    for row in rows {
        let made = of_row(row, scenario);
        if made.is_empty() {
            result = Err(problems.add(nothing(row, scenario)));
        }
        all.extend(made);
    }
    result.map(|()| all)
}

/// The row is of nothing that the scenario has.
fn nothing(row: &Row, scenario: &Scenario) -> Problem {
    let known: Vec<String> = parts(row.kind, scenario)
        .into_iter()
        .map(|(name, _)| name)
        .collect();
    match &row.part {
        Some((part, place)) if !known.is_empty() => Problem::new(
            "unknown-name",
            place,
            format!("`part` names no {} of this scenario: `{part}`", row.kind),
        )
        .label(format!("no such {}", row.kind))
        .found(part.clone())
        .expected(format!("one of {}", known.join(", ")))
        .nearest(nearest(part, known.iter().map(String::as_str))),
        _ => Problem::new(
            "nothing-of-kind",
            &row.place,
            format!("this scenario has no {} whose life could end", row.kind),
        )
        .label("there is none")
        .expected("a kind of part that the scenario has"),
    }
}

/// The lives that a row gives the parts of a scenario.
fn of_row(row: &Row, scenario: &Scenario) -> Vec<PartLife> {
    let wanted = |name: &str| row.part.as_ref().is_none_or(|(part, _)| part == name);
    parts(row.kind, scenario)
        .into_iter()
        .filter(|(name, _)| wanted(name))
        .map(|(part, fails)| {
            let fails = match fails {
                Fails::Contacts { contacts, .. } => Fails::Contacts {
                    contacts,
                    welds_frac: row.welds_frac,
                },
                Fails::Guard { guard, .. } => Fails::Guard {
                    guard,
                    cannot_trip_frac: row.welds_frac,
                },
                other => other,
            };
            let counted = match &fails {
                Fails::Contacts { contacts, .. } if row.lasting.in_closings => Counted::Closings(contacts[0]),
                _ => Counted::Years,
            };
            PartLife {
                part,
                kind: row.kind.to_owned(),
                fails,
                hazard: Hazard {
                    life: row.lasting.life,
                    counted,
                    age: row.lasting.age,
                },
                tested_every_ms: row.tested_every_ms,
                test_finds_frac: row.test_finds_frac,
                replaced_after_ms: row.replaced_after_ms,
                source: row.source.clone(),
            }
        })
        .collect()
}

/// Whether the life of a kind may be counted in closings.
pub(crate) fn counts_closings(kind: &str) -> bool {
    contact_kind(kind).is_some()
}

fn contact_kind(kind: &str) -> Option<ContactKind> {
    match kind {
        "relay" => Some(ContactKind::Relay),
        "solid-state" => Some(ContactKind::SolidState),
        "thermostat" => Some(ContactKind::Thermostat),
        "cut-out" => Some(ContactKind::CutOut),
        _ => None,
    }
}

/// All parts of a kind, and what fails with each.
fn parts(kind: &str, scenario: &Scenario) -> Vec<(String, Fails)> {
    let by = |name: &str, effect: Effect| (name.to_owned(), Fails::By(effect));
    if let Some(wanted) = contact_kind(kind) {
        let contacts = scenario.contacts.iter().enumerate();
        return contacts
            .filter(|(_, contact)| contact.kind == wanted)
            .map(|(at, contact)| {
                let fails = Fails::Contacts {
                    contacts: vec![ContactId(at)],
                    welds_frac: 0.0,
                };
                (contact.name.clone(), fails)
            })
            .collect();
    }
    match kind {
        "breaker" => guards(scenario, ContactKind::Breaker, |circuit| {
            circuit.breaker_a.is_some()
        }),
        "residual-current" => guards(scenario, ContactKind::ResidualCurrent, |circuit| {
            circuit.residual_current
        }),
        "box" => boxes(scenario),
        "backup" => {
            let backups = scenario.backups.iter().enumerate();
            backups
                .map(|(at, backup)| by(&backup.name, Effect::BackupDead(BackupId(at))))
                .collect()
        }
        "heater" => {
            let heaters = scenario.heaters.iter().enumerate();
            heaters
                .map(|(at, heater)| by(&heater.name, Effect::HeaterDead(HeaterId(at))))
                .collect()
        }
        "pump" => {
            let pumps = scenario.pumps.iter().enumerate();
            pumps
                .map(|(at, pump)| by(&pump.name, Effect::PumpStopped(PumpId(at))))
                .collect()
        }
        "fan" => {
            let fans = scenario.fans.iter().enumerate();
            fans.map(|(at, fan)| by(&fan.name, Effect::FanStopped(FanId(at))))
                .collect()
        }
        "chiller" => {
            let chillers = scenario.chillers.iter().enumerate();
            chillers
                .map(|(at, chiller)| by(&chiller.name, Effect::ChillerDead(ChillerId(at))))
                .collect()
        }
        "probe silent" | "probe out of the water" => {
            let effect = |at: usize| match kind {
                "probe silent" => Effect::ProbeSilent(ProbeId(at)),
                _ => Effect::ProbeOutOfWater(ProbeId(at)),
            };
            let probes = scenario.probes.iter().enumerate();
            probes.map(|(at, probe)| by(&probe.name, effect(at))).collect()
        }
        "mains" => vec![by("mains", Effect::PowerOut)],
        "alerts" if !scenario.watches.is_empty() => vec![("alerts".to_owned(), Fails::Alerts)],
        "alerts" => Vec::new(),
        fault_set => of_fault_set(fault_set, scenario),
    }
}

/// What has no part of its own that breaks: the cases of the built-in fault set of that name, each with a life of its own.
fn of_fault_set(name: &str, scenario: &Scenario) -> Vec<(String, Fails)> {
    let sets = BUILT_IN.iter().filter(|set| set.name == name);
    sets.flat_map(|set| set.cases(scenario))
        .map(|case| (case.fault.name, Fails::By(case.fault.effect)))
        .collect()
}

/// All breakers, or all residual-current devices: as contacts of chains, and of circuits.
fn guards(
    scenario: &Scenario,
    kind: ContactKind,
    has_one: impl Fn(&Circuit) -> bool,
) -> Vec<(String, Fails)> {
    let fails = |guard| Fails::Guard {
        guard,
        cannot_trip_frac: 0.0,
    };
    let contacts = scenario.contacts.iter().enumerate();
    let contacts = contacts
        .filter(|(_, contact)| contact.kind == kind)
        .map(|(at, contact)| (contact.name.clone(), fails(Guard::Contact(ContactId(at)))));
    let circuits = scenario.circuits.iter().enumerate();
    let circuits = circuits
        .filter(|(_, circuit)| has_one(circuit))
        .map(|(at, circuit)| (circuit.name.clone(), fails(Guard::Circuit(CircuitId(at)))));
    contacts.chain(circuits).collect()
}

/// All boxes, each with the contacts in it.
fn boxes(scenario: &Scenario) -> Vec<(String, Fails)> {
    let fails = |in_box| Fails::Contacts {
        contacts: scenario.in_box(in_box).collect(),
        welds_frac: 0.0,
    };
    let boxes = scenario.boxes.iter().enumerate();
    boxes.map(|(at, name)| (name.clone(), fails(BoxId(at)))).collect()
}
