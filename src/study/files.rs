//! The files of a study's folder.

use std::io::{self, BufWriter, Write};
use std::path::PathBuf;

#[cfg(feature = "parquet")]
use tepid_output::cells::CellsParquet;
use tepid_output::cells::{CellsCsv, CellsError};
use tepid_output::records::{CellRow, ScoreUnit, StudyResult};
use tepid_output::{csv_text, json, junit, markdown};
use tepid_scenarios::SCORES;
use tepid_sim::time::hours;

use super::StudyError;
use super::cell::CellResult;
use super::folder::Folder;
use super::journal::Journal;
use super::plan::Plan;

/// Every cell as columns: the one file that not every build of the program can write.
const COLUMNS: &str = "cells.parquet";

/// A file that stands in the folder and would not be written again with the others, so that it would soon be of other cells than they are.
pub(super) fn out_of_reach(folder: &Folder) -> Option<PathBuf> {
    let columns = folder.path().join(COLUMNS);
    (cfg!(not(feature = "parquet")) && columns.exists()).then_some(columns)
}

/// Writes all of them: what a study found as JSON, tables, a summary for people and a report for CI, and every cell as a row.
pub(super) fn write(
    folder: &Folder,
    plan: &Plan,
    journal: &mut Journal,
    result: &StudyResult,
) -> Result<(), StudyError> {
    let format = |error: &dyn std::fmt::Display| StudyError::Format(error.to_string());
    let texts = [
        ("study.json", json::json(result).map_err(|error| format(&error))?),
        (
            "groups.csv",
            csv_text::study(result).map_err(|error| format(&error))?,
        ),
        ("junit.xml", junit::study(result).map_err(|error| format(&error))?),
        ("summary.md", markdown::study(result)),
    ];
    for (name, text) in texts {
        folder.write(name, |mut file| file.write_all(text.as_bytes()))?;
    }
    let scores: Vec<(&str, ScoreUnit)> = SCORES
        .iter()
        .map(|score| (score.name, ScoreUnit::of(score.kind)))
        .collect();
    folder.write("cells.csv", |file| {
        let mut rows = CellsCsv::new(BufWriter::new(file), &scores).map_err(other)?;
        each_row(plan, journal, |row| rows.write(&row))?;
        rows.finish().map_err(other)?.flush()
    })?;
    #[cfg(feature = "parquet")]
    folder.write(COLUMNS, |file| {
        let mut rows = CellsParquet::new(BufWriter::new(file), &scores).map_err(other)?;
        each_row(plan, journal, |row| rows.write(row))?;
        rows.finish().map_err(other)?.flush()
    })?;
    Ok(())
}

/// Every cell with a result, in the study's order.
fn each_row(
    plan: &Plan,
    journal: &mut Journal,
    mut write: impl FnMut(CellRow) -> Result<(), CellsError>,
) -> io::Result<()> {
    for cell in journal.cells().collect::<Vec<_>>() {
        let (Some(place), Some(result)) = (plan.place(cell), journal.get(cell).map_err(other)?) else {
            continue;
        };
        let (began_h, failure, scores) = match result {
            CellResult::Scored(scores) => (scores.began_ms.map(hours), None, scores.values),
            CellResult::Failed(reason) => (None, Some(reason), vec![None; SCORES.len()]),
        };
        let of = plan.names(place);
        write(CellRow {
            cell: plan.cell_name(place),
            scenario: of.scenario.to_owned(),
            strategy: of.strategy.to_owned(),
            fault_set: of.case.set.clone(),
            case: of.case.name.clone(),
            replicate: place.replicate,
            began_h,
            failure,
            scores,
        })
        .map_err(other)?;
    }
    Ok(())
}

fn other(error: impl std::fmt::Display) -> io::Error {
    io::Error::other(error.to_string())
}
