//! `tepid card`.

use std::path::{Path, PathBuf};

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, Format, Shown, apart, bound, json};
use tepid::card::{CardRequest, card, dates};
use tepid_output::{card_html, csv_text, table};

/// Arguments of `card`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A scenario of the library, or a file.
    scenario: String,
    /// A strategy by name or file.
    #[arg(long)]
    strategy: String,
    /// Writes a page to print: .html.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// The day it is put up, from which the next tests are dated: 2026-11-26. Without it there is room to write.
    #[arg(long, value_name = "DAY")]
    date: Option<String>,
    /// Seed of weather and noise.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    shown: Shown,
}

/// Writes and shows.
pub fn run(arguments: &Arguments) -> Done {
    if let Some(path) = &arguments.output
        && !path
            .extension()
            .is_some_and(|ending| ending.eq_ignore_ascii_case("html"))
    {
        return Err(Failure::BadInput(format!(
            "--output {}: the name must end in .html",
            path.display()
        )));
    }
    let read = [&arguments.scenario, &arguments.strategy].map(Path::new);
    apart(arguments.output.as_deref(), read)?;
    let date = arguments.date.as_deref().map(|text| {
        dates::day_of(text)
            .ok_or_else(|| Failure::BadInput(format!("--date {text}: expected a day such as 2026-11-26")))
    });
    let date = date.transpose()?;
    let scenario = tepid_scenarios::scenario(&arguments.scenario, &arguments.changes.settings()?)?;
    let strategy = tepid_scenarios::strategy(&arguments.strategy)?;
    bound(&strategy, &scenario)?;
    let lives = tepid_scenarios::lives(&scenario)?;
    let request = CardRequest {
        scenario: &scenario,
        strategy: &strategy,
        lives: &lives,
        date,
        seed: arguments.seed,
    };
    let record = card(&request).map_err(|error| Failure::Unfinished(error.to_string()))?;
    let units = arguments.shown.units.into();
    if let Some(path) = &arguments.output {
        let page = card_html::card_html(&record, units);
        return std::fs::write(path, page).map_err(|error| Failure::writing(path, error));
    }
    print(&match arguments.shown.format {
        Format::Table => table::card(&record, units),
        Format::Json => json(&record)?,
        Format::Csv => csv_text::leaves(&record).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })
}
