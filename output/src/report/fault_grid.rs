//! The fault matrix as a grid that needs no colour: faults down, strategies across, the worst room of each.

use maud::{Markup, html};

use super::Chapter;
use super::page::{anchor, made_by};
use crate::records::{FaultRow, RoomKind, Severity, StrategyFaults};
use crate::wording::{Harm, Units, dose, duration};

/// A fault by its set and its case.
type Fault<'a> = (&'a str, &'a str);

/// What a fault does to the water under a strategy, in its worst room.
struct Cell<'a> {
    row: &'a FaultRow,
    kind: Kind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// The fault takes the water past the dose.
    Past,
    /// It takes it past a line, below the dose.
    Line,
    /// The dose or a line is passed with nothing broken too.
    Anyway,
    /// No line is reached.
    Holds,
    /// Its runs failed.
    Failed,
}

impl Kind {
    fn of(row: &FaultRow) -> Self {
        if row.outcome.failure.is_some() {
            return Self::Failed;
        }
        if row.takes_past() {
            return Self::Past;
        }
        match Harm::of(&row.outcome) {
            _ if row.outcome.past_without_fault() => Self::Anyway,
            Harm::PastALine => Self::Line,
            Harm::LineAnyway => Self::Anyway,
            Harm::Nothing | Harm::NoLine => Self::Holds,
        }
    }

    fn class(self) -> Option<&'static str> {
        match self {
            Self::Past => Some("past"),
            Self::Line => Some("line-passed"),
            Self::Anyway | Self::Holds | Self::Failed => None,
        }
    }
}

/// The section.
pub(super) fn section(chapter: &Chapter, place: usize, units: Units) -> Markup {
    let strategies = &chapter.faults.strategies;
    let faults = faults(strategies);
    let matters = |(set, case): &Fault<'_>| {
        let cells = strategies.iter().filter_map(|one| cell(one, set, case));
        cells
            .map(|cell| cell.kind)
            .any(|kind| matches!(kind, Kind::Past | Kind::Line | Kind::Failed))
    };
    let (told, harmless): (Vec<Fault<'_>>, Vec<Fault<'_>>) = faults.into_iter().partition(matters);
    html! {
        section aria-labelledby=(anchor("faults", place)) {
            h2 id=(anchor("faults", place)) { "If one thing breaks" }
            p {
                "Every fault in three rooms, from the worst instant tried, followed for three days; each cell tells of the room in which it does most harm. "
            }
            dl.facts {
                dt.mark { "▲ past" } dd { "hatched: uses up the dose, that long after the fault" }
                dt.mark { "△ line" } dd { "ruled: passes a danger line, uses up that much of the dose" }
                dt.mark { "◇ anyway" } dd { "a line or the dose is passed with nothing broken too; the fault is not to blame" }
                dt.mark { "○ holds" } dd { "no danger line is reached" }
            }
            div.scroll tabindex="0" role="region" aria-labelledby=(anchor("faults", place)) {
                table {
                    caption { span { "Faults that take the water past a line under at least one strategy, worst first" } }
                    thead {
                        tr {
                            th scope="col" { "Fault" }
                            @for one in strategies { th scope="col" { (one.strategy) } }
                        }
                    }
                    tbody {
                        @for (set, case) in &told {
                            tr {
                                th scope="row" { (case) }
                                @for one in strategies { (shown(cell(one, set, case), units)) }
                            }
                        }
                        @if told.is_empty() {
                            tr { td colspan=(strategies.len() + 1) { "None: no fault tried takes the water past a line." } }
                        }
                    }
                }
            }
            @if !harmless.is_empty() {
                details {
                    summary { (harmless.len()) " faults take the water past no line under any strategy" }
                    p { (harmless.iter().map(|(_, case)| *case).collect::<Vec<_>>().join("; ")) "." }
                }
            }
            (made_by("All rooms and figures of every fault stand there.", &chapter.faults_command))
        }
    }
}

/// Every fault once, worst first.
fn faults(strategies: &[StrategyFaults]) -> Vec<Fault<'_>> {
    let mut faults: Vec<(&str, &str, Severity)> = Vec::new();
    for row in strategies
        .iter()
        .flat_map(|one| &one.faults)
        .filter(|row| row.is_single)
    {
        let (set, case, severity) = (
            row.outcome.set.as_str(),
            row.outcome.case.as_str(),
            row.severity(),
        );
        match faults
            .iter_mut()
            .find(|(known_set, known, _)| *known_set == set && *known == case)
        {
            Some((_, _, known)) if *known < severity => *known = severity,
            Some(_) => {}
            None => faults.push((set, case, severity)),
        }
    }
    faults.sort_by(|a, b| b.2.partial_cmp(&a.2).unwrap_or(std::cmp::Ordering::Equal));
    faults.into_iter().map(|(set, case, _)| (set, case)).collect()
}

/// Rows of a strategy are sorted, so the first of a fault is that of its worst room.
fn cell<'a>(one: &'a StrategyFaults, set: &str, case: &str) -> Option<Cell<'a>> {
    let row = one
        .faults
        .iter()
        .find(|row| row.outcome.set == *set && row.outcome.case == *case)?;
    Some(Cell {
        row,
        kind: Kind::of(row),
    })
}

fn shown(cell: Option<Cell<'_>>, units: Units) -> Markup {
    let Some(Cell { row, kind }) = cell else {
        return html! { td { "–" } };
    };
    let outcome = &row.outcome;
    let warmer = outcome.hot_dose >= outcome.cold_dose;
    let extreme_c = if warmer { outcome.peak_c } else { outcome.lowest_c };
    let extreme = extreme_c.map_or_else(String::new, |c| units.temperature(c));
    html! {
        td class=[kind.class()] {
            span.mark {
                @match kind {
                    Kind::Past => { "▲ past, " (row.exceeds.map_or_else(String::new, |one| duration(one.used_up_h))) }
                    Kind::Line => { "△ line, " (outcome.larger_dose().map_or_else(String::new, dose)) }
                    Kind::Anyway => "◇ anyway",
                    Kind::Holds => "○ holds",
                    Kind::Failed => "! failed",
                }
            }
            @if matches!(kind, Kind::Past | Kind::Line) {
                small { @if warmer { "up to " } @else { "down to " } (extreme) ", " (room(outcome.room)) }
            }
        }
    }
}

/// Which room, in two words.
pub(super) fn room(room: RoomKind) -> &'static str {
    match room {
        RoomKind::Scenario => "its own room",
        RoomKind::Coldest => "coldest room",
        RoomKind::Warmest => "warmest room",
    }
}
