//! Results as text for people: at most [`WIDTH`] columns, the same on a terminal and in a pipe, without colour.

mod breakage;
mod budget;
mod card;
mod comparison;
mod conformance;
mod every_fault;
mod explanation;
mod fate;
mod fault_matrix;
mod fit;
mod lesson;
mod listing;
mod livestock;
mod measurement;
mod odds;
mod oxygen;
mod range;
mod replay;
mod response;
mod run;
mod salinity;
mod single_points;
mod size;
mod size_cooling;
mod size_outage;
mod size_savings;
mod stuck;
mod study;
mod study_scores;
mod tuning;

pub use budget::{budget, budgets};
pub use card::card;
pub(crate) use card::{every_words, hours_words, oxygen_unsaid};
pub use comparison::{comparison, comparison_with_every_fault};
pub(crate) use comparison::{row_cells, set_up, standing_in_words};
pub use conformance::conformance;
pub use explanation::{coverage, explanation};
pub use fault_matrix::fault_matrix;
pub use fit::fit;
pub use lesson::{LessonDepth, lesson, lessons};
pub use listing::listing;
pub use measurement::measurement;
pub use odds::odds;
pub(crate) use range::warnings_told;
pub use response::response_curve;
pub use run::run;
pub(crate) use single_points::{change_that_removes, harm_of};
pub use size::{size, sizes};
pub use study::study;
pub use tuning::tuning;

use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, LineStyle, Table, Width};

use crate::cautions::{Cautioned, mark_of};
use crate::wording::{MISSING, Units, abridged, glued, restated, unglued, wrapped};

/// Widest line of a table.
pub const WIDTH: usize = 100;

/// A column of a [`grid`].
#[derive(Clone, Copy)]
struct Column<'h> {
    head: &'h str,
    /// Characters, the gap to the next column included; the last column takes what is left.
    width: u16,
    align: CellAlignment,
}

impl<'h> Column<'h> {
    const fn words(head: &'h str, width: u16) -> Self {
        Self {
            head,
            width,
            align: CellAlignment::Left,
        }
    }

    const fn figures(head: &'h str, width: u16) -> Self {
        Self {
            head,
            width,
            align: CellAlignment::Right,
        }
    }
}

/// A table with a rule below its head.
fn grid(columns: &[Column<'_>], rows: Vec<Vec<String>>) -> String {
    let mut table = Table::new();
    table
        .load_style(NOTHING.header_separator(LineStyle::none().fill('-')))
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(WIDTH as u16)
        .set_header(columns.iter().map(|column| column.head));
    for row in rows {
        table.add_row(row.iter().map(|cell| glued(cell)));
    }
    let mut left = WIDTH as u16;
    for (index, column) in columns.iter().enumerate() {
        let last = index + 1 == columns.len();
        let width = if last {
            left.max(column.width)
        } else {
            column.width
        };
        left = left.saturating_sub(width);
        if let Some(shape) = table.column_mut(index) {
            let padding = if last { (0, 0) } else { (0, 2) };
            shape.set_padding(padding).set_cell_alignment(column.align);
            shape.set_constraint(ColumnConstraint::Absolute(Width::Fixed(width)));
        }
    }
    let mut text = unglued(&table.trim_fmt());
    text.push('\n');
    text
}

/// Name and value, one below the other.
fn facts(facts: Vec<(String, String)>) -> String {
    let widest = facts
        .iter()
        .map(|(name, _)| name.chars().count())
        .max()
        .unwrap_or(0)
        .min(WIDTH / 2);
    facts
        .into_iter()
        .map(|(name, value)| {
            let gap = widest.saturating_sub(name.chars().count());
            wrapped(&format!("{name}{}  ", " ".repeat(gap)), &value, WIDTH)
        })
        .collect()
}

/// A heading and one paragraph per item; nothing without items.
fn list<'a>(heading: &str, items: impl IntoIterator<Item = &'a str>) -> String {
    let items: String = items.into_iter().map(|item| wrapped("- ", item, WIDTH)).collect();
    if items.is_empty() {
        items
    } else {
        format!("\n{heading}\n{items}")
    }
}

/// Cautions with what triggered them.
fn cautions(cautions: &[Cautioned]) -> String {
    let items: Vec<String> = cautions
        .iter()
        .map(|one| format!("{} [{}]", one.marked(), abridged(&one.because)))
        .collect();
    let mark = mark_of(cautions).map_or_else(String::new, |mark| format!("{mark}\n"));
    list("Cautions", items.iter().map(String::as_str)) + &mark
}

/// What was assumed, in the reader's units.
fn assumed(assumptions: &[String], units: Units) -> String {
    let told: Vec<String> = assumptions.iter().map(|one| restated(one, units)).collect();
    list("Assumed", told.iter().map(String::as_str))
}

/// A figure with one decimal.
fn one_decimal(value: f64) -> String {
    if value.is_finite() {
        format!("{value:.1}")
    } else {
        MISSING.to_owned()
    }
}
