//! Every fault case that was tried, room by room; strategies that fare alike are named together, and so are cases.

use super::breakage::{named, room_heading};
use super::{Column, WIDTH, grid};
use crate::records::{FaultOutcome, RoomKind, ScenarioBlock};
use crate::wording::{Units, alike, outcomes, run_dry, tanks_past_dose, wrapped};

/// One fault case in one room, with the strategies that fare alike.
struct Alike<'a> {
    case: &'a str,
    strategies: Vec<&'a str>,
    outcomes: Vec<&'a FaultOutcome>,
}

/// The fault cases of a scenario; nothing if none was tried.
pub(super) fn every_fault(block: &ScenarioBlock, units: Units) -> String {
    let mut text = String::new();
    for room in RoomKind::ALL {
        let groups = groups(block, room);
        if groups.is_empty() {
            continue;
        }
        let heading = format!("Every fault. {}", room_heading(&block.rooms, room, units));
        text += &format!("\n{}", wrapped("", &heading, WIDTH));
        let mut rows: Vec<[String; 3]> = Vec::new();
        for group in &groups {
            let who = named(&group.strategies, block, room);
            let what = told(group, block, units);
            match rows.last_mut() {
                Some([cases, known_who, known_what]) if *known_who == who && *known_what == what => {
                    *cases += &format!(", {}", group.case);
                }
                _ => rows.push([group.case.to_owned(), who, what]),
            }
        }
        text += &grid(
            &[
                Column::words("Fault", 27),
                Column::words("Strategy", 20),
                Column::words("What it does", 20),
            ],
            rows.into_iter().map(Vec::from).collect(),
        );
    }
    text
}

/// In the order of the first strategy's cases.
fn groups(block: &ScenarioBlock, room: RoomKind) -> Vec<Alike<'_>> {
    let mut groups: Vec<Alike<'_>> = Vec::new();
    for row in &block.rows {
        for outcome in row.outcomes_in(room) {
            let same_case = |group: &Alike<'_>| group.case == outcome.case;
            let fares_alike = |first: &&FaultOutcome| alike(first, outcome, &block.livestock);
            let known = groups
                .iter_mut()
                .find(|group| same_case(group) && group.outcomes.first().is_some_and(fares_alike));
            if let Some(known) = known {
                known.strategies.push(&row.strategy);
                known.outcomes.push(outcome);
                continue;
            }
            let next = groups
                .iter()
                .rposition(same_case)
                .map_or(groups.len(), |last| last + 1);
            let new = Alike {
                case: &outcome.case,
                strategies: vec![&row.strategy],
                outcomes: vec![outcome],
            };
            groups.insert(next, new);
        }
    }
    groups
}

fn told(group: &Alike<'_>, block: &ScenarioBlock, units: Units) -> String {
    outcomes(&group.outcomes, &block.livestock, units)
        + &tanks_past_dose(&group.outcomes, units)
        + &run_dry(&group.outcomes, units)
}
