//! Recorded water beside simulated.

use serde::{Deserialize, Serialize};

/// What a log says of the water, beside what a run in the log's room says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Replay {
    /// The log.
    pub log: String,
    /// The tank whose water it holds.
    pub tank: String,
    /// Readings compared.
    pub readings: u64,
    /// The first of them, h after time zero; before zero nothing is scored.
    pub from_h: f64,
    /// The last, h.
    pub to_h: f64,
    /// Recorded water.
    pub recorded: ReplayedWater,
    /// Simulated water at the same instants.
    pub simulated: ReplayedWater,
    /// Simulated less recorded, mean, K.
    pub mean_difference_k: f64,
    /// Largest difference either way, K.
    pub largest_difference_k: f64,
    /// When, h.
    pub largest_at_h: f64,
    /// Mean power of the heaters by the log, W; `None` where it does not say.
    pub recorded_heaters_w: Option<f64>,
    /// Mean power of the heaters in the run over the same time, W.
    pub simulated_heaters_w: f64,
}

/// Water over the time compared.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ReplayedWater {
    /// °C.
    pub lowest_c: f64,
    /// °C.
    pub mean_c: f64,
    /// °C.
    pub highest_c: f64,
}
