//! The fault matrix, one line per outcome.

use super::comparison::{keys, kind, past_dose, room_key, yes};
use super::{CsvError, cell, finished};
use crate::records::{Change, FaultMatrix, FaultRow, Held, SinglePoint, StoppedBy, StrategyFaults};

/// The columns, in order. `part` says what a line is: `fault`, `pair`, `nobody-acts` (exposure of a device with nobody acting on alerts) or `change` (a
/// single point of failure with a change; then `changes`, `removes` and the columns from `breaks_healthy` on are filled).
const COLUMNS: [&str; 46] = [
    "scenario",
    "strategy",
    "part",
    "fault_set",
    "fault",
    "fault_kind",
    "component",
    "single",
    "room",
    "room_lowest_c",
    "room_highest_c",
    "began_h",
    "followed_h",
    "tries",
    "tank",
    "peak_c",
    "lowest_c",
    "peak_without_fault_c",
    "lowest_without_fault_c",
    "first_line_h",
    "hot_dose",
    "cold_dose",
    "hot_used_up_h",
    "cold_used_up_h",
    "stays_below_dose",
    "exceeds_line_c",
    "exceeds_line_after_h",
    "exceeds_used_up_h",
    "first_alert_h",
    "heard_h",
    "heard_by",
    "acted_h",
    "warning_lead_h",
    "stopped_by",
    "stopped_by_what",
    "hottest_body_c",
    "tanks_past_dose",
    "water_past_dose_l",
    "changes",
    "removes",
    "breaks_healthy",
    "inside_band_frac",
    "coldest_room_held_c",
    "recovery_h",
    "failure",
    "cautions",
];

/// How many columns a change fills behind an outcome.
const OF_CHANGE: usize = 6;

/// Every outcome.
///
/// # Errors
/// [`CsvError`] if the text cannot be built.
pub fn fault_matrix(record: &FaultMatrix) -> Result<String, CsvError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for one in &record.strategies {
        let mut lines: Vec<Vec<String>> = Vec::new();
        lines.extend(one.faults.iter().map(|row| row_line(record, one, "fault", row)));
        lines.extend(
            one.pairs
                .iter()
                .flatten()
                .map(|row| row_line(record, one, "pair", row)),
        );
        let alone = one.exposure.iter().filter(|exposure| !exposure.people_act);
        lines.extend(alone.map(|exposure| row_line(record, one, "nobody-acts", &exposure.row)));
        for point in &one.single_points {
            lines.extend(
                point
                    .tried
                    .iter()
                    .map(|change| change_line(record, one, point, change)),
            );
        }
        for line in lines {
            writer.write_record(line)?;
        }
    }
    finished(writer)
}

fn row_line(record: &FaultMatrix, one: &StrategyFaults, part: &str, row: &FaultRow) -> Vec<String> {
    let none = || std::iter::repeat_n(String::new(), OF_CHANGE);
    line(record, one, part, row, none())
}

fn line(
    record: &FaultMatrix,
    one: &StrategyFaults,
    part: &str,
    row: &FaultRow,
    of_change: impl Iterator<Item = String>,
) -> Vec<String> {
    let outcome = &row.outcome;
    let exceeds = row.exceeds.as_ref();
    let (stopped_by, what) = row.stopped_by.as_ref().map_or(("", String::new()), stopped);
    let mut line = vec![
        record.scenario.clone(),
        one.strategy.clone(),
        part.to_owned(),
        outcome.set.clone(),
        outcome.case.clone(),
        kind(outcome.kind),
        outcome.component.clone().unwrap_or_default(),
        row.is_single.to_string(),
        room_key(outcome.room).to_owned(),
        cell(Some(outcome.room_lowest_c)),
        cell(Some(outcome.room_highest_c)),
        cell(outcome.began_h),
        cell(Some(outcome.horizon_h)),
        outcome.tries.to_string(),
        outcome.tank.clone().unwrap_or_default(),
        cell(outcome.peak_c),
        cell(outcome.lowest_c),
        cell(outcome.peak_without_fault_c),
        cell(outcome.lowest_without_fault_c),
        cell(outcome.hours_to_first_line()),
        cell(outcome.hot_dose),
        cell(outcome.cold_dose),
        cell(outcome.hot_used_up_h),
        cell(outcome.cold_used_up_h),
        yes(outcome.stays_below_dose),
        cell(exceeds.map(|exceeds| exceeds.line_c)),
        cell(exceeds.map(|exceeds| exceeds.line_after_h)),
        cell(exceeds.map(|exceeds| exceeds.used_up_h)),
        cell(outcome.first_alert_h),
        cell(outcome.heard_h),
        outcome.heard_by.clone().unwrap_or_default(),
        cell(outcome.acted_h),
        cell(outcome.warning_lead_h),
        stopped_by.to_owned(),
        what,
        cell(outcome.hottest_body_c),
    ];
    line.extend(past_dose(outcome.past_dose));
    line.extend(of_change);
    line.extend([
        outcome.failure.clone().unwrap_or_default(),
        keys(outcome.cautions.iter().copied()),
    ]);
    line
}

fn change_line(
    record: &FaultMatrix,
    one: &StrategyFaults,
    point: &SinglePoint,
    change: &Change,
) -> Vec<String> {
    let held = |field: fn(&Held) -> Option<f64>| cell(change.held.as_ref().and_then(field));
    let names: Vec<&str> = change
        .edits
        .iter()
        .filter_map(|kind| record.changes_offered.iter().find(|edit| edit.kind == *kind))
        .map(|edit| edit.name.as_str())
        .collect();
    let of_change = [
        names.join(" + "),
        change.removes.to_string(),
        change.breaks_healthy.clone().unwrap_or_default(),
        held(|held| Some(held.inside_band_frac)),
        held(|held| held.coldest_room_held_c),
        held(|held| held.recovery_h),
    ];
    let Some(outcome) = change.outcome.clone() else {
        let mut empty = vec![String::new(); COLUMNS.len() - OF_CHANGE - 2];
        empty[..5].clone_from_slice(&[
            record.scenario.clone(),
            one.strategy.clone(),
            "change".to_owned(),
            point.set.clone(),
            point.case.clone(),
        ]);
        empty.extend(of_change);
        empty.extend([String::new(), String::new()]);
        return empty;
    };
    let row = FaultRow {
        outcome,
        is_single: true,
        stopped_by: None,
        exceeds: None,
    };
    line(record, one, "change", &row, of_change.into_iter())
}

/// The key, as in JSON, and what it names.
fn stopped(by: &StoppedBy) -> (&'static str, String) {
    match by {
        StoppedBy::Person { what } => ("person", what.clone()),
        StoppedBy::Contacts { names } => ("contacts", names.join("; ")),
        StoppedBy::FaultEnded => ("fault-ended", String::new()),
        StoppedBy::Cooling { names } => ("cooling", names.join("; ")),
        StoppedBy::Heating { names } => ("heating", names.join("; ")),
        StoppedBy::LevelledOff => ("levelled-off", String::new()),
        StoppedBy::Nothing => ("nothing", String::new()),
    }
}
