//! A scenario of several water systems, each by itself in the room that all of them make.

use tepid_output::records::Budget;
use tepid_output::wording::enumerated;
use tepid_sim::run::RunError;
use tepid_sim::scenario::{Humidity, RoomTemperature, Scenario};
use tepid_sim::still::{StillPlant, StillRoom};

use super::{budget, building};

/// The budget of every water system of a scenario, in the order of their first tanks; of a single one it is the budget of the scenario.
///
/// # Errors
/// [`RunError`] if a system makes no network, or a happening belongs to two of them.
pub fn budgets(scenario: &Scenario) -> Result<Vec<Budget>, RunError> {
    let alone = systems_alone(scenario)?;
    if alone.is_empty() {
        return Ok(vec![budget(scenario)?]);
    }
    let of_each = alone.iter().map(|system| {
        Ok(Budget {
            system: Some(system.name.clone()),
            building: system.room.building.map(building),
            ..budget(&system.scenario)?
        })
    });
    of_each.collect()
}

/// A water system of several.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemAlone {
    /// "rack 1"; "display and sump".
    pub name: String,
    /// It alone, in a room that is prescribed as all systems make it with their water at the target.
    pub scenario: Scenario,
    /// That room.
    pub room: StillRoom,
}

/// The water systems of a scenario, each alone; none of a scenario that is a single one.
///
/// # Errors
/// As [`budgets`].
pub fn systems_alone(scenario: &Scenario) -> Result<Vec<SystemAlone>, RunError> {
    let systems = scenario.systems()?;
    let stills = systems
        .iter()
        .map(|system| StillPlant::new(&system.scenario))
        .collect::<Result<Vec<_>, _>>()?;
    let Some((first, others)) = stills.split_first() else {
        return Ok(Vec::new());
    };
    let room = first.room_beside(&others.iter().collect::<Vec<_>>());
    let alone = systems.iter().map(|system| {
        let mut scenario = system.scenario.clone();
        let names: Vec<&str> = scenario.tanks.iter().map(|tank| tank.name.as_str()).collect();
        let name = enumerated(&names);
        prescribe(&mut scenario, room);
        SystemAlone { name, scenario, room }
    });
    Ok(alone.collect())
}

/// The room of a building becomes one that is prescribed; a prescribed one is what it was.
fn prescribe(scenario: &mut Scenario, room: StillRoom) {
    if scenario.room.lumped.take().is_none() {
        return;
    }
    scenario.room.temperature = RoomTemperature {
        course: vec![(0, room.temp_c)],
        swing_k: 0.0,
        season_swing_k: 0.0,
        drift_k: 0.0,
        ..scenario.room.temperature
    };
    scenario.room.humidity = Humidity::ConstantRelative {
        relative_frac: room.relative_humidity_frac,
    };
    scenario.room.humidity_course.clear();
}
