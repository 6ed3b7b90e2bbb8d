//! Clause: threads do not matter. Watched: results gathered in the order of their end.

use tepid::compare::{CompareRequest, Silent, compare};
use tepid_scenarios::fault_set;

#[test]
fn one_two_and_eight_threads_give_the_same_bytes() {
    let mut scenario = crate::support::short_scenario();
    scenario.duration_ms = tepid_sim::time::DAY;
    let sets = ["none", "one contact welded", "outage"]
        .map(|name| fault_set(&scenario, name).expect("set"))
        .to_vec();
    let scenarios = vec![(scenario, sets)];
    let strategies: Vec<_> = ["on-off", "pi", "staggered-pair"]
        .map(|name| {
            (
                name.to_owned(),
                tepid_scenarios::strategy(name).expect("strategy").recipe,
            )
        })
        .into_iter()
        .collect();
    let with = |threads: usize| {
        let request = CompareRequest {
            scenarios: &scenarios,
            strategies: &strategies,
            seed: 3,
            replicates: 2,
        };
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("pool");
        let comparison = pool.install(|| compare(&request, &Silent)).expect("compares");
        tepid_output::json::json(&comparison).expect("json")
    };
    let one = with(1);
    assert!(one.len() > 1000);
    assert_eq!(one, with(2));
    assert_eq!(one, with(8));
}
