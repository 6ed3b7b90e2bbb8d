//! Oxygen, where a stock is stated.

use serde::{Deserialize, Serialize};
use tepid_sim::scores::OxygenScores;
use tepid_sim::time::hours;

/// Oxygen of one tank over the scored time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct OxygenResult {
    /// Lowest, mg/L.
    pub lowest_mg_per_l: f64,
    /// When, h.
    pub lowest_at_h: f64,
    /// Lowest share of saturation, 0..=1.
    pub lowest_saturation_frac: f64,
    /// Time below half saturation, h.
    pub below_half_h: f64,
    /// When it first was below half saturation, h; `None`: never.
    pub below_half_from_h: Option<f64>,
}

/// What a fault does to the oxygen of the tank it harms most. Hours count from the start of the fault.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FaultOxygen {
    /// Lowest, mg/L.
    pub lowest_mg_per_l: f64,
    /// Lowest share of saturation, 0..=1.
    pub lowest_saturation_frac: f64,
    /// Time below half saturation, h.
    pub below_half_h: f64,
    /// Hours until it was below half saturation; `None`: not within the time followed.
    pub below_half_after_h: Option<f64>,
    /// The same with nothing broken.
    pub below_half_after_without_fault_h: Option<f64>,
}

impl From<&OxygenScores> for OxygenResult {
    fn from(oxygen: &OxygenScores) -> Self {
        Self {
            lowest_mg_per_l: oxygen.lowest_mg_per_l,
            lowest_at_h: hours(oxygen.lowest_at_ms),
            lowest_saturation_frac: oxygen.lowest_saturation_frac,
            below_half_h: oxygen.below_half_h,
            below_half_from_h: oxygen.below_half_from_ms.map(hours),
        }
    }
}
