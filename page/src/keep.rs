//! What somebody keeps of a page: files, and the commands that run them again to the same bits.

use serde::Serialize;

use crate::Mistake;
use crate::setup::{Setup, USUAL_SEED};

/// A file to keep.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Kept {
    /// A name that a command line takes without quotes.
    pub name: String,
    /// Its text.
    pub text: String,
}

impl Setup {
    /// What the scenario's file is called: "spare-room-winter-live.toml".
    pub(crate) fn scenario_name(&self) -> String {
        let stem = stem(&self.scenario);
        format!("{}-live.toml", plain(stem.strip_suffix("-live").unwrap_or(stem)))
    }

    /// The scenario that runs.
    ///
    /// # Errors
    /// As [`Setup::scenario_toml`].
    pub fn kept_scenario(&self) -> Result<Kept, Mistake> {
        Ok(Kept {
            name: self.scenario_name(),
            text: self.scenario_toml()?,
        })
    }

    /// The strategies that are more than a name of the program, each as a file: one of somebody's own, or one that was turned.
    ///
    /// # Errors
    /// As [`Setup::strategies_toml`].
    pub fn kept_strategies(&self) -> Result<Vec<Option<Kept>>, Mistake> {
        let is_turned = self.turned_strategies()?;
        let texts = self.strategies_toml()?;
        let each = self.strategies.iter().zip(texts).zip(is_turned);
        Ok(each
            .map(|((name, text), is_turned)| {
                let name = match (self.file(name).is_some(), is_turned) {
                    (true, _) => format!("{}.toml", plain(stem(name))),
                    (false, true) => format!("{name}-turned.toml"),
                    (false, false) => return None,
                };
                Some(Kept { name, text })
            })
            .collect())
    }

    /// The command that runs the kept files of each strategy.
    ///
    /// # Errors
    /// As [`Setup::strategies_toml`].
    pub fn commands(&self) -> Result<Vec<String>, Mistake> {
        let scenario = self.scenario_name();
        let seed = if self.seed == USUAL_SEED {
            String::new()
        } else {
            format!(" --seed {}", self.seed)
        };
        let kept = self.kept_strategies()?;
        let each = self.strategies.iter().zip(kept);
        Ok(each
            .map(|(name, kept)| {
                let strategy = kept.map_or_else(|| name.clone(), |kept| kept.name);
                format!("tepid run {scenario} --strategy {strategy}{seed}")
            })
            .collect())
    }
}

/// A file's name without its ending.
fn stem(name: &str) -> &str {
    name.strip_suffix(".toml").unwrap_or(name)
}

/// Letters, digits and what may stand between them; everything else is a hyphen.
fn plain(name: &str) -> String {
    let kept = |letter: char| letter.is_alphanumeric() || matches!(letter, '-' | '_' | '.');
    let parts = name.split(|letter| !kept(letter)).filter(|part| !part.is_empty());
    let joined = parts.collect::<Vec<_>>().join("-");
    // A name that begins with a hyphen is an option to a command, one with a dot is hidden.
    let begun = joined.trim_start_matches(['-', '.']);
    if begun.is_empty() {
        "own".to_owned()
    } else {
        begun.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_of_any_letters_becomes_one_that_needs_no_quotes() {
        assert_eq!(
            plain("cut-out, a limit in the program"),
            "cut-out-a-limit-in-the-program"
        );
        assert_eq!(plain("Größe $(x) 'y'"), "Größe-x-y");
        assert_eq!(plain("--fault"), "fault");
        assert_eq!(plain("../.."), "own");
    }
}
