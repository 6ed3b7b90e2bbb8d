//! The rendering for programs.

use serde_json::{Value, json};

use crate::problem::Report;

pub(super) fn render(report: &Report) -> Value {
    let mistakes: Vec<Value> = report
        .problems
        .iter()
        .map(|problem| {
            let (line, column) = problem.place.line_and_column();
            let end = crate::Place {
                range: problem.place.range.end..problem.place.range.end,
                ..problem.place.clone()
            };
            let (end_line, end_column) = end.line_and_column();
            json!({
                "file": problem.place.source.name,
                "line": line,
                "column": column,
                "end_line": end_line,
                "end_column": end_column,
                "code": problem.code,
                "message": problem.message,
                "found": problem.found,
                "expected": problem.expected,
                "nearest": problem.nearest,
                "fix": problem.fix,
            })
        })
        .collect();
    json!({ "mistakes": mistakes, "left_out": report.left_out })
}
