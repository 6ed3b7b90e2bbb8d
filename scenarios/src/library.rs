//! The scenarios that come with the program.

use tepid_sim::scenario::Scenario;

use crate::load;
use crate::problem::Report;

/// One embedded scenario.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LibraryScenario {
    /// Its name.
    pub name: &'static str,
    /// Its text, as a file.
    pub text: &'static str,
}

macro_rules! library {
    ($($name:literal),* $(,)?) => {
        &[$(LibraryScenario { name: $name, text: include_str!(concat!("../library/", $name, ".toml")) }),*]
    };
}

const LIBRARY: &[LibraryScenario] = library![
    "spare-room-winter",
    "spare-room-one-big-heater",
    "attic-heat-wave",
    "lidded-nano",
    "warm-room-fan",
    "garage-outage",
    "classroom-weekend",
    "year-round",
    "shop-room",
    "fish-room",
];

/// Names, in the order to show them.
pub fn names() -> impl Iterator<Item = &'static str> {
    LIBRARY.iter().map(|scenario| scenario.name)
}

/// The text of a scenario, as a file.
#[must_use]
pub fn text(name: &str) -> Option<&'static str> {
    LIBRARY
        .iter()
        .find(|scenario| scenario.name == name)
        .map(|scenario| scenario.text)
}

/// What a scenario teaches: the comment lines at its top, joined.
#[must_use]
pub fn summary(name: &str) -> Option<String> {
    text(name).map(comment_on_top)
}

/// Loads a scenario by name; `None`: there is none of that name.
///
/// # Errors
/// [`Report`], which would be a mistake of ours: a test loads them all.
pub fn load(name: &str) -> Option<Result<Scenario, Report>> {
    text(name).map(|text| load::scenario_text(name, text))
}

/// The comment lines a text starts with, joined to one line.
pub(crate) fn comment_on_top(text: &str) -> String {
    let lines: Vec<&str> = text
        .lines()
        .take_while(|line| line.starts_with('#'))
        .map(|line| line.trim_start_matches('#').trim())
        .collect();
    lines.join(" ")
}
