//! `tepid check`.

use std::path::{Path, PathBuf};

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Format, json};
use tepid::conformance::conformance;
use tepid::valid_range;
use tepid_output::{csv_text, table};
use tepid_scenarios::{Loaded, Report, StrategyFile, looks_like_path, outline};
use tepid_sim::scenario::Scenario;

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct Arguments {
    /// The file, or the name of a scenario of the library.
    #[arg(value_name = "FILE|SCENARIO", required = true)]
    file: Option<PathBuf>,
    #[command(subcommand)]
    what: Option<What>,
}

#[derive(Debug, clap::Subcommand)]
enum What {
    /// Tries a strategy in every way a controller is tried: silence, outages, odd readings, other speeds, a tank.
    Strategy(StrategyArguments),
}

/// Arguments of `check strategy`.
#[derive(Debug, clap::Args)]
struct StrategyArguments {
    /// The strategy: a name, a strategy file, or a script.
    #[arg(value_name = "FILE|NAME")]
    strategy: String,
    /// Form of the output.
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Checks.
pub fn run(arguments: &Arguments) -> Done {
    match (&arguments.what, &arguments.file) {
        (Some(What::Strategy(arguments)), _) => strategy(arguments),
        (None, Some(file)) => text_of(file),
        (None, None) => Err(Failure::BadInput("check what? Name a file".to_owned())),
    }
}

/// Tries a strategy; one check that fails ends with 1.
fn strategy(arguments: &StrategyArguments) -> Done {
    let strategy = tepid_scenarios::strategy(&arguments.strategy)?;
    let record = conformance(&strategy.name, strategy.recipe.as_ref());
    print(&match arguments.format {
        Format::Table => table::conformance(&record),
        Format::Json => json(&record)?,
        Format::Csv => csv_text::leaves(&record).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })?;
    match record.failures() {
        0 => Ok(()),
        1 => Err(Failure::DoesNotHold("a check fails".to_owned())),
        count => Err(Failure::DoesNotHold(format!("{count} checks fail"))),
    }
}

/// Reads a file and says what it holds.
fn text_of(file: &Path) -> Done {
    let name = file.display().to_string();
    print(&match loaded(file)? {
        Loaded::Scenario(scenario) => of_scenario(&name, &scenario),
        Loaded::Strategy(strategy) => of_strategy(&name, &strategy),
        Loaded::Study(study) => super::study::checked(&name, *study)?,
    })
}

fn of_strategy(name: &str, strategy: &StrategyFile) -> String {
    let mut text = format!(
        "{name}: a strategy without mistakes: {}, {}\n",
        strategy.strategy,
        strategy.recipe.settings()
    );
    for note in strategy.notes() {
        text.push_str(&format!("  warning: {note}\n"));
    }
    text
}

fn of_scenario(name: &str, scenario: &Scenario) -> String {
    let mut text = format!("{name}: a scenario without mistakes: {}\n", scenario.title);
    for line in outline(scenario) {
        text.push_str(&format!("  {line}\n"));
    }
    for warning in valid_range::of_lines(scenario) {
        text.push_str(&format!(
            "  warning: {}. {} {}\n",
            warning.what, warning.why, warning.advice
        ));
    }
    for assumption in &scenario.assumptions {
        text.push_str(&format!("  assumed: {assumption}\n"));
    }
    text
}

/// A file, else a scenario of the library by its name.
fn loaded(file: &Path) -> Result<Loaded, Report> {
    match file.to_str() {
        Some(name) if !file.exists() && !looks_like_path(name) => {
            tepid_scenarios::scenario(name, &[]).map(|scenario| Loaded::Scenario(Box::new(scenario)))
        }
        _ => tepid_scenarios::load_file(file),
    }
}
