//! The runs of a study as comma-separated values.

use std::io::Write;

use super::{BEFORE, CellsError, check_scores, column};
use crate::csv_text::cell;
use crate::records::{CellRow, ScoreUnit};

/// Writes each row to `W` as it comes.
pub struct CellsCsv<W: Write> {
    writer: csv::Writer<W>,
    scores: usize,
}

impl<W: Write> CellsCsv<W> {
    /// Writes the head line: the scores are those of every row, in this order.
    ///
    /// # Errors
    /// [`CellsError`] if it cannot be written.
    pub fn new(to: W, scores: &[(&str, ScoreUnit)]) -> Result<Self, CellsError> {
        let mut writer = csv::Writer::from_writer(to);
        let head = BEFORE.map(str::to_owned).into_iter();
        writer.write_record(head.chain(scores.iter().map(column)))?;
        Ok(Self {
            writer,
            scores: scores.len(),
        })
    }

    /// Writes a row.
    ///
    /// # Errors
    /// [`CellsError`] if it cannot be written, or has other scores than the head line.
    pub fn write(&mut self, row: &CellRow) -> Result<(), CellsError> {
        check_scores(row, self.scores)?;
        for text in [&row.cell, &row.scenario, &row.strategy, &row.fault_set, &row.case] {
            self.writer.write_field(text)?;
        }
        self.writer.write_field(row.replicate.to_string())?;
        self.writer.write_field(cell(row.began_h))?;
        self.writer
            .write_field(row.failure.as_deref().unwrap_or_default())?;
        for score in &row.scores {
            self.writer.write_field(cell(*score))?;
        }
        self.writer.write_record(None::<&[u8]>)?;
        Ok(())
    }

    /// Writes what is still held back, and gives the destination back.
    ///
    /// # Errors
    /// [`CellsError::Flush`] if it cannot be written.
    pub fn finish(mut self) -> Result<W, CellsError> {
        self.writer.flush()?;
        self.writer
            .into_inner()
            .map_err(|error| CellsError::Flush(error.into_error()))
    }
}
