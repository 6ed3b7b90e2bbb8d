//! `tepid budget`.

use std::path::PathBuf;

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, Format, Shown, json};
use tepid::uncertainty::{DEFAULT_SAMPLES, DEFAULT_SEED, UncertaintyRequest, uncertainty};
use tepid_output::{csv_text, table};
use tepid_scenarios::uncertainty as distributions;
use tepid_sim::scenario::Scenario;

/// Fewest samples whose 5th and 95th percentiles lie inside the outermost draws.
const FEWEST_SAMPLES: i64 = 50;

/// Arguments of `budget`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A scenario of the library, or a file.
    scenario: String,
    /// Also samples what is not known of the tank: how far the figures may be off, and what matters most.
    #[arg(long)]
    uncertainty: bool,
    /// A file of distributions in place of the library's.
    #[arg(long, value_name = "FILE.toml", requires = "uncertainty")]
    distributions: Option<PathBuf>,
    /// Samples, at least 50: of fewer the ends of an interval are the two outermost draws.
    #[arg(long, default_value_t = DEFAULT_SAMPLES, requires = "uncertainty", value_parser = clap::value_parser!(u32).range(FEWEST_SAMPLES..))]
    samples: u32,
    /// Seed of the samples.
    #[arg(long, default_value_t = DEFAULT_SEED, requires = "uncertainty")]
    seed: u64,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    shown: Shown,
}

/// What to do where a scenario has more tanks than a budget takes.
fn one_by_one(scenario: &Scenario) -> &'static str {
    if scenario.system_tanks().len() > 1 {
        "; a budget takes all water systems of a scenario together: ask for fewer of them at a time"
    } else {
        ""
    }
}

/// Shows the budget.
pub fn run(arguments: &Arguments) -> Done {
    let scenario = tepid_scenarios::scenario(&arguments.scenario, &arguments.changes.settings()?)?;
    let mut budget = tepid::budget::budget(&scenario)
        .map_err(|error| Failure::BadInput(format!("{}: {error}{}", scenario.name, one_by_one(&scenario))))?;
    if arguments.uncertainty {
        let uncertain = match &arguments.distributions {
            Some(path) => distributions::of_file(path)?,
            None => distributions::library()?,
        };
        let request = UncertaintyRequest {
            scenario: &scenario,
            uncertain: &uncertain,
            samples: arguments.samples,
            seed: arguments.seed,
        };
        budget.uncertainty = Some(
            uncertainty(&request)
                .map_err(|error| Failure::BadInput(format!("{}: {error}", scenario.name)))?,
        );
    }
    print(&match arguments.shown.format {
        Format::Table => table::budget(&budget, arguments.shown.units.into()),
        Format::Json => json(&budget)?,
        Format::Csv => csv_text::leaves(&budget).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })
}
