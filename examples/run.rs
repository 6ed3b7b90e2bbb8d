//! `tepid run` through the library: one strategy on one scenario, its scores and its course as CSV.
//!
//! Run it with `cargo run --example run`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::single::single;
use tepid_output::{table, trace_csv::TraceCsv, wording::Units};
use tepid_sim::run::RunRequest;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scenario = tepid_scenarios::scenario("lidded-nano", &[])?;
    let strategy = tepid_scenarios::strategy("on-off")?;
    let mut course = TraceCsv::new(&scenario, &[], Vec::new())?;
    let request = RunRequest::new(&scenario, strategy.recipe.as_ref(), 7);
    let result = single(&request, None, Some(&mut course));
    println!("{}", table::run(&result, Units::Metric));
    let csv = String::from_utf8(course.finish()?)?;
    println!("the course has {} rows; it begins:", csv.lines().count());
    csv.lines().take(4).for_each(|line| println!("{line}"));
    Ok(())
}
