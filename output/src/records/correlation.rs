//! What the choice of the evaporation correlation changes.

use serde::{Deserialize, Serialize};

/// The same tank by one published correlation.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ByCorrelation {
    /// The correlation: "Shah 2014", "ASHRAE pool form, activity 0.5".
    pub correlation: String,
    /// It is the one the scenario names.
    pub own: bool,
    /// All losses at the target in the scenario's mean room, W.
    pub total_loss_w: f64,
    /// Further loss per kelvin of warmer water, W/K.
    pub slope_w_per_k: f64,
    /// Evaporated water, L a day; negative: condensed.
    pub evaporation_l_per_day: f64,
    /// Where the water settles with every heater on for good in the warmest room, °C; `None`: not within the range searched.
    pub warmest_end_c: Option<f64>,
}
