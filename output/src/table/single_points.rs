//! Single points of failure, and the changes that remove them.

use super::WIDTH;
use super::fault_matrix::{in_room, line_passed};
use crate::difference::differs;
use crate::records::{Change, EditKind, FaultMatrix, FaultOutcome, Held, SinglePoint, StrategyFaults};
use crate::wording::{
    MISSING, Units, dose, duration, enumerated, hours, or_missing, restated, share, spanned, tanks_past_dose,
    wrapped,
};

/// All of one strategy.
pub(super) fn single_points(one: &StrategyFaults, record: &FaultMatrix, units: Units) -> String {
    if !record.livestock.states_lines() {
        return String::new();
    }
    if one.single_points.is_empty() {
        let none =
            "Single points of failure: none; no fault of the table takes the water past the dose alone.";
        return format!("\n{none}\n");
    }
    let mut text =
        String::from("\nSingle points of failure, and the smallest change tried that removes each\n");
    let (removable, others): (Vec<&SinglePoint>, Vec<&SinglePoint>) = one
        .single_points
        .iter()
        .partition(|point| point.smallest.is_some());
    let mut told: Vec<(Vec<&str>, String, Vec<String>)> = Vec::new();
    for point in removable {
        let (harm, lines) = (harm_of(point, units), removed(point, one, record, units));
        match told
            .iter_mut()
            .find(|(_, known, same)| *known == harm && *same == lines)
        {
            Some((cases, _, _)) => cases.push(&point.case),
            None => told.push((vec![&point.case], harm, lines)),
        }
    }
    for (cases, harm, lines) in told {
        text += &wrapped("- ", &format!("{}: {harm}", cases.join("; ")), WIDTH);
        for line in lines {
            text += &wrapped("  ", &line, WIDTH);
        }
    }
    text += &none_removes(&others);
    text + &ruled_out(one, record)
}

/// What it exceeds, when and where.
pub(crate) fn harm_of(point: &SinglePoint, units: Units) -> String {
    format!(
        "{} after {}, dose used up after {}, {}",
        line_passed(point.exceeds, units),
        duration(point.exceeds.line_after_h),
        duration(point.exceeds.used_up_h),
        in_room(point.room)
    )
}

/// Those that no change removes, in one line.
fn none_removes(points: &[&SinglePoint]) -> String {
    if points.is_empty() {
        return String::new();
    }
    let alone = points.iter().map(|point| {
        point
            .tried
            .iter()
            .filter(|change| change.outcome.is_some())
            .count()
    });
    let pairs = points.iter().map(|point| point.pairs_tried);
    let (alone, pairs) = (alone.max().unwrap_or(0), pairs.max().unwrap_or(0));
    let names: Vec<&str> = points.iter().map(|point| point.case.as_str()).collect();
    wrapped(
        "- ",
        &format!(
            "No change tried, {alone} alone and {pairs} in pairs, removes: {}.",
            names.join("; ")
        ),
        WIDTH,
    )
}

/// Changes that keep the tank no longer with nothing broken; the same for every fault.
fn ruled_out(one: &StrategyFaults, record: &FaultMatrix) -> String {
    let tried = one.single_points.first().map_or(&[][..], |point| &point.tried);
    let told: Vec<String> = tried
        .iter()
        .filter(|change| change.edits.len() == 1)
        .filter_map(|change| {
            Some(format!(
                "{} ({})",
                names(&change.edits, record),
                change.breaks_healthy.as_ref()?
            ))
        })
        .collect();
    if told.is_empty() {
        return String::new();
    }
    wrapped(
        "- ",
        &format!("Ruled out beforehand: {}.", told.join("; ")),
        WIDTH,
    )
}

/// The smallest change with its figures, what else would do, what would not.
fn removed(point: &SinglePoint, one: &StrategyFaults, record: &FaultMatrix, units: Units) -> Vec<String> {
    let mut lines = Vec::new();
    let told = |change: &Change| told(change, one, record, units);
    for (index, change) in point
        .tried
        .iter()
        .enumerate()
        .filter(|(_, change)| change.removes)
    {
        let lead = if point.smallest == Some(index) {
            "Smallest change:"
        } else {
            "Also enough:"
        };
        lines.push(format!("{lead} {}.", told(change)));
    }
    let fails: Vec<String> = point
        .tried
        .iter()
        .filter(|change| !change.removes && change.breaks_healthy.is_none())
        .map(|change| format!("{} ({})", names(&change.edits, record), why_not(change, units)))
        .collect();
    if !fails.is_empty() {
        lines.push(format!("Not enough: {}.", fails.join("; ")));
    }
    lines
}

