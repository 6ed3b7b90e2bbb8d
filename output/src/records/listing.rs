//! What there is to choose from.

use serde::{Deserialize, Serialize};

/// Scenarios, strategies and fault sets by name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Listing {
    /// Scenarios of the library.
    pub scenarios: Vec<Listed>,
    /// Built-in strategies.
    pub strategies: Vec<Listed>,
    /// Fault sets.
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
