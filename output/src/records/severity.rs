//! How bad what a fault did is, beside the same time with nothing broken.

use super::FaultOutcome;

/// Larger is worse: first by the first field, where that is equal by the second, then by the third.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Severity {
    /// A dose was used up that would not have been.
    pub takes_past: bool,
    /// Dose added, the larger side; −∞: not known.
    pub added_dose: f64,
    /// How much farther an extreme temperature was taken, the larger side, K; −∞: not known.
    pub added_extreme_k: f64,
}

impl Severity {
    /// Of an outcome.
    #[must_use]
    pub fn of(outcome: &FaultOutcome) -> Self {
        Self {
            takes_past: outcome.taken_past_h().is_some(),
            added_dose: outcome.added_dose().unwrap_or(f64::NEG_INFINITY),
            added_extreme_k: outcome.added_extreme_k().unwrap_or(f64::NEG_INFINITY),
        }
    }
}
