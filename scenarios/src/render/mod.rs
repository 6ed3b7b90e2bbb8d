//! Three renderings of a report: coloured for terminals, plain for pipes and screen readers, JSON for programs.

#[cfg(feature = "terminal")]
mod coloured;
mod json;
mod plain;

use crate::problem::Report;

impl Report {
    #[cfg(feature = "terminal")]
    /// With colours and lines, for a terminal.
    #[must_use]
    pub fn coloured(&self) -> String {
        coloured::render(self)
    }

    /// Plain ASCII beside the file's own text, without colours.
    #[must_use]
    pub fn plain(&self) -> String {
        plain::render(self)
    }

    /// A list of objects with file, line, column and the rest, for programs.
    #[must_use]
    pub fn json(&self) -> serde_json::Value {
        json::render(self)
    }
}
