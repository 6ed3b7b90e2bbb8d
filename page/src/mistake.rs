//! What a page asked for that cannot be done.

use tepid_scenarios::Report;

/// Why there is no answer, for people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake(pub String);

impl std::fmt::Display for Mistake {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Mistake {}

impl From<Report> for Mistake {
    fn from(report: Report) -> Self {
        Self(report.plain())
    }
}

impl From<serde_json::Error> for Mistake {
    fn from(error: serde_json::Error) -> Self {
        Self(format!("the question was not understood: {error}"))
    }
}
