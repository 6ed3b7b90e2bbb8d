//! `tepid faults`.

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, Format, Shown, Threads, all_bound, json, none_failed, with_threads};
use tepid::faults::{FaultsRequest, faults};
use tepid_output::records::FaultMatrix;
use tepid_output::{csv_text, table};

/// Arguments of `faults`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A scenario of the library, or a file.
    scenario: String,
    /// A strategy by name or file; may be given several times.
    #[arg(long, required = true)]
    strategy: Vec<String>,
    /// Also tries every pair of faults that each stay below the dose alone; takes some minutes.
    #[arg(long)]
    pairs: bool,
    #[command(flatten)]
    changes: Changes,
    /// Seed of weather and noise.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    #[command(flatten)]
    threads: Threads,
    #[command(flatten)]
    shown: Shown,
}

/// Tries and shows.
pub fn run(arguments: &Arguments) -> Done {
    let scenario = tepid_scenarios::scenario(&arguments.scenario, &arguments.changes.settings()?)?;
    let strategies = all_bound(&arguments.strategy, &[&scenario])?;
    let request = FaultsRequest {
        scenario: &scenario,
        strategies: &strategies,
        seed: arguments.seed,
        pairs: arguments.pairs,
    };
    let matrix = with_threads(&arguments.threads, |bar| faults(&request, bar))?
        .map_err(|error| Failure::BadInput(format!("{}: {error}", scenario.name)))?;
    print(&shown(arguments, &matrix)?)?;
    let failed = matrix.strategies.iter().filter(|one| !one.failures.is_empty());
    none_failed(failed.count())
}

fn shown(arguments: &Arguments, matrix: &FaultMatrix) -> Result<String, Failure> {
    Ok(match arguments.shown.format {
        Format::Table => table::fault_matrix(matrix, arguments.shown.units.into()),
        Format::Json => json(matrix)?,
        Format::Csv => {
            csv_text::fault_matrix(matrix).map_err(|error| Failure::Unfinished(error.to_string()))?
        }
    })
}
