//! Clause: threads do not matter to a fault matrix. Watched: rows, changes and pairs gathered in the order of their end.

use crate::support::{built_in, on_threads};
use tepid::compare::Silent;
use tepid::faults::{FaultsRequest, faults};
use tepid_scenarios::fault_sets;
use tepid_sim::scenario::FaultSet;

#[test]
fn one_and_two_threads_give_the_same_bytes() {
    let mut scenario = crate::support::short_scenario();
    scenario.duration_ms = tepid_sim::time::DAY;
    let tried = ["one contact welded", "one heater dead", "probe silent"];
    let others = fault_sets(&scenario)
        .into_iter()
        .filter(|set| !tried.contains(&set.name.as_str()));
    let emptied: Vec<FaultSet> = others
        .map(|set| FaultSet {
            cases: Vec::new(),
            ..set
        })
        .collect();
    scenario.fault_sets.extend(emptied);
    let with = |threads: usize| {
        let request = FaultsRequest {
            scenario: &scenario,
            strategies: &built_in(&["on-off"]),
            seed: 3,
            pairs: true,
        };
        let matrix = on_threads(threads, || faults(&request, &Silent)).expect("applies");
        tepid_output::json::json(&matrix).expect("json")
    };
    let one = with(1);
    assert!(one.contains("\"smallest\"") && one.contains("two faults at once"));
    assert_eq!(one, with(2));
}
