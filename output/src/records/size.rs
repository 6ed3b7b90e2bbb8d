//! Which heaters to buy.

use serde::{Deserialize, Serialize};

use super::{RecordKind, SizeCooling, SizeOutage, Tariff, Warning};
use crate::cautions::Cautioned;

/// How many heaters of which power a water system should have, and why.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Size {
    /// [`RecordKind::Size`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// The scenario's name.
    pub scenario: String,
    /// The scenario's title.
    pub title: String,
    /// The water system, by its tanks; left out where the scenario is a single one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub system: Option<String>,
    /// The temperature to hold, °C.
    pub target_c: f64,
    /// Water of all tanks, L.
    pub volume_l: f64,
    /// How long a failed heater goes on before somebody is there, h.
    pub response_h: f64,
    /// How long each failure was followed, h.
    pub followed_h: f64,
    /// Power beyond what the coldest room needs, as a share of that need.
    pub reserve_frac: f64,
    /// The severest hot danger line, °C.
    pub hottest_line_c: f64,
    /// So far beyond its severest line they still say something, K.
    pub lines_speak_for_k: f64,
    /// Where the heaters must hold the target.
    pub coldest: SizeRoom,
    /// Where one that is stuck on does most harm.
    pub warmest: SizeRoom,
    /// The water in the warmest room with nothing broken.
    pub warmest_alone: SizeFate,
    /// Electricity that heaters need in the mean to hold the target in the coldest room, W.
    pub needed_w: f64,
    /// Up to this power of each heater was looked, W.
    pub searched_to_w: f64,
    /// One, two, three, … equal heaters; empty where none is needed.
    pub splits: Vec<SizeSplit>,
    /// The fewest heaters of a rating sold that do; `None`: none does, or none is needed.
    pub choice: Option<SizeChoice>,
    /// What holding the target takes, room by room.
    pub running: Vec<SizeRunning>,
    /// What electricity costs; `None`: no price stated.
    pub tariff: Option<Tariff>,
    /// What less would save; `None`: nothing is heated.
    pub savings: Option<SizeSavings>,
    /// Rules of thumb beside it; empty where no heater is needed.
    pub rules: Vec<SizeRule>,
    /// What other circumstances would make of the range of power, the largest change first.
    pub changes: Vec<SizeChange>,
    /// The hottest day, and whether a fan holds it.
    pub cooling: SizeCooling,
    /// The mains out; `None`: not asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outage: Option<SizeOutage>,
    /// Where the scenario leaves what the model is good for.
    pub warnings: Vec<Warning>,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Cautions that belong to this result.
    pub cautions: Vec<Cautioned>,
}

/// The sizes of several water systems.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sizes {
    /// [`RecordKind::Sizes`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// One per system, in the order of their first tanks.
    pub systems: Vec<Size>,
}

/// A constant room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeRoom {
    /// °C.
    pub room_c: f64,
    /// Relative humidity, 0..=1.
    pub relative_humidity_frac: f64,
    /// The file states it for the year; else it is the extreme of the scenario's own days.
    pub stated: bool,
}

/// So many equal heaters: what each may have.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeSplit {
    /// How many.
    pub heaters: u32,
    /// Least power of each with which all of them hold the coldest room with the reserve, and all but one keep the water below the cold dose
    /// for the response time, W; `None`: no power makes a dead one bearable.
    pub least_w: Option<f64>,
    /// Most power of each with which one stuck on in the warmest room leaves the water below the hot dose for the response time, and no farther beyond
    /// the hottest line than the lines speak of, W; `None`: not reached within the powers searched.
    pub most_w: Option<f64>,
    /// One with the most power (or the most that was looked at) stuck on in the warmest room.
    pub stuck: SizeFate,
    /// What bounds the power is not the dose: with more, the water gets farther beyond the hottest danger line than the lines speak of.
    pub bound_by_lines: bool,
    /// Ratings sold in that range, W.
    pub ratings_w: Vec<f64>,
    /// Why none does; `None`: some do.
    pub why_not: Option<SizeRefusal>,
}

