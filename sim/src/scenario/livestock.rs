//! What lives in the water and what it bears.

use super::Oxygen;
use crate::time::Millis;

/// What the livestock bears. The figures are statements of the scenario, with the source its file gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Livestock {
    /// Kind, for people.
    pub kind: String,
    /// Where the figures come from, for people; "common practice, no source" where none is.
    pub source: String,
    /// The temperature it is used to, °C.
    pub used_to_c: f64,
    /// Lines upwards, mildest first: temperatures rise, times fall.
    pub danger_hot: Vec<DangerLine>,
    /// Lines downwards, mildest first: temperatures fall, times fall.
    pub danger_cold: Vec<DangerLine>,
    /// Fastest change borne within an hour, K.
    pub fastest_per_hour_k: Option<f64>,
    /// Fastest change borne within a day, K.
    pub fastest_per_day_k: Option<f64>,
    /// What it needs of oxygen; `None`: no stock stated, no oxygen computed.
    pub oxygen: Option<Oxygen>,
}

/// One line of the danger table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DangerLine {
    /// Temperature, °C.
    pub temp_c: f64,
    /// Longest time borne at it, ms; `None`: none at all, the dose is 1 the moment it is reached.
    pub allowed_ms: Option<Millis>,
}
