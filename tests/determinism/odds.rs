//! Clause: odds are the same bits on any number of threads, and draws of other parts leave those of one part alone. Watched: histories counted in order,
//! windows whose outcome hangs on their key alone.

use crate::support::{built_in, on_threads};
use tepid::compare::Silent;
use tepid::odds::{OddsRequest, odds};

#[test]
fn odds_are_the_same_bytes_on_one_two_and_eight_threads() {
    let scenario = tepid_scenarios::scenario("lidded-nano", &[]).expect("scenario");
    let lives = tepid_scenarios::lives(&scenario).expect("lives");
    let strategies = built_in(&["on-off", "pi"]);
    let with = |threads: usize, seed: u64| {
        let request = OddsRequest {
            scenario: &scenario,
            strategies: &strategies,
            lives: &lives,
            years: 300,
            span_years: 10,
            seed,
        };
        tepid_output::json::json(&on_threads(threads, || odds(&request, &Silent)).expect("odds"))
            .expect("json")
    };
    let one = with(1, 7);
    assert_eq!(one, with(2, 7));
    assert_eq!(one, with(8, 7));
    assert_ne!(one, with(2, 8), "another seed draws other years");
}
