//! Clause: a run that goes on in several ways gives what each would give from the start. Watched: a twin that keeps less than its
//! strategy knows, a stop that is none, what was counted before the ways part.

use tepid_scenarios::{fault_sets, library};
use tepid_sim::run::{Branch, RunRequest, run, run_branches};
use tepid_sim::scenario::{Happening, Probe, ProbePurpose, Scenario, When};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};
use tepid_strategies::guard::Guarded;

/// Off every grid, on the grid of decisions, and at midnight.
const INSTANTS_MS: [Millis; 4] = [
    5 * HOUR + 17 * MINUTE + 43_456,
    9 * HOUR + 20_000,
    14 * HOUR + 17 * MINUTE + 1,
    DAY,
];
const FOLLOWED_MS: Millis = 11 * HOUR;

/// A tank where every guard has something to do: a fan, an event across an instant, a heater that
/// heats for hours in a cold room.
const GUARDED: &str = r#"
base  = "warm-room-fan"
title = "A tank to guard"

[set]
"room.temperature.mean" = "22 °C"
"room.temperature.swing" = "10 K"
"heater.heater.power" = "80 W"

[[event]]
what  = "feeding pause"
at    = "5 h"
lasts = "40 min"
"#;

/// Every fault of some sets at every instant, and nothing broken.
fn ways(scenario: &Scenario) -> Vec<(Vec<Happening>, Millis)> {
    let mut faults: Vec<Option<Happening>> = vec![None];
    for set in fault_sets(scenario) {
        if ["one contact welded", "one heater dead", "probe stuck", "outage"].contains(&set.name.as_str()) {
            faults.extend(set.cases.into_iter().map(|case| Some(case.fault)));
        }
    }
    let with = |at_ms: Millis| {
        faults.iter().map(move |fault| {
            let fault = fault.clone().map(|fault| Happening {
                when: When::At(at_ms),
                ..fault
            });
            (fault.into_iter().collect(), at_ms)
        })
    };
    INSTANTS_MS.into_iter().flat_map(with).collect()
}

fn assert_branches_are_runs(scenario: &Scenario, recipe: &dyn StrategyRecipe) {
    let ways = ways(scenario);
    let branches: Vec<Branch<'_>> = ways
        .iter()
        .map(|(faults, at_ms)| Branch {
            faults,
            judged_from_ms: *at_ms,
            end_ms: at_ms + FOLLOWED_MS,
        })
        .collect();
    let request = RunRequest::new(scenario, recipe, 11);
    for (branch, result) in branches.iter().zip(run_branches(&request, &branches)) {
        let alone = run(
            &RunRequest {
                faults: branch.faults,
                judged_from_ms: branch.judged_from_ms,
                end_ms: branch.end_ms,
                ..request
            },
            None,
        );
        let told = branch
            .faults
            .iter()
            .map(|fault| fault.name.as_str())
            .collect::<Vec<_>>();
        assert!(
            result == alone,
            "{} under {} with {told:?} at {} ms",
            scenario.name,
            recipe.name(),
            branch.judged_from_ms
        );
    }
}

#[test]
fn every_strategy_goes_on_in_several_ways_as_it_would_from_the_start() {
    let mut scenario = tepid_scenarios::scenario("spare-room-winter", &[]).expect("library scenario");
    scenario.warm_up_ms = 6 * HOUR;
    for entry in tepid_strategies::registry() {
        let recipe = (entry.build)(&entry.defaults()).expect("defaults");
        assert_branches_are_runs(&scenario, recipe.as_ref());
    }
}

#[test]
fn every_guard_goes_on_in_several_ways_as_it_would_from_the_start() {
    let mut scenario = tepid_scenarios::scenario_text("guarded.toml", GUARDED).expect("a scenario");
    scenario.warm_up_ms = 6 * HOUR;
    scenario.probes.push(Probe {
        name: "second".to_owned(),
        purpose: ProbePurpose::Monitor,
        ..scenario.probes[0].clone()
    });
    for entry in tepid_strategies::guard::guards() {
        let inner = tepid_scenarios::strategy("on-off").expect("strategy").recipe;
        let guard = (entry.build)(&entry.defaults()).expect("defaults");
        let recipe = Guarded::new(inner, vec![guard]);
        assert_branches_are_runs(&scenario, &recipe);
    }
}

#[test]
fn every_scenario_goes_on_in_several_ways_as_it_would_from_the_start() {
    for name in library::names().filter(|name| *name != "shop-room") {
        let mut scenario = tepid_scenarios::scenario(name, &[]).expect("library scenario");
        scenario.warm_up_ms = scenario.warm_up_ms.min(6 * HOUR);
        // Apart from each other its tanks would be four systems, which are run from the start each time.
        let strategy = if name == "fish-room" {
            "room-first"
        } else {
            "on-off"
        };
        let recipe = tepid_scenarios::strategy(strategy).expect("strategy").recipe;
        assert_branches_are_runs(&scenario, recipe.as_ref());
    }
}
