//! From values to pixels, and where ticks stand.

use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};

/// Maps values linearly onto pixels.
#[derive(Debug, Clone, Copy)]
pub struct Scale {
    low: f64,
    high: f64,
    at_low: f64,
    at_high: f64,
}

impl Scale {
    /// `low` lies at pixel `at_low`, `high` at pixel `at_high`; `high` > `low`.
    pub fn new(low: f64, high: f64, at_low: f64, at_high: f64) -> Self {
        Self {
            low,
            high,
            at_low,
            at_high,
        }
    }

    /// The pixel of a value.
    pub fn at(&self, value: f64) -> f64 {
        self.at_low + (value - self.low) / (self.high - self.low) * (self.at_high - self.at_low)
    }

    /// The pixel of a value, not beyond the ends.
    pub fn clamped(&self, value: f64) -> f64 {
        self.at(value.clamp(self.low, self.high))
    }

    /// Whether the value lies on the scale.
    pub fn holds(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }

    /// Its lower and upper end.
    pub fn ends(&self) -> (f64, f64) {
        (self.low, self.high)
    }

    /// Multiples of a round step within the scale, about `wanted` of them.
    pub fn ticks(&self, wanted: usize) -> Vec<f64> {
        ticks(self.low, self.high, wanted)
    }
}

/// Multiples of 1, 2 or 5 times a power of ten within `low..=high`, about `wanted` of them.
pub fn ticks(low: f64, high: f64, wanted: usize) -> Vec<f64> {
    let raw = (high - low) / wanted.max(1) as f64;
    if !(raw.is_finite() && raw > 0.0) {
        return Vec::new();
    }
    let power = 10_f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|step| *step >= raw)
        .unwrap_or(raw);
    let first = (low / step).ceil();
    let count = ((high / step).floor() - first) as i64 + 1;
    (0..count.max(0))
        .map(|index| (first + index as f64) * step)
        .collect()
}

/// Instants to label on a time axis, with their labels.
pub fn time_ticks(from_ms: Millis, to_ms: Millis) -> Vec<(Millis, String)> {
    const STEPS: [Millis; 16] = [
        MINUTE,
        5 * MINUTE,
        15 * MINUTE,
        HOUR,
        2 * HOUR,
        3 * HOUR,
        6 * HOUR,
        12 * HOUR,
        DAY,
        2 * DAY,
        7 * DAY,
        14 * DAY,
        30 * DAY,
        60 * DAY,
        90 * DAY,
        365 * DAY,
    ];
    const MOST: Millis = 9;
    let span = to_ms - from_ms;
    let step = STEPS
        .into_iter()
        .find(|step| span / step <= MOST)
        .unwrap_or(span / MOST + 1);
    let first = from_ms.div_euclid(step) + i64::from(from_ms.rem_euclid(step) != 0);
    let mut ticks = Vec::new();
    let mut index = first;
    while index * step <= to_ms {
        let at_ms = index * step;
        ticks.push((at_ms, time_label(at_ms, step)));
        index += 1;
    }
    ticks
}

/// At most so many of these instants: days alone, where they tell more than a choice of hours.
pub fn few_time_ticks(from_ms: Millis, to_ms: Millis, most: usize) -> Vec<(Millis, String)> {
    let mut ticks = time_ticks(from_ms, to_ms);
    let days = ticks.iter().filter(|(at_ms, _)| at_ms % DAY == 0).count();
    if ticks.len() > most && days > 1 {
        ticks.retain(|(at_ms, _)| at_ms % DAY == 0);
    }
    let every = ticks.len().div_ceil(most.max(1)).max(1);
    ticks.into_iter().step_by(every).collect()
}

/// "day 3" at the start of a day, else the time of day.
fn time_label(at_ms: Millis, step: Millis) -> String {
    let in_day = at_ms.rem_euclid(DAY);
    if step >= DAY || in_day == 0 {
        return format!("day {}", at_ms.div_euclid(DAY) + 1);
    }
    format!("{:02}:{:02}", in_day / HOUR, in_day % HOUR / MINUTE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_inside() {
        assert_eq!(
            ticks(17.3, 33.1, 8),
            [18.0, 20.0, 22.0, 24.0, 26.0, 28.0, 30.0, 32.0]
        );
        assert_eq!(ticks(-0.05, 0.1, 4), [-0.05, 0.0, 0.05, 0.1]);
        assert!(ticks(1.0, 1.0, 5).is_empty());
    }

    #[test]
    fn a_week_is_told_in_days_and_a_day_in_hours() {
        let week: Vec<String> = time_ticks(0, 7 * DAY)
            .into_iter()
            .map(|(_, label)| label)
            .collect();
        assert_eq!(
            week,
            [
                "day 1", "day 2", "day 3", "day 4", "day 5", "day 6", "day 7", "day 8"
            ]
        );
        let day: Vec<String> = time_ticks(-6 * HOUR, DAY)
            .into_iter()
            .map(|(_, label)| label)
            .collect();
        assert_eq!(day, ["18:00", "day 1", "06:00", "12:00", "18:00", "day 2"]);
        assert!(time_ticks(0, 365 * DAY).len() <= 10);
    }
}
