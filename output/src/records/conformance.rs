//! Whether a strategy bears what happens to a controller.

use serde::{Deserialize, Serialize};

use super::RecordKind;

/// What came of every check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Conformance {
    /// [`RecordKind::Conformance`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// The strategy's name.
    pub strategy: String,
    /// Its parameters in use, in words.
    pub settings: String,
    /// The checks, in their order.
    pub checks: Vec<Check>,
}

/// One check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Check {
    /// What must hold, in words.
    pub check: String,
    /// What came of it.
    pub verdict: CheckVerdict,
    /// What was seen, in words.
    pub reason: String,
}

/// What came of a check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckVerdict {
    /// It holds.
    Holds,
    /// It does not hold.
    Fails,
    /// It could not be tried.
    NotTried,
}

impl CheckVerdict {
    /// For people: "holds".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Fails => "FAILS",
            Self::NotTried => "not tried",
        }
    }
}

impl Conformance {
    /// How many checks do not hold.
    #[must_use]
    pub fn failures(&self) -> usize {
        let fails = |check: &&Check| check.verdict == CheckVerdict::Fails;
        self.checks.iter().filter(fails).count()
    }
}
