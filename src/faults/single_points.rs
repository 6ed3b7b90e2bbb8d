//! Faults that take the water past the dose alone, and the smallest change that removes each: changes one at a time, then in pairs.

use rayon::prelude::*;
use tepid_output::records::{Change, Edit, EditKind, FaultRow, RoomKind, SinglePoint};

use super::Study;
use super::change::Changed;
use super::edits;
use super::set_up::SetUp;

/// All of them, worst first.
pub(super) fn single_points(
    study: &Study<'_>,
    present: &SetUp,
    rows: &[FaultRow],
    offered: &[Edit],
) -> Vec<SinglePoint> {
    let points = worst_of_each(rows);
    if points.is_empty() {
        return Vec::new();
    }
    let lost = |room: &RoomKind| {
        let mut in_room = rows.iter().filter(|row| row.outcome.room == *room);
        in_room.any(|row| row.outcome.past_without_fault())
    };
    let lost_anyway: Vec<RoomKind> = RoomKind::ALL.into_iter().filter(lost).collect();
    let kinds: Vec<EditKind> = offered.iter().map(|edit| edit.kind).collect();
    let alone: Vec<[EditKind; 1]> = kinds.iter().map(|kind| [*kind]).collect();
    let alone = changed(&alone, study, present);
    study.progress.expect((points.len() * alone.len()) as u64);
    let mut found: Vec<SinglePoint> = points
        .par_iter()
        .filter_map(|point| {
            let tried: Vec<Change> = alone
                .par_iter()
                .map(|changed| {
                    let change = changed.tried_on(point, &lost_anyway, study);
                    study.progress.done();
                    change
                })
                .collect();
            Some(SinglePoint {
                set: point.outcome.set.clone(),
                case: point.outcome.case.clone(),
                room: point.outcome.room,
                exceeds: point.exceeds?,
                smallest: tried.iter().position(|change| change.removes),
                tried,
                pairs_tried: 0,
            })
        })
        .collect();
    if found.iter().any(|point| point.smallest.is_none()) {
        let pairs = changed(&edits::pairs(&kinds), study, present);
        study.progress.expect(found.len() as u64);
        found.par_iter_mut().zip(&points).for_each(|(point, row)| {
            if point.smallest.is_none() {
                try_pairs(point, row, &pairs, &lost_anyway, study);
            }
            study.progress.done();
        });
    }
    found
}

/// The worst room of every single fault that takes the water past the dose; rows come worst first.
fn worst_of_each(rows: &[FaultRow]) -> Vec<&FaultRow> {
    let mut points: Vec<&FaultRow> = Vec::new();
    let same =
        |a: &FaultRow, b: &FaultRow| a.outcome.set == b.outcome.set && a.outcome.case == b.outcome.case;
    for row in rows.iter().filter(|row| row.is_single && row.takes_past()) {
        if !points.iter().any(|known| same(known, row)) {
            points.push(row);
        }
    }
    points
}

fn changed<const N: usize>(edits: &[[EditKind; N]], study: &Study<'_>, present: &SetUp) -> Vec<Changed> {
    let changed = edits.par_iter().map(|edits| Changed::new(edits, study, present));
    changed.collect::<Vec<_>>().into_iter().flatten().collect()
}

/// Pairs, smallest first, until one removes it.
fn try_pairs(
    point: &mut SinglePoint,
    row: &FaultRow,
    pairs: &[Changed],
    lost_anyway: &[RoomKind],
    study: &Study<'_>,
) {
    for pair in pairs {
        let change = pair.tried_on(row, lost_anyway, study);
        point.pairs_tried += u32::from(change.outcome.is_some());
        if change.removes {
            point.smallest = Some(point.tried.len());
            point.tried.push(change);
            return;
        }
    }
}
