//! `tepid explain`.

use clap::{Subcommand, ValueEnum};
use tepid::explain::{ExplainError, Subject, WithoutFaults, reference_for};
use tepid_output::table;
use tepid_scenarios::{fault_sets, named_fault_set};
use tepid_strategies::guard::find_guard;

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Threads, json, with_threads};

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
    /// The kind of thing left out.
    #[command(external_subcommand)]
    Unsaid(Vec<String>),
}

#[derive(Debug, clap::Args)]
struct OfStrategy {
    /// Name of a strategy or guard, or a strategy file.
    name: String,
    /// The scenario on which faults are tried: of the library, or a file; without it: spare-room-one-big-heater, or the first of the library on
    /// which it applies.
    #[arg(long)]
    scenario: Option<String>,
    /// A fault set to try, by name; may be given several times; without any: every one.
    #[arg(long)]
    fault: Vec<String>,
    /// Tries no faults, which takes minutes: only law, parameters and way.
    #[arg(long, conflicts_with = "fault")]
    without_faults: bool,
    /// Seed of weather and noise.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    #[command(flatten)]
    threads: Threads,
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
    let asked = match &arguments.what {
        What::Strategy(asked) => asked,
        What::Unsaid(words) => return Err(unsaid(words)),
    };
    let subject = match find_guard(&asked.name) {
        Some(entry) => Subject::Guard(entry),
        None => {
            let file = tepid_scenarios::strategy_or_guard(&asked.name)?;
            let listed = tepid_strategies::find(&asked.name).is_some();
            Subject::Strategy(file, listed)
        }
    };
    let wrong = |error: ExplainError| Failure::BadInput(format!("{}: {error}", asked.name));
    let scenario = match &asked.scenario {
        Some(named) => tepid_scenarios::scenario(named, &[])?,
        None => tepid_scenarios::scenario(reference_for(&subject).map_err(wrong)?, &[])?,
    };
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
    let begun = WithoutFaults::on(subject, &scenario).map_err(wrong)?;
    let tries = !sets.is_empty() && begun.record().does_not_apply.is_none();
    if asked.format == Format::Table {
        // What needs no simulation need not wait for it.
        print(&table::explanation(begun.record()))?;
        if tries {
            print(&format!(
                "\nTried by simulation, which takes a while: {} fault sets. --without-faults leaves them out.\n",
                sets.len()
            ))?;
        }
    }
    let tried = with_threads(&asked.threads, |bar| begun.with_faults(asked.seed, sets, bar))?;
    let record = tried.map_err(wrong)?;
    print(&match asked.format {
        Format::Table => table::coverage(&record),
        Format::Json => json(&record)?,
    })
}

/// Somebody left out what kind of thing is to be explained.
fn unsaid(words: &[String]) -> Failure {
    Failure::BadInput(format!(
        "`tepid explain` explains a strategy, a guard or a strategy file; expected: tepid explain strategy {}",
        words.join(" ")
    ))
}
