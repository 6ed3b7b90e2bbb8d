//! `tepid tune` through the library: a cycle and a band for PI on a small tank, judged by another.
//!
//! Run it with `cargo run --example tune`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::compare::Silent;
use tepid::tune::{TuneRequest, Varied, tune};
use tepid_scenarios::Setting;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let two_days = [Setting::new("duration", "2 d")];
    let scenario = tepid_scenarios::scenario("lidded-nano", &two_days)?;
    let other = tepid_scenarios::scenario("spare-room-winter", &two_days)?;
    let entry = tepid_strategies::find("pi").ok_or("no such strategy")?;
    let request = TuneRequest {
        scenario: &scenario,
        entry,
        varied: &[Varied::named(entry, "band")?, Varied::named(entry, "cycle")?],
        settings: 12,
        seed: 7,
        replicates: 1,
        held_out: 4,
        also: &[other],
        despite: &[],
        no_worse: true,
        folder: None,
    };
    let tuning = tune(&request, &Silent)?;
    match tuning.recommended {
        Some(at) => println!("band and cycle: {}", tuning.settings[at].values.join(", ")),
        None => println!("no setting is safe"),
    }
    for held in &tuning.held_out {
        let steps = held.recommended.steps - held.defaults.steps;
        println!("{}: {steps:+.2} steps beside the defaults", held.runs);
    }
    Ok(())
}
