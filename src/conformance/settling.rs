//! The check on a tank: left to the strategy it must come to rest at a temperature in which fish live.

use tepid_scenarios::Setting;
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{Role, Scenario};
use tepid_sim::strategy::{BindError, StrategyRecipe};
use tepid_sim::time::DAY;

use super::{Found, NotHeld};

/// The tank of the library that has a heater and a fan.
const TANK: &str = "warm-room-fan";
/// A tank with two heaters, for a strategy that needs them; its own room is cold.
const TANK_WITH_TWO_HEATERS: &str = "spare-room-winter";
/// The room of each role, mean °C: in the first the water needs heat, in the second it is too warm.
const COLD_ROOM: &str = "18 °C";
const WARM_ROOM: &str = "28 °C";
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
    let seen: Vec<String> = roles
        .iter()
        .map(|role| match role {
            Role::Heat => {
                let one = in_tank(recipe, TANK, Some(COLD_ROOM), "cold");
                match one {
                    Err(NotHeld::NotTried(_)) => in_tank(recipe, TANK_WITH_TWO_HEATERS, None, "cold"),
                    tried => tried,
                }
            }
            Role::Cool => in_tank(recipe, TANK, Some(WARM_ROOM), "warm"),
        })
        .collect::<Result<_, _>>()?;
    Ok(seen.join("; "))
}

fn in_tank(recipe: &dyn StrategyRecipe, tank: &str, room_mean: Option<&str>, word: &str) -> Found {
    let settings: Vec<Setting> = room_mean
        .map(|mean| Setting::new("room.temperature.mean", mean))
        .into_iter()
        .collect();
    let mut scenario: Scenario =
        tepid_scenarios::scenario(tank, &settings).map_err(|report| NotHeld::NotTried(report.plain()))?;
    scenario.duration_ms = (SETTLES_WITHIN_DAYS + LOOKED_AT_DAYS) * DAY;
    let request = RunRequest {
        judged_from_ms: SETTLES_WITHIN_DAYS * DAY,
        ..RunRequest::new(&scenario, recipe, 7)
    };
    let scores = run(&request, None).map_err(|error| match error {
        RunError::Bind(BindError::Unknown { what, name, .. }) => NotHeld::NotTried(format!(
            "it names the {what} `{name}`, which the tank of `{tank}` has not"
        )),
        RunError::Bind(error) => NotHeld::NotTried(format!("{error} in the tank of `{tank}`")),
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
