//! `tepid fit` through the library: the invented log of a living room, and the scenario that its keeper wrote.
//!
//! Run it with `cargo run --example fit`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use std::path::Path;

use tepid::fit::{FitRequest, fit};
use tepid_scenarios::log_file::{self, LogOptions};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/logs");
    let scenario = tepid_scenarios::scenario(&folder.join("living-room.toml").to_string_lossy(), &[])?;
    let options = LogOptions {
        time_zone: Some("Europe/Berlin".to_owned()),
        ..LogOptions::default()
    };
    let log = log_file::read(&folder.join("living-room.csv"), &options)?;
    let found = fit(&FitRequest {
        scenario: &scenario,
        log: &log,
        tank: None,
        free: &[],
        hold: &[],
    })?;
    for parameter in &found.parameters {
        match parameter.interval {
            Some([low, high]) => println!(
                "{:?} {:.3}, {low:.3} to {high:.3}",
                parameter.what, parameter.value
            ),
            None => println!("{:?} held at {:.3}", parameter.what, parameter.value),
        }
    }
    println!("{:.1} W/K", found.tank_found.slope_w_per_k);
    Ok(())
}
