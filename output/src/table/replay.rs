//! Recorded water beside simulated.

use super::{Column, WIDTH, grid};
use crate::records::{Replay, ReplayedWater};
use crate::wording::{Units, duration, hours, or_missing, power, restated, wrapped};

/// The log beside the run.
pub(super) fn replay(record: &Replay, units: Units) -> String {
    let row = |name: &str, water: &ReplayedWater, heaters_w: Option<f64>| {
        vec![
            name.to_owned(),
            units.temperature(water.lowest_c),
            units.temperature(water.mean_c),
            units.temperature(water.highest_c),
            or_missing(heaters_w, power),
            String::new(),
        ]
    };
    let mut text = format!("\nReplayed: {}\n", record.log);
    text += &grid(
        &[
            Column::words("Water", 22),
            Column::figures("Lowest", 11),
            Column::figures("Mean", 11),
            Column::figures("Highest", 11),
            Column::figures("Heaters, mean", 16),
            Column::words("", 1),
        ],
        vec![
            row("recorded", &record.recorded, record.recorded_heaters_w),
            row("simulated", &record.simulated, Some(record.simulated_heaters_w)),
        ],
    );
    let side = if record.mean_difference_k < 0.0 {
        "colder"
    } else {
        "warmer"
    };
    text += &wrapped(
        "",
        &format!(
            "At {} readings of {} over {} the simulated water is {} {side} in the mean, and at most {} off, at {} (line {} of the log).",
            record.readings,
            record.tank,
            hours(record.to_h - record.from_h),
            units.difference(record.mean_difference_k.abs()),
            units.difference(record.largest_difference_k),
            record.largest_in_log,
            record.largest_line
        ),
        WIDTH,
    );
    if let Some(longest) = &record.longest_gap {
        let gaps = if record.gaps == 1 {
            format!(
                "The log has a gap of {} from {} on",
                duration(longest.lasts_h),
                longest.begins_in_log
            )
        } else {
            format!(
                "The log has {} gaps of {} together, the longest of {} from {} on",
                record.gaps,
                duration(record.gaps_h),
                duration(longest.lasts_h),
                longest.begins_in_log
            )
        };
        text += &wrapped(
            "",
            &format!(
                "{gaps}: what is in gaps counts neither in the recorded nor in the simulated figures here. The run goes on through them, in a room taken in a straight line from the reading before to the one after, and its scores above hold them."
            ),
            WIDTH,
        );
    }
    text += &wrapped(
        "",
        &format!("Day 1 of the run begins at {}.", record.zero_in_log),
        WIDTH,
    );
    if record.from_h < 0.0 {
        text += &wrapped(
            "",
            "What was recorded before the first midnight is compared, not scored: time zero is that midnight.",
            WIDTH,
        );
    }
    if !record.changes.is_empty() {
        text += &changes(record, units);
    }
    text
}

/// What other circumstances would make of it.
fn changes(record: &Replay, units: Units) -> String {
    let row = |what: &str, simulated: &ReplayedWater, mean_difference_k: f64, heaters_w: f64| {
        vec![
            restated(what, units),
            units.temperature(simulated.lowest_c),
            units.temperature(simulated.highest_c),
            difference(mean_difference_k, units),
            power(heaters_w),
        ]
    };
    let as_it_is = row(
        "as it is",
        &record.simulated,
        record.mean_difference_k,
        record.simulated_heaters_w,
    );
    let changed = record.changes.iter().map(|change| {
        row(
            &change.what,
            &change.simulated,
            change.mean_difference_k,
            change.simulated_heaters_w,
        )
    });
    let head = "What would change it most, the largest change first";
    format!(
        "\n{head}\n{}",
        grid(
            &[
                Column::words("If it were", 40),
                Column::figures("Lowest", 11),
                Column::figures("Highest", 11),
                Column::figures("Simulated less\nrecorded, mean", 18),
                Column::figures("Heaters,\nmean", 14),
            ],
            std::iter::once(as_it_is).chain(changed).collect(),
        )
    )
}

/// With its sign; none where nothing is left of it.
fn difference(by_k: f64, units: Units) -> String {
    let magnitude = units.difference(by_k.abs());
    let sign = match by_k {
        _ if magnitude == units.difference(0.0) => "",
        by_k if by_k < 0.0 => "−",
        _ => "+",
    };
    format!("{sign}{magnitude}")
}
