//! What a fault does to the salt of the water, where a range is wanted.

use serde::{Deserialize, Serialize};
use tepid_sim::scores::SalinityScores;
use tepid_sim::time::{Millis, hours};

/// Salinity under a fault. Hours count from the start of the fault.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FaultSalinity {
    /// Lowest, g/kg.
    pub lowest_g_per_kg: f64,
    /// In which tank that was.
    pub lowest_tank: String,
    /// Highest, g/kg.
    pub highest_g_per_kg: f64,
    /// In which tank that was.
    pub highest_tank: String,
    /// The range wanted, lowest and highest, g/kg.
    pub wanted_g_per_kg: [f64; 2],
    /// Hours until it left that range; 0 or negative: before the fault; `None`: not within the time followed.
    pub outside_after_h: Option<f64>,
    /// The same with nothing broken.
    pub outside_after_without_fault_h: Option<f64>,
}

impl FaultSalinity {
    /// Of a fault that began then, beside the same time with nothing broken; `None` where no range is stated.
    #[must_use]
    pub fn of(broken: &SalinityScores, sound: &SalinityScores, began_ms: Millis) -> Option<Self> {
        let (low, high) = broken.wanted_g_per_kg?;
        let since = |at_ms: Option<Millis>| at_ms.map(|at_ms| hours(at_ms - began_ms));
        Some(Self {
            lowest_g_per_kg: broken.lowest_g_per_kg,
            lowest_tank: broken.lowest_tank.clone(),
            highest_g_per_kg: broken.highest_g_per_kg,
            highest_tank: broken.highest_tank.clone(),
            wanted_g_per_kg: [low, high],
            outside_after_h: since(broken.outside_from_ms),
            outside_after_without_fault_h: since(sound.outside_from_ms),
        })
    }

    /// Hours until the fault took the water out of the range; `None`: it did not, or it would have left it anyway.
    #[must_use]
    pub fn taken_out_h(&self) -> Option<f64> {
        self.outside_after_h
            .filter(|_| self.outside_after_without_fault_h.is_none())
    }
}
