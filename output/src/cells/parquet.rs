//! The runs of a study as columns, in the Parquet format.
//!
//! Format: Apache Parquet, <https://parquet.apache.org/docs/file-format/>; what every reader of it knows: plain and dictionary pages of version 1, Snappy compression.

use std::io::Write;
use std::sync::Arc;

use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::file::properties::{EnabledStatistics, WriterProperties};
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::{ColumnPath, Type};

use super::{BEFORE, CellsError, check_scores, column};
use crate::records::{CellRow, ScoreUnit};

/// Rows held before they are written as one group: some megabytes.
const ROWS_PER_GROUP: usize = 10_000;

/// Writes rows to `W`, a group at a time.
pub struct CellsParquet<W: Write + Send> {
    writer: SerializedFileWriter<W>,
    rows: Vec<CellRow>,
    scores: usize,
}

impl<W: Write + Send> CellsParquet<W> {
    /// Begins the file: the scores are those of every row, in this order.
    ///
    /// # Errors
    /// [`CellsError::Parquet`] if it cannot be written.
    pub fn new(to: W, scores: &[(&str, ScoreUnit)]) -> Result<Self, CellsError> {
        let mut fields = Vec::new();
        for name in BEFORE {
            fields.push(Arc::new(match name {
                "replicate" => Type::primitive_type_builder(name, Physical::INT64)
                    .with_repetition(Repetition::REQUIRED)
                    .build()?,
                "began_h" => figures(name)?,
                "failure" => words(name, Repetition::OPTIONAL)?,
                _ => words(name, Repetition::REQUIRED)?,
            }));
        }
        for score in scores {
            fields.push(Arc::new(figures(&column(score))?));
        }
        let schema = Type::group_type_builder("cells").with_fields(fields).build()?;
        // A figure or a cell is hardly ever the same as another; names nearly always are.
        let mut properties = WriterProperties::builder()
            .set_created_by(concat!("tepid version ", env!("CARGO_PKG_VERSION")).to_owned())
            .set_compression(Compression::SNAPPY)
            .set_statistics_enabled(EnabledStatistics::Chunk)
            .set_offset_index_disabled(true)
            .set_dictionary_enabled(false);
        for name in ["scenario", "strategy", "fault_set", "case", "failure"] {
            properties = properties.set_column_dictionary_enabled(ColumnPath::from(name), true);
        }
        Ok(Self {
            writer: SerializedFileWriter::new(to, Arc::new(schema), Arc::new(properties.build()))?,
            rows: Vec::new(),
            scores: scores.len(),
        })
    }

    /// Takes in a row.
    ///
    /// # Errors
    /// [`CellsError`] if a full group cannot be written, or the row has other scores than the file.
    pub fn write(&mut self, row: CellRow) -> Result<(), CellsError> {
        check_scores(&row, self.scores)?;
        self.rows.push(row);
        if self.rows.len() >= ROWS_PER_GROUP {
            self.write_group()?;
        }
        Ok(())
    }

    /// Writes the last group and the end of the file, without which nobody can read it, and gives the destination back.
    ///
    /// # Errors
    /// [`CellsError`] if it cannot be written.
    pub fn finish(mut self) -> Result<W, CellsError> {
        if !self.rows.is_empty() {
            self.write_group()?;
        }
        let mut to = self.writer.into_inner()?;
        to.flush()?;
        Ok(to)
    }

    fn write_group(&mut self) -> Result<(), CellsError> {
        let rows = std::mem::take(&mut self.rows);
        let mut group = self.writer.next_row_group()?;
        let names: [fn(&CellRow) -> &str; 5] = [
            |row| &row.cell,
            |row| &row.scenario,
            |row| &row.strategy,
            |row| &row.fault_set,
            |row| &row.case,
        ];
        for name in names {
            write_words(&mut group, rows.iter().map(|row| Some(name(row))), false)?;
        }
        write_replicates(&mut group, &rows)?;
        write_figures(&mut group, rows.iter().map(|row| row.began_h))?;
        write_words(&mut group, rows.iter().map(|row| row.failure.as_deref()), true)?;
        for index in 0..self.scores {
            let score = rows.iter().map(|row| row.scores.get(index).copied().flatten());
            write_figures(&mut group, score)?;
        }
        group.close()?;
        self.rows = rows;
        self.rows.clear();
        Ok(())
    }
}

fn words(name: &str, repetition: Repetition) -> Result<Type, CellsError> {
    Ok(Type::primitive_type_builder(name, Physical::BYTE_ARRAY)
        .with_repetition(repetition)
        .with_logical_type(Some(LogicalType::String))
        .build()?)
}

fn figures(name: &str) -> Result<Type, CellsError> {
    Ok(Type::primitive_type_builder(name, Physical::DOUBLE)
        .with_repetition(Repetition::OPTIONAL)
        .build()?)
}

/// What there is, and for each row whether there is something: 1 or 0.
fn present<T>(values: impl Iterator<Item = Option<T>>) -> (Vec<T>, Vec<i16>) {
    let (mut there, mut levels) = (Vec::new(), Vec::new());
    for value in values {
        levels.push(i16::from(value.is_some()));
        there.extend(value);
    }
    (there, levels)
}

fn write_words<'a, W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    values: impl Iterator<Item = Option<&'a str>>,
    may_be_missing: bool,
) -> Result<(), CellsError> {
    let (there, levels) = present(values.map(|value| value.map(ByteArray::from)));
    if let Some(mut column) = group.next_column()? {
        let levels = may_be_missing.then_some(levels.as_slice());
        column
            .typed::<ByteArrayType>()
            .write_batch(&there, levels, None)?;
        column.close()?;
    }
    Ok(())
}

fn write_figures<W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    values: impl Iterator<Item = Option<f64>>,
) -> Result<(), CellsError> {
    let (there, levels) = present(values.map(|value| value.filter(|value| value.is_finite())));
    if let Some(mut column) = group.next_column()? {
        column
            .typed::<DoubleType>()
            .write_batch(&there, Some(&levels), None)?;
        column.close()?;
    }
    Ok(())
}

fn write_replicates<W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    rows: &[CellRow],
) -> Result<(), CellsError> {
    let numbers = rows
        .iter()
        .map(|row| i64::try_from(row.replicate).map_err(|_| CellsError::Replicate(row.replicate)));
    let numbers: Vec<i64> = numbers.collect::<Result<_, _>>()?;
    if let Some(mut column) = group.next_column()? {
        column.typed::<Int64Type>().write_batch(&numbers, None, None)?;
        column.close()?;
    }
    Ok(())
}
