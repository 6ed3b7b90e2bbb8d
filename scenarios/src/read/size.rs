//! Whether the simulation holds as much as a scenario has, and keeps its water systems apart.

use tepid_sim::plant::{MAX_MODE_BITS, MAX_PLANT_NODES, PlantPart, PlantSize, parts};
use tepid_sim::scenario::{BetweenSystems, FaultSet, Members, Scenario, WaterSystem};

use super::EquipmentTables;
use crate::names::name_of;
use crate::node::{Table, Value};
use crate::problem::{Problem, Problems, Reported};

/// Reports a happening that belongs to two water systems, and the first thing that is one too many in each.
pub(super) fn check(
    root: &Table,
    scenario: &Scenario,
    tables: &EquipmentTables<'_>,
    problems: &Problems,
) -> Result<(), Reported> {
    let systems = scenario
        .systems()
        .and_then(|systems| faults_apart(scenario, &systems).map(|()| systems))
        .map_err(|between| problems.add(between_systems(root, &between)))?;
    if systems.is_empty() {
        return check_system(scenario, "this scenario", |part| part, tables, problems);
    }
    let mut result = Ok(());
    for system in &systems {
        let first = &system.scenario.tanks[0].name;
        let what = format!("the water system of tank `{first}`");
        let of_whole = |part| part_of_whole(&system.members, part);
        result = result.and(check_system(&system.scenario, &what, of_whole, tables, problems));
    }
    result
}

fn faults_apart(scenario: &Scenario, systems: &[WaterSystem]) -> Result<(), BetweenSystems> {
    let sets = scenario.fault_sets.iter();
    let cases = || sets.clone().flat_map(|set: &FaultSet| &set.cases);
    for system in systems {
        for happening in cases().flat_map(|case| case.happenings()) {
            system.members.happening(happening)?;
        }
    }
    Ok(())
}

fn between_systems(root: &Table, between: &BetweenSystems) -> Problem {
    let lists = ["fault", "event"].into_iter().filter_map(|key| root.get(key));
    let tables = lists.flat_map(|node| match &node.value {
        Value::List(items) => items.as_slice(),
        _ => &[],
    });
    let mut tables = tables.filter_map(|node| match &node.value {
        Value::Table(table) => Some(table),
        _ => None,
    });
    let named = tables.clone().find(|table| name_of(table) == Some(&between.name));
    let place = named
        .or_else(|| tables.next())
        .map_or(&root.place, |table| &table.place);
    Problem::new("between-systems", place, between.to_string())
        .label("joins what no water joins")
        .expected("what stays within tanks that flows join")
}

/// A part of a system as one of the whole scenario.
fn part_of_whole(members: &Members, part: PlantPart) -> PlantPart {
    match part {
        PlantPart::Tank(at) => PlantPart::Tank(members.tanks[at.0]),
        PlantPart::Pump(at) => PlantPart::Pump(members.pumps[at.0]),
        PlantPart::Heater(at) => PlantPart::Heater(members.heaters[at.0]),
        PlantPart::Probe(at) => PlantPart::Probe(members.probes[at.0]),
        PlantPart::Contact(at) => PlantPart::Contact(members.contacts[at.0]),
    }
}

fn check_system(
    system: &Scenario,
    what: &str,
    of_whole: impl Fn(PlantPart) -> PlantPart,
    tables: &EquipmentTables<'_>,
    problems: &Problems,
) -> Result<(), Reported> {
    let whole = PlantSize::of(system);
    let mut sum = PlantSize::default();
    let too_much = parts(system).into_iter().find_map(|(part, size)| {
        sum = sum.plus(size);
        (!sum.fits()).then_some(part)
    });
    let table = match too_much.map(of_whole) {
        None => return Ok(()),
        Some(PlantPart::Tank(at)) => tables.tanks[at.0],
        Some(PlantPart::Pump(at)) => tables.pumps[at.0],
        Some(PlantPart::Heater(at)) => tables.heaters[at.0],
        Some(PlantPart::Probe(at)) => tables.probes[at.0],
        Some(PlantPart::Contact(at)) => tables.contacts[at.0],
    };
    let (message, expected) = if whole.nodes > MAX_PLANT_NODES {
        (
            format!(
                "{what} has {} temperatures to follow, more than the {MAX_PLANT_NODES} that can be simulated",
                whole.nodes
            ),
            "fewer: each tank counts 1, its rock 1, each heater 1, each probe 1 and each contact with a bulb 1; with lag = \"0 s\" a probe or bulb counts nothing",
        )
    } else {
        (
            format!(
                "{what} has {} things that may change, more than the {MAX_MODE_BITS} that can be simulated",
                whole.mode_bits
            ),
            "fewer: each pump counts 1, each probe 1 and each heater 2",
        )
    };
    let problem = Problem::new("too-much", &table.place, message)
        .label("one too many")
        .expected(expected);
    Err(problems.add(problem))
}
