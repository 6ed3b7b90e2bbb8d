//! Whether the simulation holds as much as a scenario has.

use tepid_sim::plant::{MAX_MODE_BITS, MAX_PLANT_NODES, PlantPart, PlantSize, parts};
use tepid_sim::scenario::Scenario;

use super::EquipmentTables;
use crate::problem::{Problem, Problems, Reported};

/// Reports the first thing that is one too many.
pub(super) fn check(
    scenario: &Scenario,
    tables: &EquipmentTables<'_>,
    problems: &Problems,
) -> Result<(), Reported> {
    let whole = PlantSize::of(scenario);
    let mut sum = PlantSize::default();
    let too_much = parts(scenario).into_iter().find_map(|(part, size)| {
        sum = sum.plus(size);
        (!sum.fits()).then_some(part)
    });
    let table = match too_much {
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
                "this scenario has {} temperatures to follow, more than the {MAX_PLANT_NODES} that can be simulated",
                whole.nodes
            ),
            "fewer: each tank counts 1, its rock 1, each heater 1, each probe 1 and each contact with a bulb 1; with lag = \"0 s\" a probe or bulb counts nothing",
        )
    } else {
        (
            format!(
                "this scenario has {} things that may change, more than the {MAX_MODE_BITS} that can be simulated",
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
