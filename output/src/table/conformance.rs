//! Whether a strategy bears what happens to a controller, a line for each check.

use super::{Column, grid};
use crate::records::Conformance;
use crate::wording::wrapped;

/// The checks with what came of them.
#[must_use]
pub fn conformance(record: &Conformance) -> String {
    let rows = record.checks.iter().map(|check| {
        vec![
            check.check.clone(),
            check.verdict.words().to_owned(),
            check.reason.clone(),
        ]
    });
    let columns = [
        Column::words("Check", 38),
        Column::words("", 11),
        Column::words("What was seen", 20),
    ];
    let end = match record.failures() {
        0 => "Nothing fails.".to_owned(),
        1 => "One check fails.".to_owned(),
        several => format!("{several} checks fail."),
    };
    format!(
        "{}\n{}\n{end}\n",
        wrapped(
            "",
            &format!("{}: {}", record.strategy, record.settings),
            super::WIDTH
        ),
        grid(&columns, rows.collect())
    )
}
