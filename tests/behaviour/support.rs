//! Scenarios with changes by path, strategies by name, runs in a line.

use tepid_scenarios::Setting;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Happening, Scenario};
use tepid_sim::scores::{Scores, TankScores};
use tepid_sim::strategy::StrategyRecipe;

/// A library scenario with changes by path.
#[track_caller]
pub fn scenario(name: &str, changes: &[(&str, &str)]) -> Scenario {
    let settings: Vec<Setting> = changes
        .iter()
        .map(|(path, value)| Setting::new(path, value))
        .collect();
    tepid_scenarios::scenario(name, &settings).unwrap_or_else(|report| panic!("{}", report.plain()))
}

/// A scenario from a text.
#[track_caller]
pub fn scenario_of(text: &str) -> Scenario {
    tepid_scenarios::scenario_text("test.toml", text).unwrap_or_else(|report| panic!("{}", report.plain()))
}

/// A built-in strategy.
pub fn strategy(name: &str) -> Box<dyn StrategyRecipe> {
    tepid_scenarios::strategy(name).expect("strategy").recipe
}

/// Scores of a run with faults.
#[track_caller]
pub fn run_with(scenario: &Scenario, strategy_name: &str, faults: &[Happening]) -> Scores {
    let recipe = strategy(strategy_name);
    run(
        &RunRequest {
            faults,
            ..RunRequest::new(scenario, recipe.as_ref(), 7)
        },
        None,
    )
    .expect("runs")
}

/// The worst tank of some scores.
pub fn worst(scores: &Scores) -> &TankScores {
    &scores.tanks[scores.worst_tank]
}
