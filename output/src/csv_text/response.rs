//! What an alert is worth.

use super::{CsvError, cell, finished};
use crate::records::ResponseCurve;

/// One line per response time, the empty one of nobody last.
///
/// # Errors
/// [`CsvError`] if the text cannot be built.
pub fn response_curve(record: &ResponseCurve) -> Result<String, CsvError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "response_h",
        "heard_h",
        "acted_h",
        "highest_c",
        "lowest_c",
        "dose_used",
        "lead_h",
        "by_cold",
    ])?;
    for row in &record.rows {
        writer.write_record([
            cell(row.response_h),
            cell(row.heard_h),
            cell(row.acted_h),
            cell(Some(row.highest_c)),
            cell(Some(row.lowest_c)),
            cell(Some(row.dose_used)),
            cell(row.lead_h),
            row.by_cold.to_string(),
        ])?;
    }
    finished(writer)
}
