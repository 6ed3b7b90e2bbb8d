//! Warnings: where a result leaves what the model is good for.

use serde::{Deserialize, Serialize};

/// Something about the scenario that the model does not do justice to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Warning {
    /// What was found.
    pub what: String,
    /// Why it matters to the figures.
    pub why: String,
    /// What to do about it.
    pub advice: String,
}
