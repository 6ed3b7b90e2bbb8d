//! The runs of a study, one row each, written as they come: a study of any length takes the same memory.
//!
//! CSV is always there, Parquet with the feature `parquet`. Both formats have the same columns: `cell`, `scenario`, `strategy`, `fault_set`, `case`, `replicate`, `began_h` (when the fault began), `failure` (why the run
//! gave no result), then one per score, named with its unit: `overshoot_k`, `highest_temperature_c`, `time_above_band_h`, `energy_kwh`, `hot_dose_used_frac`,
//! `closings_per_day`. What has no value is missing, never 0. The same rows give the same bytes.

mod csv;
#[cfg(feature = "parquet")]
mod parquet;

pub use self::csv::CellsCsv;
#[cfg(feature = "parquet")]
pub use self::parquet::CellsParquet;

use crate::records::{CellRow, ScoreUnit};

/// Columns before the scores.
const BEFORE: [&str; 8] = [
    "cell",
    "scenario",
    "strategy",
    "fault_set",
    "case",
    "replicate",
    "began_h",
    "failure",
];

/// The rows of a study could not be written.
#[derive(Debug, thiserror::Error)]
pub enum CellsError {
    /// A line of CSV could not be written.
    #[error("could not write the runs as CSV: {0}")]
    Csv(#[from] ::csv::Error),
    /// The last lines could not be written.
    #[error("could not write the runs: {0}")]
    Flush(#[from] std::io::Error),
    /// A group of rows could not be written.
    #[cfg(feature = "parquet")]
    #[error("could not write the runs as Parquet: {0}")]
    Parquet(#[from] ::parquet::errors::ParquetError),
    /// A row has more or fewer scores than there are columns.
    #[error("{cell} has {found} scores, {expected} have a column")]
    Scores {
        /// The row's cell.
        cell: String,
        /// Its scores.
        found: usize,
        /// Columns of scores.
        expected: usize,
    },
    /// A replicate's number is larger than Parquet holds.
    #[cfg(feature = "parquet")]
    #[error("replicate {0} is beyond what the format holds")]
    Replicate(u64),
}

/// The column of a score: `overshoot_k`.
fn column((score, unit): &(&str, ScoreUnit)) -> String {
    let suffix = match unit {
        ScoreUnit::Kelvin => "_k",
        ScoreUnit::Celsius => "_c",
        ScoreUnit::Hours => "_h",
        ScoreUnit::KilowattHours => "_kwh",
        ScoreUnit::Litres => "_l",
        ScoreUnit::Share => "_frac",
        ScoreUnit::Number => "",
    };
    score.replace([' ', '-'], "_") + suffix
}

fn check_scores(row: &CellRow, expected: usize) -> Result<(), CellsError> {
    if row.scores.len() == expected {
        Ok(())
    } else {
        Err(CellsError::Scores {
            cell: row.cell.clone(),
            found: row.scores.len(),
            expected,
        })
    }
}
