//! `tepid odds`.

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, Format, Shown, Threads, json, strategies, with_threads};
use tepid::odds::{OddsRequest, odds};
use tepid_output::{csv_text, table};

/// Arguments of `odds`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A scenario of the library, or a file.
    scenario: String,
    /// A strategy by name or file; may be given several times.
    #[arg(long, required = true)]
    strategy: Vec<String>,
    /// Years to draw: rarer losses need more of them.
    #[arg(long, default_value_t = 100_000, value_parser = clap::value_parser!(u64).range(100..=1_000_000_000))]
    years: u64,
    /// Years from new (or as old as stated) equipment to the next beginning.
    #[arg(long, default_value_t = 10, value_parser = clap::value_parser!(u32).range(1..=100))]
    span: u32,
    /// Seed of all draws.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    #[command(flatten)]
    threads: Threads,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    shown: Shown,
}

/// Reckons and shows.
pub fn run(arguments: &Arguments) -> Done {
    let scenario = tepid_scenarios::scenario(&arguments.scenario, &arguments.changes.settings()?)?;
    let lives = tepid_scenarios::lives(&scenario)?;
    let strategies = strategies(&arguments.strategy, &[&scenario])?;
    let request = OddsRequest {
        scenario: &scenario,
        strategies: &strategies,
        lives: &lives,
        years: arguments.years,
        span_years: arguments.span,
        seed: arguments.seed,
    };
    let record = with_threads(&arguments.threads, |bar| odds(&request, bar))?
        .map_err(|error| Failure::BadInput(format!("{}: {error}", scenario.name)))?;
    print(&match arguments.shown.format {
        Format::Table => table::odds(&record, arguments.shown.units.into()),
        Format::Json => json(&record)?,
        Format::Csv => csv_text::leaves(&record).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })
}
