//! How likely a year uses up the dose.

use serde::{Deserialize, Serialize};

use super::{BeyondLines, RecordKind};
use crate::cautions::Cautioned;

/// The odds of a scenario under strategies.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Odds {
    /// [`RecordKind::Odds`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// The scenario's name.
    pub scenario: String,
    /// The scenario's title.
    pub title: String,
    /// Seed of all draws.
    pub seed: u64,
    /// Years drawn.
    pub years: u64,
    /// Years of one history, from parts as old as stated on.
    pub span_years: u32,
    /// Two-sided confidence of intervals, 0..=1.
    pub level_frac: f64,
    /// How long what follows a failure was simulated, h.
    pub followed_h: f64,
    /// Where the seasons come from, for people.
    pub seasons: String,
    /// Mean of the room (or of the air outdoors) in each season, °C.
    pub seasons_room_c: Vec<f64>,
    /// Strategies in the order asked for.
    pub strategies: Vec<StrategyOdds>,
    /// Every strategy beside the one that loses the fewest years.
    pub differences: Vec<OddsDifference>,
    /// The lives behind the odds.
    pub lives: Vec<LifeUsed>,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Cautions.
    pub cautions: Vec<Cautioned>,
}

/// A chance with its interval; of differences, possibly negative.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Chance {
    /// As counted.
    pub frac: f64,
    /// Lower end.
    pub low_frac: f64,
    /// Upper end.
    pub high_frac: f64,
}

/// The odds under one strategy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StrategyOdds {
    /// Its name.
    pub strategy: String,
    /// Its settings, for people.
    pub settings: String,
    /// What it would need; `None`: it applies.
    pub does_not_apply: Option<String>,
    /// Years that used up the dose.
    pub years_lost: Option<u64>,
    /// The chance that a year does.
    pub chance: Option<Chance>,
    /// By what, the likeliest first.
    pub causes: Vec<OddsCause>,
    /// Closings of contacts in a year with nothing broken.
    pub closings: Vec<OddsClosings>,
    /// Parts that are broken without anybody knowing, the longest first.
    pub unnoticed: Vec<OddsUnnoticed>,
    /// What becomes of the chance with other lives.
    pub moved: Vec<OddsMoved>,
    /// Windows simulated.
    pub windows: u64,
    /// Share of seasons and times of day in which the dose is used up with nothing broken, 0..=1; such a loss is blamed on no failure.
    pub lost_unbroken_frac: Option<f64>,
    /// The farthest beyond the danger lines that water got after failures without the dose being used up; `None`: they reach as far as it went.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beyond_lines: Option<BeyondLines>,
}

/// One cause of losses.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OddsCause {
    /// What failed at last; `None`: a new season brought to light what was broken before.
    pub failed: Option<String>,
    /// What had to be broken before.
    pub broken_before: Vec<String>,
    /// Too warm; else too cold.
    pub too_warm: bool,
    /// Years whose first loss it brought.
    pub years_lost: u64,
    /// The chance of such a year.
    pub chance: Chance,
}

/// How often a contact closes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OddsClosings {
    /// The contact.
    pub contact: String,
    /// Closings a year.
    pub per_year: f64,
}

/// A part that fails and shows nothing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OddsUnnoticed {
    /// What it is.
    pub kind: String,
    /// The part.
    pub part: String,
    /// How often it is tested, d; `None`: never.
    pub tested_every_d: Option<f64>,
    /// Share of the time in which it is broken and nobody knows, with its interval.
    pub time: Chance,
}

/// The chance with one assumption moved.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OddsMoved {
    /// What was moved: "lives: relay".
    pub what: String,
    /// How: "a third as long".
    pub how: String,
    /// The chance then.
    pub chance: Chance,
}

/// How many more chances a strategy has than another, over the same draws.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OddsDifference {
    /// The strategy.
    pub strategy: String,
    /// The other, which loses the fewest years.
    pub than: String,
    /// Difference of the chances of a year, with its interval.
    pub more: Chance,
}

/// A life behind the odds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LifeUsed {
    /// Kind of part.
    pub kind: String,
    /// The parts it holds for.
    pub parts: Vec<String>,
    /// In words.
    pub life: String,
    /// Where it comes from.
    pub source: String,
}
