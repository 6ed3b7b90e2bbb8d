//! `tepid check`.

use std::path::{Path, PathBuf};

use super::Done;
use super::exit::print;
use super::shared::not_carried_out;
use tepid_scenarios::{Loaded, Report, looks_like_path, outline};

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The file, or the name of a scenario of the library.
    #[arg(value_name = "FILE|SCENARIO")]
    file: PathBuf,
}

/// Checks.
pub fn run(arguments: &Arguments) -> Done {
    let loaded = loaded(&arguments.file)?;
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
        Loaded::Study(study) => {
            let not_yet = study.not_carried_out();
            let but = if not_yet.is_empty() {
                String::new()
            } else {
                format!("  but {}\n", not_carried_out(&not_yet))
            };
            format!("{name}: a study without mistakes: {}\n{but}", study.title)
        }
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

/// A file, else a scenario of the library by its name.
fn loaded(file: &Path) -> Result<Loaded, Report> {
    match file.to_str() {
        Some(name) if !file.exists() && !looks_like_path(name) => {
            tepid_scenarios::scenario(name, &[]).map(|scenario| Loaded::Scenario(Box::new(scenario)))
        }
        _ => tepid_scenarios::load_file(file),
    }
}
