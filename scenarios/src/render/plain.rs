//! The plain rendering: one block per mistake, the text underlined with carets.

use std::fmt::Write;

use crate::problem::{Problem, Report};

/// Characters of a line that are shown around the underlined part.
const WIDTH: usize = 100;

pub(super) fn render(report: &Report) -> String {
    let mut out = String::new();
    for problem in &report.problems {
        block(&mut out, problem);
        out.push('\n');
    }
    if report.left_out > 0 {
        // Writing to a string cannot fail.
        let _ = writeln!(out, "and {} more", report.left_out);
    }
    // One mistake without a line says its place itself.
    let alone = report.left_out == 0
        && matches!(report.problems.as_slice(), [only] if !only.place.source.has_lines());
    if !alone {
        let _ = writeln!(out, "{}", report.headline());
    }
    out
}

fn block(out: &mut String, problem: &Problem) {
    let _ = writeln!(out, "{}: {}", problem.place.shown(), problem.message);
    if !problem.place.source.text.is_empty() {
        excerpt(out, problem);
    }
    for advice in problem.advice() {
        let _ = writeln!(out, "  {advice}");
    }
}

fn excerpt(out: &mut String, problem: &Problem) {
    let number = if problem.place.source.has_lines() {
        problem.place.line_and_column().0.to_string()
    } else {
        String::new()
    };
    let (line, start) = problem.place.line();
    let from = (problem.place.range.start - start).min(line.len());
    let to = (problem.place.range.end - start).clamp(from, line.len());
    let (before, marked, after) = (&line[..from], &line[from..to], &line[to..]);
    // A long line is cut so that the marked part stays in sight.
    let before_cut = last_characters(before, WIDTH / 2);
    let marked_cut = first_characters(marked, WIDTH / 2);
    let after_cut = if marked_cut.len() < marked.len() {
        ""
    } else {
        first_characters(after, WIDTH / 2)
    };
    let lead = if before_cut.len() < before.len() {
        "..."
    } else {
        ""
    };
    let margin = format!("{number:>5} | ");
    let shown = |text: &str| text.replace('\t', "    ");
    let _ = writeln!(
        out,
        "{margin}{lead}{}{}{}",
        shown(before_cut),
        shown(marked_cut),
        shown(after_cut).trim_end()
    );
    let blanks = lead.len() + columns(&shown(before_cut));
    let carets = columns(&shown(marked_cut)).max(1);
    let bar = format!("{:>5} | ", "");
    let _ = writeln!(
        out,
        "{bar}{}{} {}",
        " ".repeat(blanks),
        "^".repeat(carets),
        problem.label
    );
}

/// Columns a text takes on a terminal: East Asian wide characters take two, combining marks none.
fn columns(text: &str) -> usize {
    text.chars().map(column_width).sum()
}

fn column_width(c: char) -> usize {
    match u32::from(c) {
        0x0300..=0x036F | 0x200B..=0x200F | 0xFE00..=0xFE0F => 0,
        0x1100..=0x115F
        | 0x2E80..=0xA4CF
        | 0xAC00..=0xD7A3
        | 0xF900..=0xFAFF
        | 0xFE30..=0xFE6F
        | 0xFF00..=0xFF60
        | 0xFFE0..=0xFFE6
        | 0x1F300..=0x1FAFF
        | 0x20000..=0x3FFFD => 2,
        _ => 1,
    }
}

fn first_characters(text: &str, count: usize) -> &str {
    text.char_indices().nth(count).map_or(text, |(at, _)| &text[..at])
}

fn last_characters(text: &str, count: usize) -> &str {
    let skip = text.chars().count().saturating_sub(count);
    text.char_indices().nth(skip).map_or(text, |(at, _)| &text[at..])
}
