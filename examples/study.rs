//! A study through the library: what the command `tepid compare study.toml` does.

#![expect(clippy::print_stdout, reason = "an example shows its result")]

use std::sync::atomic::AtomicBool;

use tepid::compare::Silent;
use tepid::study::{Outcome, Plan, Shard, StudyRequest, study};
use tepid_output::table;
use tepid_output::wording::Units;
use tepid_scenarios::{Loaded, load_str};

const STUDY: &str = r#"
title      = "How wide a deadband"
scenarios  = ["lidded-nano"]
strategies = ["on-off"]
faults     = ["none"]
replicates = 4
duration   = "1 d"

[[vary]]
path   = "strategy.deadband"
values = ["0.2 K", "0.4 K", "0.8 K"]

[[gate]]
score   = "closings per day"
at_most = "60"
"#;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let Loaded::Study(read) = load_str("deadbands.toml", STUDY).map_err(|report| report.plain())? else {
        return Err("not a study".into());
    };
    let plan = Plan::new(*read)?;
    println!("{} cells", plan.cells());
    let request = StudyRequest {
        plan: &plan,
        path: "deadbands.toml",
        folder: None,
        shard: Shard::WHOLE,
        baseline: None,
        stop: &AtomicBool::new(false),
    };
    if let Outcome::Whole(result) = study(&request, &Silent)? {
        println!("{}", table::study(&result, Units::Metric));
    }
    Ok(())
}
