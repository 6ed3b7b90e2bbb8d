//! The loop of a run asks the allocator for nothing: what it needs it takes at its start.

use std::alloc::System;

use stats_alloc::{INSTRUMENTED_SYSTEM, Region, StatsAlloc};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::time::{DAY, Millis};

/// Counts what is asked for. The only test of its program, so that nobody else asks meanwhile.
#[global_allocator]
static ALLOCATOR: &StatsAlloc<System> = &INSTRUMENTED_SYSTEM;

/// How often a run of so many days asks.
fn asked(strategy: &str, days: Millis) -> usize {
    let mut scenario = tepid_scenarios::scenario("lidded-nano", &[]).expect("a library scenario");
    scenario.duration_ms = days * DAY;
    let recipe = tepid_scenarios::strategy(strategy).expect("built in").recipe;
    let request = RunRequest::new(&scenario, recipe.as_ref(), 7);
    let region = Region::new(ALLOCATOR);
    run(&request, None).expect("runs");
    region.change().allocations
}

#[test]
fn a_further_month_of_a_tank_allocates_nothing() {
    for strategy in ["on-off", "pi", "proportional"] {
        // What is worked out once for all runs of a process.
        asked(strategy, 1);
        let (short, long) = (asked(strategy, 10), asked(strategy, 40));
        assert!(short > 0, "the allocator counts");
        assert_eq!(long, short, "{strategy}: a further month");
    }
}
