//! The check on a tank: left to the strategy it must come to rest at a temperature in which fish live.

use tepid_scenarios::{Loaded, load_str};
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, StrategyRecipe};
use tepid_sim::time::DAY;

use super::{Found, NotHeld};

/// The tank, and what it is called.
const TANK: &str = include_str!("reference_tank.toml");
const NAME: &str = "the reference tank";
/// The target that stands in it, °C.
const TARGET_C: f64 = 25.0;
/// The room around it for a strategy that controls one; the means are then those of the air outdoors.
const ROOM: &str = include_str!("reference_room.toml");
/// The room of each role, mean °C: in the first the water needs heat, in the second it is too warm.
const COLD_ROOM: &str = "18 °C";
const WARM_ROOM: &str = "28 °C";
/// The mean that stands in the file, to be replaced by either.
const CHANGED_MEAN: &str = "23 °C";
/// How long it has to settle, and how long it is looked at.
const SETTLES_WITHIN_DAYS: i64 = 3;
const LOOKED_AT_DAYS: i64 = 1;
/// Within this the water must stay, °C, and move no more, K. Wide on purpose: a setpoint of one's own and a setback by
/// night are welcome; without any strategy the water of the cold room is at 18 °C. A choice, no source.
const WATER_C: std::ops::RangeInclusive<f64> = 21.0..=30.0;
const SWING_K: f64 = 3.0;

pub(super) fn settles(recipe: &dyn StrategyRecipe, roles: &[Role]) -> Found {
    if roles.is_empty() {
        return Err("it never closes anything".to_owned().into());
    }
    let heats = |role: &Role| matches!(role, Role::Heat | Role::HeatRoom);
    let mut seen = Vec::new();
    if roles.iter().any(heats) {
        seen.push(in_tank(recipe, COLD_ROOM, "cold")?);
    }
    if !roles.iter().all(heats) {
        seen.push(in_tank(recipe, WARM_ROOM, "warm")?);
    }
    Ok(format!(
        "{}; its target is {TARGET_C} °C, {} to {} °C will do",
        seen.join("; "),
        WATER_C.start(),
        WATER_C.end()
    ))
}

fn in_tank(recipe: &dyn StrategyRecipe, room_mean: &str, word: &str) -> Found {
    let mut text = TANK.replace(CHANGED_MEAN, room_mean);
    if recipe.controls_room() {
        text += ROOM;
    }
    let Ok(Loaded::Scenario(mut scenario)) = load_str(NAME, &text) else {
        return Err(NotHeld::NotTried(format!("{NAME} cannot be read")));
    };
    scenario.duration_ms = (SETTLES_WITHIN_DAYS + LOOKED_AT_DAYS) * DAY;
    let request = RunRequest {
        judged_from_ms: SETTLES_WITHIN_DAYS * DAY,
        ..RunRequest::new(&scenario, recipe, 7)
    };
    let scores = run(&request, None).map_err(|error| match error {
        RunError::Bind(BindError::Unknown { what, name, .. }) => {
            NotHeld::NotTried(format!("it names the {what} `{name}`, which {NAME} has not"))
        }
        RunError::Bind(error) => NotHeld::NotTried(format!("{error} in {NAME}")),
        other => NotHeld::Fails(other.to_string()),
    })?;
    let tank = &scores.tanks[scores.worst_tank];
    let range = format!("{:.2} to {:.2} °C", tank.lowest_c, tank.highest_c);
    let lives = WATER_C.contains(&tank.lowest_c) && WATER_C.contains(&tank.highest_c);
    if !lives {
        return Err(NotHeld::Fails(format!(
            "in a {word} room it leaves the water at {range} on day {}; within {} to {} °C is expected",
            SETTLES_WITHIN_DAYS + LOOKED_AT_DAYS,
            WATER_C.start(),
            WATER_C.end()
        )));
    }
    if tank.highest_c - tank.lowest_c > SWING_K {
        return Err(NotHeld::Fails(format!(
            "in a {word} room the water swings from {range} within a day; at most {SWING_K} K is expected"
        )));
    }
    Ok(format!("{range} in a {word} room"))
}
