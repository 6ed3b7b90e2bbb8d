//! `tepid explain` through the library: what a strategy is, and whether it covers some faults.
//!
//! Run it with `cargo run --example explain`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::compare::Silent;
use tepid::explain::{REFERENCE, Subject, explain};
use tepid_output::table;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scenario = tepid_scenarios::scenario(REFERENCE, &[])?;
    let sets = ["one contact welded", "probe silent"];
    let sets: Result<Vec<_>, _> = sets
        .iter()
        .map(|name| tepid_scenarios::fault_set(&scenario, name))
        .collect();
    let subject = Subject::Strategy(tepid_scenarios::strategy("on-off")?, true);
    let record = explain(subject, &scenario, 7, sets?, &Silent)?;
    print!("{}{}", table::explanation(&record), table::coverage(&record));
    Ok(())
}