/// Why no rating does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SizeRefusal {
    /// The warmest room alone uses up the hot dose, or takes the water beyond what the hot lines speak of.
    RoomTooWarm,
    /// Without the dead one the water uses up the cold dose, or gets beyond what the cold lines speak of, whatever the power of each.
    DeadOneUnbearable,
    /// What the cold needs is more than what the heat allows.
    NeedsMoreThanAllowed,
    /// None sold lies between.
    NoneSold,
}

/// Heaters to buy, and what becomes of the water when one fails.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeChoice {
    /// How many.
    pub heaters: u32,
    /// Rating of each, W.
    pub each_w: f64,
    /// Power of all beyond the need of the coldest room, as a share of that need.
    pub reserve_frac: f64,
    /// The coldest room in which all together hold the target, °C; `None`: not within the range searched.
    pub coldest_room_held_c: Option<f64>,
    /// One stuck on, in the warmest room.
    pub stuck: SizeFate,
    /// One dead, in the coldest room.
    pub dead: SizeFate,
}

/// What becomes of the water.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SizeFate {
    /// Hours until the dose is used up; `None`: not within the time followed.
    pub dose_used_up_h: Option<f64>,
    /// Highest or lowest temperature within the time followed, °C; `None`: not known.
    pub extreme_c: Option<f64>,
    /// The same until the response time is over, °C; `None`: not known.
    pub until_help_c: Option<f64>,
}

/// What holding the target takes in one room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeRunning {
    /// The room, in words.
    pub room: String,
    /// °C.
    pub room_c: f64,
    /// Electricity of the heaters in the mean, W.
    pub heaters_w: f64,
    /// The same, kWh a day.
    pub kwh_per_day: f64,
    /// What thirty days of it cost, drawn evenly all day; `None`: no price stated.
    pub cost_per_30_days: Option<f64>,
    /// Water to make up, L a day; negative: condensed.
    pub make_up_l_per_day: f64,
}

/// What less would save.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeSavings {
    /// The room, in words.
    pub room: String,
    /// °C.
    pub room_c: f64,
    /// As it is, then with one thing changed.
    pub rows: Vec<SizeSaving>,
    /// Lower and upper end of the band, °C.
    pub band_c: [f64; 2],
    /// Electricity that warms everything from the lower to the upper end, kWh.
    pub band_stores_kwh: f64,
    /// The most that thirty days of heating in the cheapest hours save while the water rides within its band; `None`: one price at all hours, or none
    /// stated.
    pub cheap_hours_per_30_days: Option<f64>,
}

/// Electricity of thirty days under one circumstance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeSaving {
    /// The circumstance.
    pub what: String,
    /// kWh in thirty days.
    pub kwh_per_30_days: f64,
    /// What that costs, drawn evenly all day; `None`: no price stated.
    pub cost_per_30_days: Option<f64>,
}

/// A rule of thumb, and what it comes to here as a single heater.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeRule {
    /// The rule: "1 W per litre".
    pub rule: String,
    /// Its power for this water, W.
    pub power_w: f64,
    /// The coldest room in which that holds the target, °C; `None`: not within the range searched.
    pub coldest_room_held_c: Option<f64>,
    /// It holds the coldest room expected.
    pub enough: bool,
    /// As one heater that is stuck on in the warmest room.
    pub stuck: SizeFate,
    /// The water then stays below the hot dose for the response time, and within what the danger lines speak of.
    pub stuck_bearable: bool,
}

/// The range of power under another circumstance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeChange {
    /// What is different.
    pub what: String,
    /// For so many heaters.
    pub heaters: u32,
    /// Least power of each, W, as in [`SizeSplit`].
    pub least_w: Option<f64>,
    /// Most power of each, W, as in [`SizeSplit`].
    pub most_w: Option<f64>,
}
