//! Rows in order, each stamp once, without readings that cannot be.

use tepid_sim::time::{HOUR, Millis, hours};

use super::{LeftOut, LogRow};

/// A reading further than this from the middle of the five around it is a spike, K. A choice: water does not jump so and come back.
const SPIKE_K: f64 = 1.0;

/// As far again for each hour between readings, K/h. A choice: the strongest heaters warm their water by some 4 K/h.
const SPIKE_K_PER_H: f64 = 4.0;

/// Likewise for air, where windows are opened.
const AIR_TIMES: f64 = 4.0;

/// Sorts by time and keeps the first row of each stamp; what a later one holds beyond it is taken over. Tells how many rows stood before one that
/// is earlier, where the log is not simply newest first.
pub(super) fn order(rows: &mut Vec<LogRow>, left_out: &mut LeftOut) -> usize {
    let back = rows
        .windows(2)
        .filter(|pair| pair[1].at_ms < pair[0].at_ms)
        .count();
    let on = rows.windows(2).any(|pair| pair[1].at_ms > pair[0].at_ms);
    rows.sort_by_key(|row| row.at_ms);
    let before = rows.len();
    rows.dedup_by(|later, first| {
        let same = later.at_ms == first.at_ms;
        if same {
            first.water_c = first.water_c.or(later.water_c);
            first.room_c = first.room_c.or(later.room_c);
            first.humidity_frac = first.humidity_frac.or(later.humidity_frac);
            first.heater = first.heater.or(later.heater);
            first.event = first.event.take().or(later.event.take());
        }
        same
    });
    left_out.twice = before - rows.len();
    if on { back } else { 0 }
}

/// Usual time from one row to the next, ms: the median.
pub(super) fn interval_ms(rows: &[LogRow]) -> Millis {
    let mut steps: Vec<Millis> = rows
        .windows(2)
        .map(|pair| pair[1].at_ms - pair[0].at_ms)
        .collect();
    steps.sort_unstable();
    steps.get(steps.len() / 2).copied().unwrap_or(HOUR).max(1)
}

/// Takes out readings far from the two before and the two after.
pub(super) fn spikes(rows: &mut [LogRow], interval_ms: Millis, left_out: &mut LeftOut) {
    let limit_k = SPIKE_K + SPIKE_K_PER_H * hours(interval_ms);
    let water: Vec<(usize, f64)> = present(rows, |row| row.water_c);
    for at in far_from_neighbours(&water, limit_k) {
        rows[at].water_c = None;
        left_out.spikes += 1;
        let line = rows[at].line;
        left_out.first_line = Some(left_out.first_line.map_or(line, |first| first.min(line)));
    }
    let room: Vec<(usize, f64)> = present(rows, |row| row.room_c);
    for at in far_from_neighbours(&room, AIR_TIMES * limit_k) {
        rows[at].room_c = None;
        left_out.spikes += 1;
    }
}

fn present(rows: &[LogRow], of: impl Fn(&LogRow) -> Option<f64>) -> Vec<(usize, f64)> {
    let numbered = rows.iter().enumerate();
    numbered
        .filter_map(|(at, row)| of(row).map(|value| (at, value)))
        .collect()
}

fn far_from_neighbours(readings: &[(usize, f64)], limit: f64) -> Vec<usize> {
    let mut far = Vec::new();
    for (middle, (at, value)) in readings.iter().enumerate() {
        let around = middle.saturating_sub(2)..(middle + 3).min(readings.len());
        let mut others: Vec<f64> = readings[around].iter().map(|(_, other)| *other).collect();
        if others.len() < 4 {
            continue;
        }
        others.sort_by(f64::total_cmp);
        if (value - others[others.len() / 2]).abs() > limit {
            far.push(*at);
        }
    }
    far
}

/// Smallest step between two readings of the water, K: the resolution of what wrote it; 0 where there is none.
pub(super) fn step_k(rows: &[LogRow]) -> f64 {
    let readings: Vec<f64> = rows.iter().filter_map(|row| row.water_c).collect();
    let smallest = readings
        .windows(2)
        .map(|pair| (pair[1] - pair[0]).abs())
        .filter(|step| *step > 1e-6)
        .fold(f64::INFINITY, f64::min);
    if smallest.is_finite() { smallest } else { 0.0 }
}
