//! `tepid`'s side of the peer comparison.
//!
//! `tepid-peer record TANK.toml DAYS FILE.csv`: instants, heater's power from each on, W, and water, °C: at every switching and every ten minutes.
//! `tepid-peer starts TANK.toml DAYS`: starts of the heater.

use std::error::Error;
use std::fmt::Write;

use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::time::{DAY, MINUTE, Millis, seconds};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

/// How often the water is told between switchings.
const TOLD_EVERY_MS: Millis = 10 * MINUTE;
/// Nothing is drawn here: any serves.
const SEED: u64 = 7;

#[derive(Default)]
struct Record {
    text: String,
    heater_w: Option<f64>,
}

impl TraceSink for Record {
    fn row(&mut self, row: &TraceRow<'_>) {
        let heater_w = row.heater_w[0];
        if self.heater_w != Some(heater_w) || row.at_ms % TOLD_EVERY_MS == 0 {
            self.heater_w = Some(heater_w);
            let _ = writeln!(self.text, "{},{heater_w},{}", seconds(row.at_ms), row.water_c[0]);
        }
    }

    fn mark(&mut self, _mark: &Mark<'_>) {}
}

fn tank(file: &str, days: &str) -> Result<Scenario, Box<dyn Error>> {
    let mut scenario = tepid_scenarios::scenario(file, &[]).map_err(|report| report.plain())?;
    scenario.duration_ms = days.parse::<Millis>()? * DAY;
    Ok(scenario)
}

fn main() -> Result<(), Box<dyn Error>> {
    let on_off = tepid_scenarios::strategy("on-off").map_err(|report| report.plain())?;
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match arguments[..] {
        ["record", file, days, to] => {
            let mut record = Record::default();
            let scenario = tank(file, days)?;
            run(
                &RunRequest::new(&scenario, on_off.recipe.as_ref(), SEED),
                Some(&mut record),
            )?;
            std::fs::write(to, format!("t_s,heater_w,water_c\n{}", record.text))?;
        }
        ["starts", file, days] => {
            let scenario = tank(file, days)?;
            let scores = run(&RunRequest::new(&scenario, on_off.recipe.as_ref(), SEED), None)?;
            println!("{}", scores.contacts[0].closings);
        }
        _ => return Err("record TANK.toml DAYS FILE.csv, or starts TANK.toml DAYS".into()),
    }
    Ok(())
}
