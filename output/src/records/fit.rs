//! A tank identified from a log.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::RecordKind;
use crate::cautions::Cautioned;

/// What a log says of the model of a tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Fit {
    /// `tepid-fit`.
    pub format: RecordKind,
    /// Version of the published formats.
    pub version: u32,
    /// The log.
    pub log: String,
    /// Short name of the scenario.
    pub scenario: String,
    /// Its title.
    pub title: String,
    /// The tank whose water the log holds.
    pub tank: String,
    /// From the first to the last reading used, h.
    pub span_h: f64,
    /// Stretches without a gap that were used, each started afresh.
    pub stretches: usize,
    /// Usual time from one reading to the next, s.
    pub interval_s: f64,
    /// Readings that the model was held to.
    pub readings: usize,
    /// Readings that were not.
    pub left_out: FitLeftOut,
    /// What was found and what was held, the most important first.
    pub parameters: Vec<FitParameter>,
    /// How two of them hang together: the surer one knew the first, the surer the second would be.
    pub correlations: Vec<FitCorrelation>,
    /// How far model and readings are apart.
    pub residuals: FitResiduals,
    /// What it means for the tank.
    pub tank_found: FitTank,
    /// What would be found if what was held were otherwise, the largest change of the losses first; the intervals hold all of it.
    pub changes: Vec<FitChange>,
    /// What speaks against using the figures at all, in whole sentences, the gravest first; empty where nothing does.
    pub reservations: Vec<String>,
    /// What cannot be told apart, and what else to mind, in whole sentences.
    pub warnings: Vec<String>,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Cautions.
    pub cautions: Vec<Cautioned>,
}

/// Readings that a fit leaves out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FitLeftOut {
    /// Cells with a word for "no reading", or with one that no aquarium has.
    pub failed: usize,
    /// Rows whose cell of the water is blank.
    pub blank: usize,
    /// Readings far from those around them.
    pub spikes: usize,
    /// Further rows with a stamp that is there already.
    pub twice: usize,
    /// Readings of the first minutes of each stretch, in which bodies and rock settle, and of stretches that are too short.
    pub settling: usize,
    /// Line of the first failed or blank reading or spike.
    pub first_line: Option<usize>,
}

/// A parameter of the model.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FitParameter {
    /// Which.
    pub what: FitParameterKind,
    /// Its value, in the unit of its kind.
    pub value: f64,
    /// 95 % interval, in the same unit: what chance did to the log, and how far what is held may be off; `None` where it was held.
    pub interval: Option<[f64; 2]>,
    /// What it is in the scenario as it was.
    pub stated: f64,
    /// Why it was held; `None` where it was found.
    pub held: Option<String>,
}

/// Kinds of parameter, each with its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FitParameterKind {
    /// Losses over those computed from dimensions.
    LossesFrac,
    /// Heat capacity of water and panes over the computed one.
    CapacityFrac,
    /// Real power of the heaters over what scenario or log state.
    HeaterPowerFrac,
    /// Air around the tank over what the room's thermometer reads, K.
    RoomOffsetK,
    /// Heat of the pumps over what the scenario states.
    PumpHeatFrac,
    /// Lag of the probe that wrote the log, s.
    ProbeLagS,
}

/// How two parameters hang together.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FitCorrelation {
    /// One.
    pub one: FitParameterKind,
    /// The other.
    pub other: FitParameterKind,
    /// −1..=1.
    pub correlation: f64,
}

/// How far model and readings are apart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FitResiduals {
    /// Standard deviation, K.
    pub deviation_k: f64,
    /// Largest, K.
    pub largest_k: f64,
    /// When, h after 00:00 of the log's first day.
    pub largest_at_h: f64,
    /// The same as the log names it: "2026-01-08 19:42", "19:42 on day 3 of the log" where its stamps have no date.
    pub largest_in_log: String,
    /// The log's line of that reading.
    pub largest_line: usize,
    /// How much a residual resembles the next, −1..=1.
    pub resemblance: f64,
    /// As many readings that resemble each other in nothing say as much.
    pub counts_as: f64,
}

/// What was found, as figures of the tank.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FitTank {
    /// Mean water of the log, °C.
    pub water_c: f64,
    /// Mean air around the tank, °C: the log's room with its offset.
    pub room_c: f64,
    /// What it loses there, W.
    pub loss_w: f64,
    /// What one more kelvin of difference costs there, W/K: more than the loss over the difference, since warmer water evaporates more.
    pub slope_w_per_k: f64,
    /// The same as the scenario computed it, W/K.
    pub stated_slope_w_per_k: f64,
    /// Heat capacity, J/K.
    pub heat_capacity_j_per_k: f64,
    /// Real power of all heaters, W.
    pub heaters_w: f64,
    /// Power of all heaters as the scenario states it, W.
    pub stated_heaters_w: f64,
}

/// What would be found otherwise.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FitChange {
    /// What: "the heat capacity is 5 % more".
    pub what: String,
    /// Losses over the computed ones then.
    pub losses_frac: f64,
}
