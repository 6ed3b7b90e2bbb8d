//! `tepid explain`.

use clap::{Subcommand, ValueEnum};
use tepid::explain::{REFERENCE, Subject, explain};
use tepid_output::table;
use tepid_scenarios::{fault_sets, named_fault_set};
use tepid_strategies::guard::find_guard;

use super::Done;
use super::exit::{Failure, print};
use super::shared::{json, with_threads};

/// Arguments of `explain`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// A strategy, a guard, or a strategy file: its law, its parameters, its way to the heater, and which faults it covers.
    Strategy(OfStrategy),
}

#[derive(Debug, clap::Args)]
struct OfStrategy {
    /// Name of a strategy or guard, or a strategy file.
    name: String,
    /// The scenario on which faults are tried: of the library, or a file.
    #[arg(long, default_value = REFERENCE)]
    scenario: String,
    /// A fault set to try, by name; may be given several times; without any: every one.
    #[arg(long)]
    fault: Vec<String>,
    /// Tries no faults: quick.
    #[arg(long, conflicts_with = "fault")]
    without_faults: bool,
    /// Seed of weather and noise.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    /// Threads; without it: all cores. The result does not depend on it.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..))]
    threads: Option<u16>,
    /// Form of the output.
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Form of the output.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people.
    #[default]
    Table,
    /// For programs, complete.
    Json,
}

/// Explains.
pub fn run(arguments: &Arguments) -> Done {
    let What::Strategy(asked) = &arguments.what;
    let subject = match find_guard(&asked.name) {
        Some(entry) => Subject::Guard(entry),
        None => {
            let file = tepid_scenarios::strategy_or_guard(&asked.name)?;
            let listed = tepid_strategies::find(&asked.name).is_some();
            Subject::Strategy(file, listed)
        }
    };
    let scenario = tepid_scenarios::scenario(&asked.scenario, &[])?;
    let sets = if asked.without_faults {
        Vec::new()
    } else if asked.fault.is_empty() {
        fault_sets(&scenario)
    } else {
        asked
            .fault
            .iter()
            .map(|name| named_fault_set(&scenario, name))
            .collect::<Result<_, _>>()?
    };
    let explained = with_threads(asked.threads, |bar| {
        explain(subject, &scenario, asked.seed, sets, bar)
    })?;
    let record = explained.map_err(|error| Failure::BadInput(format!("{}: {error}", asked.name)))?;
    print(&match asked.format {
        Format::Table => table::explanation(&record),
        Format::Json => json(&record)?,
    })
}
