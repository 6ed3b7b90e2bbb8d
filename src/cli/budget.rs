//! `tepid budget`.

use std::fmt::Display;
use std::path::PathBuf;

use serde::Serialize;

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, Format, Shown, json};
use tepid::budget::{budgets, systems_alone};
use tepid::uncertainty::{DEFAULT_SAMPLES, DEFAULT_SEED, UncertaintyRequest, uncertainty};
use tepid_output::records::{Budgets, FORMAT_VERSION, RecordKind};
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

/// Shows the budget.
pub fn run(arguments: &Arguments) -> Done {
    let scenario = tepid_scenarios::scenario(&arguments.scenario, &arguments.changes.settings()?)?;
    let bad_input = |error: &dyn Display| Failure::BadInput(format!("{}: {error}", scenario.name));
    let mut all = budgets(&scenario).map_err(|error| bad_input(&error))?;
    if arguments.uncertainty {
        let uncertain = match &arguments.distributions {
            Some(path) => distributions::of_file(path)?,
            None => distributions::library()?,
        };
        let alone = systems_alone(&scenario).map_err(|error| bad_input(&error))?;
        let mut each: Vec<&Scenario> = alone.iter().map(|system| &system.scenario).collect();
        if each.is_empty() {
            each.push(&scenario);
        }
        for (budget, scenario) in all.iter_mut().zip(each) {
            let request = UncertaintyRequest {
                scenario,
                uncertain: &uncertain,
                samples: arguments.samples,
                seed: arguments.seed,
            };
            budget.uncertainty = Some(uncertainty(&request).map_err(|error| bad_input(&error))?);
        }
    }
    let units = arguments.shown.units.into();
    print(&match all.as_slice() {
        [one] => shown(one, arguments.shown.format, || table::budget(one, units))?,
        _ => {
            let all = Budgets {
                format: RecordKind::Budgets,
                version: FORMAT_VERSION,
                systems: all,
            };
            shown(&all, arguments.shown.format, || table::budgets(&all, units))?
        }
    })
}

fn shown(record: &impl Serialize, format: Format, table: impl Fn() -> String) -> Result<String, Failure> {
    Ok(match format {
        Format::Table => table(),
        Format::Json => json(record)?,
        Format::Csv => csv_text::leaves(record).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })
}
