//! Records as comma-separated values: a head line, names with units, empty cells for what is missing.
//!
//! Doses are figures here, also above the bound that a table tells.

mod comparison;
mod fault_matrix;
mod leaves;
mod listing;
mod response;
mod study;
mod tuning;

pub use comparison::comparison;
pub use fault_matrix::fault_matrix;
pub use leaves::leaves;
pub use listing::listing;
pub use response::response_curve;
pub use study::study;
pub use tuning::tuning;

/// A record could not be written as CSV.
#[derive(Debug, thiserror::Error)]
pub enum CsvError {
    /// The record cannot be represented.
    #[error("could not write the result as CSV: {0}")]
    Record(#[from] serde_json::Error),
    /// The rows do not form a table.
    #[error("could not write the result as CSV: {0}")]
    Rows(#[from] csv::Error),
    /// The text could not be finished.
    #[error("could not write the result as CSV: {0}")]
    Finish(String),
}

fn finished(writer: csv::Writer<Vec<u8>>) -> Result<String, CsvError> {
    let bytes = writer
        .into_inner()
        .map_err(|error| CsvError::Finish(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| CsvError::Finish(error.to_string()))
}

/// A figure in full, or an empty cell.
pub(crate) fn cell(value: Option<f64>) -> String {
    value
        .filter(|value| value.is_finite())
        .map_or_else(String::new, |value| value.to_string())
}
