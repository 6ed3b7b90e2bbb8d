//! `tepid compare` through the library: two strategies on one scenario, healthy and with each contact welded.
//!
//! Run it with `cargo run --example compare`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::compare::{CompareRequest, Silent, compare};
use tepid_output::{table, wording::Units};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scenario = tepid_scenarios::scenario("lidded-nano", &[])?;
    let sets = vec![tepid_scenarios::fault_set(&scenario, "one contact welded")?];
    let mut strategies = Vec::new();
    for name in ["on-off", "proportional"] {
        strategies.push((name.to_owned(), tepid_scenarios::strategy(name)?.recipe));
    }
    let scenarios = [(scenario, sets)];
    let request = CompareRequest {
        scenarios: &scenarios,
        strategies: &strategies,
        seed: 7,
        replicates: 1,
    };
    println!(
        "{}",
        table::comparison(&compare(&request, &Silent)?, Units::Metric)
    );
    Ok(())
}
