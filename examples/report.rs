//! `tepid report` through the library: everything about a tank as one HTML page.
//!
//! Run it with `cargo run --example report > tank.html`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::compare::Silent;
use tepid::report::{ReportRequest, report};
use tepid_output::report::html;
use tepid_output::wording::Units;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scenario = tepid_scenarios::scenario("lidded-nano", &[])?;
    let strategy = tepid_scenarios::strategy("on-off")?;
    let request = ReportRequest {
        scenarios: &[("lidded-nano".to_owned(), scenario)],
        strategies: &[(strategy.name, strategy.recipe)],
        strategies_asked: &["on-off".to_owned()],
        changes: &[],
        seed: 7,
        runs: 5,
        units: Units::Metric,
        file: "tank.html",
        inputs: Vec::new(),
        live: None,
    };
    println!("{}", html(&report(&request, &Silent)?));
    Ok(())
}
