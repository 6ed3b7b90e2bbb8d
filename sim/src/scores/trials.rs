//! The instants after which a fault is tried: where a failure may do its worst.
//!
//! *Definition*: eight times of day (00:00, 03:00 … 21:00) of day 1, of the day with the warmest and of the day with the coldest room, by the room's course, swings and announced shifts without its random drift (of outdoor air, where the room answers to it).

use crate::scenario::Scenario;
use crate::time::{DAY, HOUR, Millis};

/// Spacing of the times of day, ms. A choice: eight instants of a day. Valid where a day is what repeats.
const PHASE_MS: Millis = 3 * HOUR;

/// The instants, ms, day by day: the first of each eight is 00:00 of a day.
#[must_use]
pub fn trial_instants(scenario: &Scenario) -> Vec<Millis> {
    let mut days = vec![0];
    if scenario.duration_ms >= 2 * DAY {
        let first_day = scenario.start_date.map(|date| f64::from(date.day_of_year()));
        let mean_c = |day: i64| -> f64 {
            (0..24)
                .map(|hour| {
                    let at_ms = day * DAY + hour * HOUR;
                    scenario.room.temperature.without_drift_c(at_ms, first_day) + scenario.room_shift_k(at_ms)
                })
                .sum()
        };
        let all: Vec<(i64, f64)> = (0..scenario.duration_ms / DAY)
            .map(|day| (day, mean_c(day)))
            .collect();
        let extreme = |warmer: fn(f64, f64) -> bool| {
            all.iter()
                .copied()
                .reduce(|best, one| if warmer(one.1, best.1) { one } else { best })
        };
        days.extend(extreme(|a, b| a > b).map(|(day, _)| day));
        days.extend(extreme(|a, b| a < b).map(|(day, _)| day));
        days.sort_unstable();
        days.dedup();
    }
    days.iter()
        .flat_map(|day| (0..DAY / PHASE_MS).map(move |phase| day * DAY + phase * PHASE_MS))
        .collect()
}
