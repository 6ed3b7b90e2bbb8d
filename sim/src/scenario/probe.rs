//! Temperature probes.

use crate::ids::TankId;
use crate::time::Millis;

/// A temperature probe: a first-order lag on where it hangs, then offset, drift, noise and resolution.
#[derive(Debug, Clone, PartialEq)]
pub struct Probe {
    /// Name, unique among probes.
    pub name: String,
    /// The tank it hangs in; `None`: it hangs in the room's air.
    pub tank: Option<TankId>,
    /// What it is for.
    pub purpose: ProbePurpose,
    /// Lag, ms; 0 = none.
    pub lag_ms: Millis,
    /// Standard deviation of each reading's noise, K.
    pub noise_k: f64,
    /// Resolution of the reading, K; 0 = none.
    pub resolution_k: f64,
    /// Constant error, K.
    pub offset_k: f64,
    /// Drift, K per day.
    pub drift_k_per_day: f64,
}

/// What a probe is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProbePurpose {
    /// A strategy may control by it.
    Control,
    /// Only watched, or read beside one to control by.
    Monitor,
}
