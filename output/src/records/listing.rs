//! What there is to choose from.

use serde::{Deserialize, Serialize};

/// Scenarios, strategies, guards and fault sets by name. What was not asked for is left out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Listing {
    /// Scenarios of the library.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub scenarios: Vec<Listed>,
    /// Built-in strategies.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub strategies: Vec<Listed>,
    /// What can stand around a strategy.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub guards: Vec<Listed>,
    /// Fault sets.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub faults: Vec<Listed>,
}

/// One thing with a name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Listed {
    /// Name as used on the command line and in files.
    pub name: String,
    /// One line for people.
    pub summary: String,
}
