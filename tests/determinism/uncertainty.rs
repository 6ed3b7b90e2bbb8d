//! Clause: samples are the same bits on any number of threads. Watched: one stream of numbers per sample, results in order.

use crate::support::on_threads;
use tepid::uncertainty::{UncertaintyRequest, uncertainty};

#[test]
fn samples_are_the_same_bits_on_one_two_and_eight_threads() {
    let scenario = tepid_scenarios::scenario("lidded-nano", &[]).expect("scenario");
    let uncertain = tepid_scenarios::uncertainty::library().expect("library");
    let with = |threads: usize, seed: u64| {
        let request = UncertaintyRequest {
            scenario: &scenario,
            uncertain: &uncertain,
            samples: 24,
            seed,
        };
        tepid_output::json::json(&on_threads(threads, || uncertainty(&request)).expect("samples"))
            .expect("json")
    };
    let one = with(1, 7);
    assert_eq!(one, with(2, 7));
    assert_eq!(one, with(8, 7));
    assert_ne!(one, with(1, 8), "another seed draws other samples");
}
