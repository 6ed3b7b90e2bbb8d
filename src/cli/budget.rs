//! `tepid budget`.

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, Format, Shown, json};
use tepid_output::{csv_text, table};

/// Arguments of `budget`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A scenario of the library, or a file.
    scenario: String,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    shown: Shown,
}

/// Shows the budget.
pub fn run(arguments: &Arguments) -> Done {
    let scenario = tepid_scenarios::scenario(&arguments.scenario, &arguments.changes.settings()?)?;
    let budget =
        tepid::budget::budget(&scenario).map_err(|error| Failure::BadInput(format!("{}: {error}", scenario.name)))?;
    print(&match arguments.shown.format {
        Format::Table => table::budget(&budget, arguments.shown.units.into()),
        Format::Json => json(&budget)?,
        Format::Csv => csv_text::leaves(&budget).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })
}
