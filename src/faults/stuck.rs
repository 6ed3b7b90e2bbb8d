//! Stuck and dead exposure: what a heater or cooler that cannot be switched off, or does not run, does in each room, with people acting and without.

use rayon::prelude::*;
use tepid_output::records::{Exposure, ExposureHow, FaultRow};
use tepid_sim::ids::ContactId;
use tepid_sim::run::RunError;
use tepid_sim::scenario::{ContactKind, Effect, FaultCase, FaultSet, Load, Scenario};

use super::Study;
use super::matrix::row;
use super::set_up::SetUp;
use crate::alerts::somebody_acts;
use crate::exposure::outcome;

/// The scenario with the same alerts, and nobody who acts on them.
fn where_nobody_acts(scenario: &Scenario) -> Scenario {
    let mut left_alone = scenario.clone();
    for watch in &mut left_alone.watches {
        watch.acts.clear();
    }
    left_alone
}

/// A device, how it fails, and the fault case that does it.
type Failing<'a> = (Vec<String>, ExposureHow, &'a FaultSet, &'a FaultCase);

/// Stuck before dead, in the order of the fault sets; each in every room, as the scenario says and, where that differs, with nobody acting.
pub(super) fn exposures(study: &Study<'_>, rows: &[FaultRow]) -> Result<Vec<Exposure>, RunError> {
    let failing = failing(study.scenario, study.sets);
    let mut all = Vec::new();
    for (devices, how, set, case) in &failing {
        let same = |row: &&FaultRow| row.outcome.set == set.name && row.outcome.case == case.fault.name;
        all.extend(rows.iter().filter(same).map(|row| Exposure {
            devices: devices.clone(),
            how: *how,
            people_act: true,
            row: row.clone(),
        }));
    }
    if somebody_acts(study.scenario) {
        let alone = SetUp::new(where_nobody_acts(study.scenario), study.recipe, study.seed)?;
        let healthy = alone.healthy(study.recipe, study.seed);
        let cells: Vec<_> = failing
            .iter()
            .flat_map(|failing| healthy.iter().map(move |healthy| (failing, healthy)))
            .collect();
        study.progress.expect(cells.len() as u64);
        let left: Vec<Exposure> = cells
            .par_iter()
            .map(|((devices, how, set, case), healthy)| {
                let row = row(healthy, case, outcome(healthy, &set.name, case));
                study.progress.done();
                Exposure {
                    devices: devices.clone(),
                    how: *how,
                    people_act: false,
                    row,
                }
            })
            .collect();
        all.extend(left);
    }
    all.sort_by_key(|one| {
        let place = failing.iter().position(|(_, _, set, case)| {
            one.row.outcome.set == set.name && one.row.outcome.case == case.fault.name
        });
        (one.how, place, !one.people_act, one.row.outcome.room)
    });
    Ok(all)
}

/// The single faults by which a device sticks or dies; each once.
fn failing<'a>(scenario: &Scenario, sets: &'a [FaultSet]) -> Vec<Failing<'a>> {
    let mut all: Vec<Failing<'a>> = Vec::new();
    let dead = |load: Load| Some((ExposureHow::Dead, vec![scenario.load_name(load)]));
    for (set, case) in sets
        .iter()
        .flat_map(|set| set.cases.iter().map(move |case| (set, case)))
    {
        let how_and_what = match case.fault.effect {
            Effect::ContactWelded(contact) if switches(scenario, contact) => {
                let behind = scenario.behind(contact);
                Some((
                    ExposureHow::Stuck,
                    behind.map(|load| scenario.load_name(load)).collect(),
                ))
            }
            Effect::HeaterDead(heater) => dead(Load::Heater(heater)),
            Effect::FanStopped(fan) => dead(Load::Fan(fan)),
            Effect::ChillerDead(chiller) => dead(Load::Chiller(chiller)),
            _ => None,
        };
        let known = |effect: &Effect| all.iter().any(|(_, _, _, case)| case.fault.effect == *effect);
        if let Some((how, devices)) = how_and_what
            && case.already.is_empty()
            && !devices.is_empty()
            && !known(&case.fault.effect)
        {
            all.push((devices, how, set, case));
        }
    }
    all
}

/// Whether a contact is what switches its device from day to day: a commanded one, or a dial where none is commanded.
fn switches(scenario: &Scenario, contact: ContactId) -> bool {
    let found = &scenario.contacts[contact.0];
    let commanded = |contact: &ContactId| scenario.contacts[contact.0].role.is_some();
    let chains = || scenario.heaters.iter().map(|heater| &heater.chain);
    found.role.is_some()
        || (found.kind == ContactKind::Thermostat
            && chains().any(|chain| chain.contains(&contact) && !chain.iter().any(commanded)))
}
