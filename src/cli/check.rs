//! `tepid check`.

use std::path::PathBuf;

use super::Done;
use super::exit::print;
use tepid_scenarios::{Loaded, outline};

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The file.
    file: PathBuf,
}

/// Checks.
pub fn run(arguments: &Arguments) -> Done {
    let loaded = tepid_scenarios::load_file(&arguments.file)?;
    let name = arguments.file.display();
    let mut text = match &loaded {
        Loaded::Scenario(scenario) => format!("{name}: a scenario without mistakes: {}\n", scenario.title),
        Loaded::Strategy(strategy) => {
            format!(
                "{name}: a strategy without mistakes: {}, {}\n",
                strategy.strategy,
                strategy.recipe.settings()
            )
        }
        Loaded::Study(study) => format!("{name}: a study without mistakes: {}\n", study.title),
    };
    if let Loaded::Scenario(scenario) = &loaded {
        for line in outline(scenario) {
            text.push_str(&format!("  {line}\n"));
        }
        for assumption in &scenario.assumptions {
            text.push_str(&format!("  assumed: {assumption}\n"));
        }
    }
    print(&text)
}
