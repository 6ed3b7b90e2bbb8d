//! Heat goes somewhere: every path is booked exactly once, in every library scenario under every strategy that applies.

use crate::library::SENSIBLE;
use crate::support::{scenario, strategy};
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::When;
use tepid_sim::strategy::BindError;
use tepid_sim::time::DAY;

/// What the model page asks, of the heat turned over.
const CLOSES_TO: f64 = 1e-9;

#[test]
fn the_heat_balance_closes_in_every_library_scenario_under_every_strategy() {
    let mut closed = 0;
    for name in tepid_scenarios::library::names() {
        let mut scenario = scenario(name, &[]);
        scenario.duration_ms = scenario.duration_ms.min(7 * DAY);
        for entry in tepid_strategies::registry() {
            let recipe = strategy(entry.name);
            match run(&RunRequest::new(&scenario, recipe.as_ref(), 7), None) {
                Ok(scores) => {
                    let error = scores.heat_balance.error_frac;
                    assert!(error < CLOSES_TO, "{name} under {}: {error:e}", entry.name);
                    assert!(scores.heat_balance.turned_over_j > 1e6);
                    closed += 1;
                }
                Err(RunError::Bind(BindError::DoesNotApply { .. })) => {}
                Err(error) => panic!("{name} under {}: {error}", entry.name),
            }
        }
    }
    assert!(closed >= 20, "only {closed} runs");
}

#[test]
fn the_heat_balance_closes_where_water_comes_and_goes() {
    let mut closed = 0;
    for (name, strategy_name) in SENSIBLE {
        let mut scenario = scenario(name, &[]);
        scenario.duration_ms = scenario.duration_ms.min(3 * DAY);
        let recipe = strategy(strategy_name);
        for set in [
            "leak",
            "cold water change",
            "top-off stuck on",
            "top-off stopped",
            "outage",
        ] {
            for case in tepid_scenarios::fault_set(&scenario, set).expect("a set").cases {
                let mut faults: Vec<_> = case.happenings().cloned().collect();
                for fault in &mut faults {
                    fault.when = When::At(DAY);
                }
                let scores = run(
                    &RunRequest {
                        faults: &faults,
                        ..RunRequest::new(&scenario, recipe.as_ref(), 7)
                    },
                    None,
                )
                .unwrap_or_else(|error| panic!("{name}, {set}: {error}"));
                let error = scores.heat_balance.error_frac;
                assert!(error < CLOSES_TO, "{name}, {set}: {error:e}");
                closed += 1;
            }
        }
    }
    assert!(closed >= 40, "only {closed} runs");
}
