//! All that a run is made of, and the scenario file it amounts to.

use serde::{Deserialize, Serialize};
use tepid_scenarios::{Setting, StrategyFile, library, text_written_out};
use tepid_sim::scenario::Scenario;
use tepid_strategies::Entry;

use crate::Mistake;
use crate::acts::Act;
use crate::own::{MOST_FILES, OwnFile, shown};
use crate::sliders::{Effects, Turned, effects, sliders};

/// Most strategies side by side.
pub const MOST_STRATEGIES: usize = 4;
/// Most acts of one setup. A choice: a class has finished long before.
const MOST_ACTS: usize = 100;

/// All that the runs of a page are made of: the same setup gives the same bits anywhere.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Setup {
    /// A scenario of the library, or one of the files.
    pub scenario: String,
    /// Names of strategies, or files, one to four.
    pub strategies: Vec<String>,
    /// Files that are not of the program.
    #[serde(default)]
    pub files: Vec<OwnFile>,
    /// Where sliders stand.
    #[serde(default)]
    pub sliders: Turned,
    /// What somebody did.
    #[serde(default)]
    pub acts: Vec<Act>,
    /// Seed of all random numbers.
    #[serde(default = "usual_seed")]
    pub seed: u64,
}

/// How the title of a scenario ends that was tried.
const TRIED: &str = ", tried live";

/// The program's own seed: the same week as in its tables.
pub(crate) const USUAL_SEED: u64 = 7;

fn usual_seed() -> u64 {
    USUAL_SEED
}

/// A text as TOML writes it.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            c if c.is_control() => out += &format!("\\u{:04X}", u32::from(c)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

impl Setup {
    /// The file of that name, if it is not of the program.
    pub(crate) fn file(&self, name: &str) -> Option<&OwnFile> {
        self.files.iter().find(|file| file.name == name)
    }

    /// The scenario before anybody turned or did anything.
    ///
    /// # Errors
    /// There is none of that name, or its file is wrong.
    pub fn untouched(&self) -> Result<Scenario, Mistake> {
        if self.files.len() > MOST_FILES {
            return Err(Mistake(format!("at most {MOST_FILES} files")));
        }
        if let Some(file) = self.file(&self.scenario) {
            return file.scenario();
        }
        let found = library::load(&self.scenario);
        Ok(found.ok_or_else(|| Mistake(format!("no scenario is named `{}`", self.scenario)))??)
    }

    fn effects(&self) -> Result<Effects, Mistake> {
        effects(&sliders(&self.untouched()?), &self.sliders)
    }

    /// The scenario that runs, as a file for anybody to keep: with what was turned and done. One of the library stays a variant of it; one of
    /// somebody's own is written out whole.
    ///
    /// # Errors
    /// A name or a slider that does not exist.
    pub fn scenario_toml(&self) -> Result<String, Mistake> {
        if self.acts.len() > MOST_ACTS {
            return Err(Mistake(format!("at most {MOST_ACTS} acts")));
        }
        let untouched = self.untouched()?;
        let effects = effects(&sliders(&untouched), &self.sliders)?;
        let tried = untouched.title.strip_suffix(TRIED).unwrap_or(&untouched.title);
        let commands = self.commands()?.join("; ");
        let head = format!(
            "# {tried} as it was turned and broken on the live page.\n# See what came of it: {commands}\n"
        );
        let title = quoted(&format!("{tried}{TRIED}"));
        let acts = self.acts.iter().map(Act::toml);
        let entries = effects.entries.iter().cloned().chain(acts);
        if let Some(file) = self.file(&self.scenario) {
            let set = effects
                .set
                .iter()
                .map(|(path, value)| Setting::new(path, &quoted(value)));
            let settings: Vec<Setting> = set.chain([Setting::new("title", &title)]).collect();
            let entries: Vec<String> = entries.collect();
            let written = text_written_out(&file.name, &file.text, &settings, &entries.join("\n"))?;
            return Ok(head + &written);
        }
        let mut text = format!("{head}base  = {}\ntitle = {title}\n", quoted(&self.scenario));
        if !effects.set.is_empty() {
            text += "\n[set]\n";
            for (path, value) in &effects.set {
                text += &format!("{} = {}\n", quoted(path), quoted(value));
            }
        }
        for entry in entries {
            text += "\n";
            text += &entry;
        }
        Ok(text)
    }

    /// The scenario that runs.
    ///
    /// # Errors
    /// What is wrong with it, or why a page cannot show it.
    pub fn scenario(&self) -> Result<Scenario, Mistake> {
        let scenario = tepid_scenarios::scenario_text("live.toml", &self.scenario_toml()?)?;
        shown(&scenario)?;
        Ok(scenario)
    }

    /// Every strategy as a file, with the parameters that it has of those turned; one of somebody's own as it is.
    ///
    /// # Errors
    /// A name that is no strategy, none, or more than four.
    pub fn strategies_toml(&self) -> Result<Vec<String>, Mistake> {
        if self.strategies.is_empty() || self.strategies.len() > MOST_STRATEGIES {
            return Err(Mistake(format!(
                "one to {MOST_STRATEGIES} strategies side by side"
            )));
        }
        let parameters = self.effects()?.parameters;
        let entry = |name: &String| -> Result<&'static Entry, Mistake> {
            tepid_strategies::find(name).ok_or_else(|| Mistake(format!("no strategy is named `{name}`")))
        };
        let text = |name: &String| {
            if let Some(file) = self.file(name) {
                return Ok(file.text.clone());
            }
            let entry = entry(name)?;
            let mut text = format!("strategy = {}\n", quoted(name));
            for (parameter, value) in parameters
                .iter()
                .filter(|(parameter, _)| entry.param(parameter).is_some())
            {
                text += &format!("{parameter} = {}\n", quoted(value));
            }
            Ok(text)
        };
        self.strategies.iter().map(text).collect()
    }

    /// Which strategies have a parameter that was turned.
    pub(crate) fn turned_strategies(&self) -> Result<Vec<bool>, Mistake> {
        let parameters = self.effects()?.parameters;
        let is_turned = |name: &String| {
            let entry = tepid_strategies::find(name).filter(|_| self.file(name).is_none());
            entry.is_some_and(|entry| {
                parameters
                    .iter()
                    .any(|(parameter, _)| entry.param(parameter).is_some())
            })
        };
        Ok(self.strategies.iter().map(is_turned).collect())
    }

    /// Every strategy, made.
    pub(crate) fn strategy_files(&self) -> Result<Vec<Result<StrategyFile, Mistake>>, Mistake> {
        let texts = self.strategies_toml()?;
        let named = self.strategies.iter().zip(texts);
        let made = named.map(|(name, text)| tepid_scenarios::strategy_text(name, &text));
        Ok(made.map(|made| made.map_err(Mistake::from)).collect())
    }
}
