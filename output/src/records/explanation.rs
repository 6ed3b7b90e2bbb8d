//! What a strategy or guard is, what it does, and which faults it covers.

use serde::{Deserialize, Serialize};

use super::{RecordKind, RoomKind};
use crate::cautions::Cautioned;

/// A strategy, with or without guards, or a guard.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Explanation {
    /// Always [`RecordKind::Explanation`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// Name as on the command line: of the list, or the file's.
    pub name: String,
    /// Whether it is a strategy or a guard.
    pub is: Explained,
    /// One plain line.
    pub summary: String,
    /// Parameters in use, one line.
    pub settings: String,
    /// Its page, part by part: law, what it reads, what it commands, known weakness.
    pub page: Vec<PagePart>,
    /// Its parameters.
    pub parameters: Vec<ExplainedParameter>,
    /// The way from probe to heater on the scenario below; empty where it does not apply there.
    pub way: Vec<WayStep>,
    /// The scenario on which the way is shown and faults are tried.
    pub scenario: String,
    /// What was added to the scenario so that it applies: "two more probes beside `main`".
    pub added: Option<String>,
    /// What the scenario lacks ("no fan").
    pub does_not_apply: Option<String>,
    /// Fault sets tried on that scenario; `None`: none asked for, or it does not apply.
    pub coverage: Option<Coverage>,
    /// What must be said beside it.
    pub cautions: Vec<Cautioned>,
}

/// What is explained.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Explained {
    /// A strategy of the list.
    Strategy,
    /// A strategy of a file.
    StrategyFile,
    /// A guard.
    Guard,
}

/// One part of a page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PagePart {
    /// Its heading.
    pub heading: String,
    /// Its text, lines as written.
    pub text: String,
}

/// One parameter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ExplainedParameter {
    /// Key in files.
    pub name: String,
    /// What it takes: "a temperature, such as 25.5 °C".
    pub takes: String,
    /// What holds if it is left out.
    pub default: String,
    /// What it may be; `None`: anything of its kind.
    pub range: Option<String>,
    /// One plain line.
    pub doc: String,
    /// What more or less of it is bought with; `None`: nothing.
    pub trade: Option<String>,
}

/// One step between probe and heater.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WayStep {
    /// Kind of thing: "probe", "guard", "strategy", "contact".
    pub kind: String,
    /// Which, with what hangs on it: "`relay left` → heater `left`".
    pub what: String,
}

/// What fault sets of a scenario do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Coverage {
    /// How long a fault was followed at most, h.
    pub followed_h: f64,
    /// The strategy that a guard is compared with: the same without it; `None` for a strategy.
    pub compared_with: Option<String>,
    /// The strategy that was tried: for a guard, what it stood around.
    pub tried: String,
    /// One per fault set that has anything to strike.
    pub sets: Vec<CoveredSet>,
}

/// What a fault set does at worst.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CoveredSet {
    /// Name of the fault set.
    pub set: String,
    /// How many cases it has there.
    pub cases: u32,
    /// The first case past the dose that would not have gone past it with nothing broken; `None`: covered.
    pub past: Option<PastCase>,
    /// The same without the guard; `None`: covered without it, or no guard is explained.
    pub past_without_guard: Option<PastCase>,
}

/// A fault case that uses up the dose.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PastCase {
    /// Which.
    pub case: String,
    /// In which room.
    pub room: RoomKind,
    /// Hours from the start of the fault until the dose is used up.
    pub used_up_h: f64,
}
