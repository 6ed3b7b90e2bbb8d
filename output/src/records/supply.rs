//! What became of circuits and backups.

use serde::{Deserialize, Serialize};
use tepid_sim::scores::{BackupScores, CircuitScores};
use tepid_sim::time::hours;

/// One circuit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CircuitResult {
    /// Name.
    pub circuit: String,
    /// Largest current, A; `None`: nothing asked for it.
    pub highest_a: Option<f64>,
    /// When its breaker tripped from overload, h.
    pub tripped_h: Option<f64>,
}

/// One backup.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BackupResult {
    /// Name.
    pub backup: String,
    /// When it first ran out, h.
    pub ran_out_h: Option<f64>,
}

impl From<&CircuitScores> for CircuitResult {
    fn from(scores: &CircuitScores) -> Self {
        Self {
            circuit: scores.circuit.clone(),
            highest_a: scores.highest_a,
            tripped_h: scores.tripped_ms.map(hours),
        }
    }
}

impl From<&BackupScores> for BackupResult {
    fn from(scores: &BackupScores) -> Self {
        Self {
            backup: scores.backup.clone(),
            ran_out_h: scores.ran_out_ms.map(hours),
        }
    }
}
