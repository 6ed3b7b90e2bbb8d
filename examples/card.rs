//! `tepid card` through the library: the hours that a keeper has, and the tests that are due.
//!
//! Run it with `cargo run --example card`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::card::{CardRequest, card, dates};
use tepid_output::table;
use tepid_output::wording::Units;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scenario = tepid_scenarios::scenario("garage-outage", &[])?;
    let strategy = tepid_scenarios::strategy("on-off")?;
    let lives = tepid_scenarios::lives(&scenario)?;
    let request = CardRequest {
        scenario: &scenario,
        strategy: &strategy,
        lives: &lives,
        date: dates::day_of("2026-11-26"),
        seed: 7,
    };
    print!("{}", table::card(&card(&request)?, Units::Metric));
    Ok(())
}
