//! A year of a tank on one core, decided every 10 s, without a trace.

use std::hint::black_box;

use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{DAY, Millis};

use crate::Effort;
use crate::row::{Row, quickest_s};

/// Walls around the room of a tank and its sump.
const BUILDING: &str =
    "\n[room.building]\nvolume = \"35 m³\"\nenvelope = \"30 W/K\"\nair_changes = \"0.5 per hour\"\n";

/// Milliseconds that a tank-year may take. A target: see `docs/performance.md`.
const YEAR_MS: f64 = 60.0;

pub(crate) fn scenario(name: &str, days: Millis) -> Scenario {
    let mut scenario = tepid_scenarios::scenario(name, &[]).expect("a library scenario loads");
    scenario.duration_ms = days * DAY;
    scenario
}

pub(crate) fn strategy(name_or_path: &str) -> Box<dyn StrategyRecipe> {
    tepid_scenarios::strategy(name_or_path)
        .expect("a strategy that loads")
        .recipe
}

/// A tank and sump with a room that answers to a building.
pub(crate) fn lumped_room(days: Millis) -> Scenario {
    let tank = tepid_scenarios::library::text("spare-room-winter").expect("a library scenario");
    let mut scenario = match tepid_scenarios::load_str("lumped-room.toml", &format!("{tank}{BUILDING}")) {
        Ok(tepid_scenarios::Loaded::Scenario(scenario)) => *scenario,
        other => panic!("{other:?}"),
    };
    scenario.duration_ms = days * DAY;
    scenario
}

/// How long a run takes, s.
pub(crate) fn run_s(scenario: &Scenario, recipe: &dyn StrategyRecipe, rounds: u32) -> f64 {
    let request = RunRequest::new(scenario, recipe, 7);
    quickest_s(rounds, || {
        run(black_box(&request), None).expect("runs");
    })
}

pub(crate) fn rows(effort: Effort) -> Vec<Row> {
    let (days, rounds) = effort.choose((365, 5), (1, 1));
    let cases = [
        ("spare-room-winter", scenario("spare-room-winter", days), "on-off"),
        ("lidded-nano", scenario("lidded-nano", days), "on-off"),
        (
            "spare-room-winter, noise at every decision",
            scenario("spare-room-winter", days),
            "pi",
        ),
        ("tank, sump and a room that answers", lumped_room(days), "on-off"),
    ];
    cases
        .into_iter()
        .map(|(what, scenario, name)| {
            let recipe = strategy(name);
            let year_s = run_s(&scenario, recipe.as_ref(), rounds) * 365.0 / days as f64;
            let ticks = (365 * DAY / recipe.interval_ms()) as f64;
            Row::told(
                format!("{name}, {what}"),
                format!(
                    "{:.0} ms, {:.0} ns a tick, {:.1} tank-years/s",
                    year_s * 1e3,
                    year_s * 1e9 / ticks,
                    1.0 / year_s
                ),
            )
            .at_most(year_s * 1e3, YEAR_MS, "ms")
        })
        .collect()
}