/// A change with what is left of the fault and its price.
fn told(change: &Change, one: &StrategyFaults, record: &FaultMatrix, units: Units) -> String {
    let figures = change
        .outcome
        .as_ref()
        .map_or_else(String::new, |outcome| figures(outcome, units));
    let price = one
        .held
        .zip(change.held)
        .map_or_else(String::new, |(before, after)| {
            format!("; price: {}", price(&before, &after, units))
        });
    format!("{}: {figures}{price}", names(&change.edits, record))
}

/// The smallest change that removes a single point of failure, with its figures; `None`: none does.
pub(crate) fn change_that_removes(
    point: &SinglePoint,
    one: &StrategyFaults,
    record: &FaultMatrix,
    units: Units,
) -> Option<String> {
    let change = point.tried.get(point.smallest?)?;
    Some(format!("{}.", told(change, one, record, units)))
}

fn why_not(change: &Change, units: Units) -> String {
    let Some(outcome) = &change.outcome else {
        return MISSING.to_owned();
    };
    if let Some(failure) = &outcome.failure {
        return format!("run failed: {failure}");
    }
    let used_up_h = outcome.taken_past_h();
    if used_up_h.is_none() {
        return "past the dose with nothing broken".to_owned();
    }
    let side = if used_up_h == outcome.cold_used_up_h {
        "too cold"
    } else {
        "too warm"
    };
    format!(
        "{side}, dose used up after {}{}",
        or_missing(used_up_h, duration),
        tanks_past_dose(&[outcome], units)
    )
}

/// The worst that is left.
fn figures(outcome: &FaultOutcome, units: Units) -> String {
    let extremes = [outcome.lowest_c, outcome.peak_c].into_iter().flatten();
    format!(
        "at worst {}, dose {}",
        spanned(extremes, |temp_c| units.temperature(temp_c)),
        or_missing(outcome.larger_dose(), dose)
    )
}

/// What the tank with nothing broken loses by a change.
fn price(before: &Held, after: &Held, units: Units) -> String {
    let mut parts = Vec::new();
    let recovery = |held: &Held| {
        held.recovery_h.map_or_else(
            || format!("more than {}", hours(held.recovery_followed_h)),
            duration,
        )
    };
    let (recovers, recovered) = (recovery(after), recovery(before));
    parts.push(if recovers == recovered {
        format!("recovery from a cold water change in the coldest room {recovers} as before")
    } else {
        format!("recovery from a cold water change in the coldest room {recovers} instead of {recovered}")
    });
    let coldest = |held: &Held| or_missing(held.coldest_room_held_c, |temp_c| units.temperature(temp_c));
    if coldest(after) != coldest(before) {
        parts.push(format!(
            "holds the target down to a room of {} instead of {}",
            coldest(after),
            coldest(before)
        ));
    }
    let (inside, was_inside) = (share(after.inside_band_frac), share(before.inside_band_frac));
    if inside != was_inside {
        parts.push(format!(
            "inside the band {inside} of the time instead of {was_inside}"
        ));
    }
    if let (Some(now), Some(was)) = (after.closings_per_day, before.closings_per_day)
        && differs(now, was, 0.5)
    {
        parts.push(format!("{now:.0} closings a day instead of {was:.0}"));
    }
    parts.join(", ")
}

fn names(kinds: &[EditKind], record: &FaultMatrix) -> String {
    let name = |kind: &EditKind| {
        let offered = record.changes_offered.iter().find(|edit| edit.kind == *kind);
        offered.map_or("another change", |edit| &edit.name)
    };
    enumerated(&kinds.iter().map(name).collect::<Vec<_>>())
}

/// What exactly the changes were, where any was tried.
pub(super) fn offered(record: &FaultMatrix, units: Units) -> String {
    if record.strategies.iter().all(|one| one.single_points.is_empty()) {
        return String::new();
    }
    let told: Vec<String> = record
        .changes_offered
        .iter()
        .map(|edit| format!("{}: {}", edit.name, restated(&edit.detail, units)))
        .collect();
    super::list(
        "Changes tried, one at a time and then in pairs (their figures: common practice, no source)",
        told.iter().map(String::as_str),
    )
}
