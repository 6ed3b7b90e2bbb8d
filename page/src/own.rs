//! Files of somebody's own: scenarios and strategies that are not of the program.

use serde::{Deserialize, Serialize};
use tepid_scenarios::{FileKind, kind_of_text, scenario_text, strategy_text, text_written_out};
use tepid_sim::scenario::Scenario;
use tepid_strategies::Entry;

use crate::Mistake;

/// Most files of one setup: a scenario and strategies beside it.
pub(crate) const MOST_FILES: usize = 8;

/// A file as it was handed over. Wherever a setup names a scenario or a strategy, its own files come before those of the program.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnFile {
    /// What it is called by: its name on the disk.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// What a file turned out to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum OwnKind {
    /// A tank.
    Scenario,
    /// Who switches its heaters.
    Strategy,
}

impl OwnFile {
    /// What it is, when all of it is understood and can be shown.
    ///
    /// # Errors
    /// What is wrong with it, with line and column; or why a page cannot show it.
    pub fn kind(&self) -> Result<OwnKind, Mistake> {
        if self.name.ends_with(".rhai") {
            return Err(Mistake(format!(
                "{}: a script cannot be run here; expected a scenario or a strategy as TOML. Scripts are for `tepid compare`",
                self.name
            )));
        }
        match kind_of_text(&self.text) {
            FileKind::Scenario => self.scenario().map(|_| OwnKind::Scenario),
            FileKind::Strategy => {
                strategy_text(&self.name, &self.text)?;
                Ok(OwnKind::Strategy)
            }
            FileKind::Study => Err(Mistake(format!(
                "{}: this is a study, many runs at once; expected a scenario or a strategy. Studies are for `tepid compare`",
                self.name
            ))),
        }
    }

    /// As a scenario that a page can show.
    ///
    /// # Errors
    /// As [`OwnFile::kind`].
    pub fn scenario(&self) -> Result<Scenario, Mistake> {
        let scenario = scenario_text(&self.name, &self.text)?;
        // Whether it goes alone: a page has no other file.
        text_written_out(&self.name, &self.text, &[], "")?;
        Ok(scenario)
    }
}

/// Why a page cannot show a scenario, if so: one drawing is one water system, and scores so far are those of one.
///
/// # Errors
/// In words.
pub fn shown(scenario: &Scenario) -> Result<(), Mistake> {
    match scenario.system_tanks().len() {
        0 | 1 => Ok(()),
        systems => Err(Mistake(format!(
            "{} has {systems} water systems, and the live tank draws one; `tepid compare` and `tepid report` take them all",
            scenario.name
        ))),
    }
}

/// Whether a strategy with its defaults can control a scenario.
pub(crate) fn binds(scenario: &Scenario, entry: &Entry) -> bool {
    let recipe = (entry.build)(&entry.defaults()).ok();
    recipe.is_some_and(|recipe| tepid_sim::run::binds(scenario, recipe.as_ref()).is_ok())
}
