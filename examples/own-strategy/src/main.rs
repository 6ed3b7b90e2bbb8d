//! Compares the strategy, with two values of its parameter, with all built-in ones on the same weather, noise and faults.
//!
//! Run it with `cargo run --package own-strategy`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use own_strategy::ENTRY;
use tepid::compare::{CompareRequest, Silent, compare};
use tepid_output::{table, wording::Units};
use tepid_strategies::registry;
use tepid_strategies::values::Value;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scenario = tepid_scenarios::scenario("lidded-nano", &[])?;
    let sets = vec![tepid_scenarios::fault_set(&scenario, "one contact welded")?];
    let scenarios = [(scenario, sets)];
    let mut strategies = Vec::new();
    for entry in registry().iter().chain([&ENTRY]) {
        strategies.push((entry.name.to_owned(), (entry.build)(&entry.defaults())?));
    }
    let mut values = ENTRY.defaults();
    values.set("lower_by", Value::Number(0.5))?;
    strategies.push(("half-setback".to_owned(), (ENTRY.build)(&values)?));
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
