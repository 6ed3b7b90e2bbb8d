//! Clause: a run is a pure function. Watched: any state that outlives a run.

use crate::support::{Rows, short_scenario, strategy};
use tepid_sim::run::{RunRequest, run};

#[test]
fn the_same_run_twice_gives_the_same_bits() {
    let scenario = short_scenario();
    let recipe = strategy("strategy = \"pi\"");
    let (mut first, mut second) = (Rows::default(), Rows::default());
    let request = RunRequest::new(&scenario, recipe.as_ref(), 11);
    let a = run(&request, Some(&mut first)).expect("runs");
    let b = run(&request, Some(&mut second)).expect("runs");
    assert_eq!(first.0, second.0);
    assert_eq!(a, b);
}

#[test]
fn a_replicate_alone_is_the_replicate_among_others() {
    let scenario = short_scenario();
    let recipe = strategy("strategy = \"on-off\"");
    let of = |replicate: u64| {
        let request = RunRequest {
            replicate,
            ..RunRequest::new(&scenario, recipe.as_ref(), 11)
        };
        run(&request, None).expect("runs")
    };
    let among: Vec<_> = (0..4).map(of).collect();
    assert_eq!(among[3], of(3));
    assert_ne!(among[3], among[2]);
}

#[test]
fn looking_on_changes_nothing() {
    let scenario = short_scenario();
    let recipe = strategy("strategy = \"on-off\"");
    let request = RunRequest::new(&scenario, recipe.as_ref(), 11);
    let watched = run(&request, Some(&mut Rows::default())).expect("runs");
    assert_eq!(watched, run(&request, None).expect("runs"));
}
