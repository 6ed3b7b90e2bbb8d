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
    /// The same as the log names it: "2026-01-08 19:42", "19:42 on day 3 of the log" where its stamps have no date.
    pub largest_in_log: String,
    /// The log's line of that reading.
    pub largest_line: usize,
    /// Time zero of the run, 00:00 of its day 1, as the log names it.
    pub zero_in_log: String,
    /// Pauses of the log: what happened then nobody knows, and it enters no figure here.
    pub gaps: usize,
    /// All of them together, h.
    pub gaps_h: f64,
    /// The longest.
    pub longest_gap: Option<ReplayGap>,
    /// Mean power of the heaters by the log outside its gaps, W; `None` where it does not say.
    pub recorded_heaters_w: Option<f64>,
    /// Mean power of the heaters in the run, outside the gaps too, W.
    pub simulated_heaters_w: f64,
    /// What other circumstances would make of the run, the largest change first.
    pub changes: Vec<ReplayChange>,
}

/// The run under one other circumstance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ReplayChange {
    /// The circumstance.
    pub what: String,
    /// Simulated water then.
    pub simulated: ReplayedWater,
    /// Simulated less recorded then, mean, K.
    pub mean_difference_k: f64,
    /// Mean power of the heaters then, W.
    pub simulated_heaters_w: f64,
}

/// A pause of a log.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ReplayGap {
    /// How long, h.
    pub lasts_h: f64,
    /// Its begin as the log names it.
    pub begins_in_log: String,
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
