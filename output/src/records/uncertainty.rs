//! How far a budget may be off.

use serde::{Deserialize, Serialize};

/// A budget's figures under stated distributions of what is not known.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Uncertainty {
    /// Samples drawn.
    pub samples: u32,
    /// Seed of the draws.
    pub seed: u64,
    /// What is uncertain in this scenario, what matters most for the loss first.
    pub parameters: Vec<UncertainParameter>,
    /// All losses at the target in the scenario's mean room, W.
    pub total_loss_w: Interval,
    /// Further loss per kelvin of warmer water, W/K.
    pub slope_w_per_k: Interval,
    /// Every heater on for good, in each room.
    pub stuck_on: Vec<UncertainStuckOn>,
}

/// One uncertain parameter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct UncertainParameter {
    /// Its name in files of distributions.
    pub parameter: String,
    /// For people: "how stirred the surface is".
    pub words: String,
    /// Its distribution in words, with its unit.
    pub distribution: String,
    /// Where its numbers come from, or that they are assumed.
    pub source: String,
    /// Spearman's rank correlation with the total loss, −1..=1.
    pub rank_correlation_loss: f64,
    /// The same with where the water settles, every heater on for good, in the warmest room; `None`: it does not settle in every sample.
    pub rank_correlation_warmest_end: Option<f64>,
}

/// Nine of ten samples lie between the ends. An end is `None` where it is beyond what is followed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Interval {
    /// A twentieth of the samples lies below.
    pub p05: Option<f64>,
    /// Half of the samples lies below.
    pub p50: Option<f64>,
    /// A twentieth of the samples lies above.
    pub p95: Option<f64>,
}

/// Every heater on for good, in one constant room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct UncertainStuckOn {
    /// The room, in words: "constant at its mean", "constant at the year's coldest".
    pub room: String,
    /// Its stated temperature, °C.
    pub room_c: f64,
    /// Where the water settles, °C.
    pub end_c: Interval,
    /// Time from the target to each hot line.
    pub hours_to_lines: Vec<UncertainHoursToLine>,
}

/// Time to one line of the danger table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct UncertainHoursToLine {
    /// The line, °C.
    pub temp_c: f64,
    /// Share of the samples that reach it within the time followed, 0..=1.
    pub reached_frac: f64,
    /// Hours; an end is `None` where it is not reached.
    pub after_h: Interval,
}
