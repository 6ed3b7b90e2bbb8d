//! `tepid odds` through the library: what a test of the dial every month is worth.
//!
//! Run it with `cargo run --example odds`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::compare::Silent;
use tepid::odds::{OddsRequest, odds};
use tepid_output::wording::one_in;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scenario = tepid_scenarios::scenario("lidded-nano", &[])?;
    let lives = tepid_scenarios::lives(&scenario)?;
    let strategy = tepid_scenarios::strategy("on-off")?;
    let record = odds(
        &OddsRequest {
            scenario: &scenario,
            strategies: &[(strategy.name, strategy.recipe)],
            lives: &lives,
            years: 1000,
            span_years: 10,
            seed: 7,
        },
        &Silent,
    )?;
    for one in &record.strategies {
        println!(
            "{}: {}",
            one.strategy,
            one.chance.as_ref().map_or_else(String::new, one_in)
        );
        for moved in one.moved.iter().filter(|moved| moved.what.contains("tested")) {
            println!("  {} {}: {}", moved.what, moved.how, one_in(&moved.chance));
        }
    }
    Ok(())
}
