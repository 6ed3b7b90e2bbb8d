//! What a home test says of a tank.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::RecordKind;
use crate::cautions::Cautioned;

/// A home test, evaluated.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Measurement {
    /// `tepid-measurement`.
    pub format: RecordKind,
    /// Version of the published formats.
    pub version: u32,
    /// Which test.
    pub test: HomeTest,
    /// The formula in words.
    pub formula: String,
    /// What was found, the main figure first.
    pub found: Vec<Measured>,
    /// What else would be found if something were not as stated, the largest change of the main figure first.
    pub changes: Vec<MeasureChange>,
    /// What to do with it, in whole sentences.
    pub advice: Vec<String>,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Cautions.
    pub cautions: Vec<Cautioned>,
}

/// A test that needs a thermometer, a clock and no other instrument.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HomeTest {
    /// The water cools with the heaters off.
    Cooling,
    /// The water warms with the heaters on without a break.
    Heating,
    /// Which share of a day the heater is on.
    Duty,
    /// How far pumps alone keep the water above the room.
    Lift,
}

/// A figure that was found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Measured {
    /// Of what.
    pub what: MeasuredKind,
    /// The figure, in the unit of its kind.
    pub value: f64,
    /// Where the true one lies, in the same unit; `None` where the test cannot tell.
    pub interval: Option<[f64; 2]>,
    /// Where the interval comes from: "95 % by Student's t, 15 degrees of freedom".
    pub how_sure: String,
}

/// Kinds of figure, each with its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum MeasuredKind {
    /// Heat lost for each kelvin that the water is above the room, W/K.
    LossWPerK,
    /// Heat that the heaters give, W.
    HeaterW,
    /// Heat capacity of all that warms and cools along, J/K.
    HeatCapacityJPerK,
    /// Hours in which a difference to the room falls to 37 %, h.
    TimeConstantH,
    /// Share of the time that the heater is on, 0..=1.
    ShareFrac,
    /// Mean power of the heater, W.
    MeanW,
    /// Random looks for a share as sure as asked.
    Looks,
    /// Hours of watching without a break for a share as sure as asked, h.
    WatchedH,
    /// How near the room of the time watched must come to the usual one for that, K.
    RoomWithinK,
}

/// What else would be found if something were not as stated.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MeasureChange {
    /// What: "the volume is 5 % more".
    pub what: String,
    /// The main figure then, in its unit.
    pub value: f64,
}
