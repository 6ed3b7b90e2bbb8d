//! A page to pin to the tank: settings, what to do first, hours available, and a test record to sign.

use serde::{Deserialize, Serialize};

use super::{BeyondLines, HoursToLine, RecordKind};
use crate::cautions::Cautioned;

/// A card for one scenario and one strategy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Card {
    /// [`RecordKind::Card`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// The scenario's name.
    pub scenario: String,
    /// The scenario's title.
    pub title: String,
    /// The strategy.
    pub strategy: String,
    /// The day it is put up, as year-month-day; `None`: to be written by hand.
    pub date: Option<String>,
    /// The temperature to hold, °C.
    pub target_c: f64,
    /// The band, °C.
    pub band_c: [f64; 2],
    /// What to set, and what each protects from.
    pub settings: Vec<CardSetting>,
    /// What to do first when the water is too hot.
    pub too_hot: Vec<String>,
    /// What to do first when it is too cold.
    pub too_cold: Vec<String>,
    /// How long there is, by runs; empty where no danger lines are stated.
    pub hours: Vec<CardHours>,
    /// How long each failure was followed, h.
    pub followed_h: f64,
    /// What to test, and when.
    pub trials: Vec<CardTrial>,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Cautions that belong to this card.
    pub cautions: Vec<Cautioned>,
}

/// One thing to set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CardSetting {
    /// Where: "controller", "dial left".
    pub at: String,
    /// What, in words: "deadband: full width between closing and opening".
    pub what: String,
    /// To which value.
    pub value: String,
    /// What it protects from, or does.
    pub protects: String,
}

/// How long there is after one failure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CardHours {
    /// What happened, and where: "relay left welded, in a room of 26 °C".
    pub what: String,
    /// The lines that the water passes, mildest first.
    pub lines: Vec<HoursToLine>,
    /// Hours until the dose is used up; `None`: not while it was followed.
    pub dose_used_up_h: Option<f64>,
    /// It is oxygen that is told of: hours until it is below half of saturation stand in `dose_used_up_h`.
    pub oxygen: bool,
    /// That is so with everything working, whatever fails.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub already: bool,
    /// The water goes farther out than the danger lines speak of; left out where it does not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beyond_lines: Option<BeyondLines>,
}

/// One line of the test record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CardTrial {
    /// What is tested.
    pub part: String,
    /// How, without endangering livestock.
    pub how: String,
    /// What should be seen.
    pub wanted: String,
    /// Days from one test to the next.
    pub every_d: u32,
    /// The scenario states that interval; else it is common practice.
    pub stated: bool,
    /// The next test, as year-month-day; `None`: to be written by hand.
    pub next: Option<String>,
    /// When to replace the part even if it passes its tests, in words; `None`: it does not wear out, or not for years, or no life is known.
    pub replace: Option<String>,
}
