//! The time base: whole milliseconds, 0 = 00:00 of day 1 = start of scoring.
//!
//! Warm-up runs at negative times. A run never reads a clock; the calendar, where one is wanted,
//! is an optional start date of the scenario.

/// A point in time or a length of time, ms. As a point: 0 = 00:00 of day 1.
pub type Millis = i64;

/// One second in ms. Exact.
pub const SECOND: Millis = 1_000;
/// One minute in ms. Exact.
pub const MINUTE: Millis = 60 * SECOND;
/// One hour in ms. Exact.
pub const HOUR: Millis = 60 * MINUTE;
/// One day in ms. Exact: no leap seconds.
pub const DAY: Millis = 24 * HOUR;

/// Seconds in `length`, s.
#[must_use]
pub fn seconds(length: Millis) -> f64 {
    length as f64 / SECOND as f64
}

/// Hours in `length`, h.
#[must_use]
pub fn hours(length: Millis) -> f64 {
    length as f64 / HOUR as f64
}

/// Days in `length`, d.
#[must_use]
pub fn days(length: Millis) -> f64 {
    length as f64 / DAY as f64
}

/// The time of day at `at`, ms after midnight, also for negative times.
#[must_use]
pub fn time_of_day(at: Millis) -> Millis {
    at.rem_euclid(DAY)
}

/// The day number at `at`: 0 for day 1, negative in the warm-up.
#[must_use]
pub fn day_index(at: Millis) -> i64 {
    at.div_euclid(DAY)
}
