//! Clause: threads do not matter. Watched: results gathered in the order of their end.

use crate::support::{built_in, on_threads};
use tepid::compare::{CompareRequest, Silent, compare};
use tepid_scenarios::fault_set;
use tepid_sim::scenario::{FaultSet, Scenario};

/// The bytes of a comparison worked out on so many threads.
fn compared(scenarios: &[(Scenario, Vec<FaultSet>)], strategies: &[&str], threads: usize) -> String {
    let request = CompareRequest {
        scenarios,
        strategies: &built_in(strategies),
        seed: 3,
        replicates: 2,
    };
    let comparison = on_threads(threads, || compare(&request, &Silent)).expect("compares");
    tepid_output::json::json(&comparison).expect("json")
}

#[test]
fn one_two_and_eight_threads_give_the_same_bytes() {
    let mut scenario = crate::support::short_scenario();
    scenario.duration_ms = tepid_sim::time::DAY;
    let sets = ["none", "one contact welded", "outage"]
        .map(|name| fault_set(&scenario, name).expect("set"))
        .to_vec();
    let scenarios = vec![(scenario, sets)];
    let with = |threads: usize| compared(&scenarios, &["on-off", "pi", "staggered-pair"], threads);
    let one = with(1);
    assert!(one.len() > 1000);
    assert_eq!(one, with(2));
    assert_eq!(one, with(8));
}

#[test]
fn several_water_systems_in_one_room_give_the_same_bytes_on_one_and_two_threads() {
    let copies = [
        tepid_scenarios::Setting::new("tank.nano.copies", "3"),
        tepid_scenarios::Setting::new("tank.nano.spread", "5 %"),
    ];
    let mut scenario = tepid_scenarios::scenario("lidded-nano", &copies).expect("scenario");
    scenario.duration_ms = tepid_sim::time::DAY;
    assert_eq!(scenario.system_tanks().len(), 3);
    let sets = ["none", "outage"]
        .map(|name| fault_set(&scenario, name).expect("set"))
        .to_vec();
    let scenarios = vec![(scenario, sets)];
    let with = |threads: usize| compared(&scenarios, &["on-off", "pi"], threads);
    let one = with(1);
    // Of three tanks so many are past the dose, in every fault that was tried.
    assert!(one.contains("\"of_tanks\": 3"));
    assert_eq!(one, with(2));
}
