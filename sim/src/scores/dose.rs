//! How much of what livestock bears is used up.
//!
//! *Definition*: ∫ dt / t_allowed(T). ln t_allowed is a straight line in T between the rows of the danger table, goes on with the last slope
//! beyond the severest row, and the dose does not grow short of the mildest row. A row without a time sets the dose to 1 the moment it is
//! reached and takes no part in the interpolation. With a single timed row its time holds beyond it too.
//! *Direction*: smaller is better; 1 = used up.
//! *Exact or sampled*: the temperature is a straight line within a step; the rate is integrated by the trapezium rule from the crossing on.
//! *Worked number*: 28.5 °C for 3 d and 30 °C for 12 h: at 29.25 °C √(72 h · 12 h) = 29.4 h are borne.

use super::Dose;
use crate::scenario::DangerLine;
use crate::time::{HOUR, Millis, hours};

/// Which side of the target.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Hot,
    Cold,
}

/// Keeps one dose of one tank. Works on `beyond` = temperature (hot) or its negative (cold), so that larger is always worse.
#[derive(Debug, Clone)]
pub(super) struct DoseTally {
    side: Side,
    /// Timed rows, mildest first: (beyond, ln of hours).
    timed: Vec<(f64, f64)>,
    lines: Vec<f64>,
    at_once: Vec<bool>,
    mildest: f64,
    used: f64,
    used_up_ms: Option<Millis>,
    reached_ms: Vec<Option<Millis>>,
    beyond_k_h: f64,
}

impl DoseTally {
    pub(super) fn new(side: Side, lines: &[DangerLine]) -> Self {
        let sign = if side == Side::Hot { 1.0 } else { -1.0 };
        Self {
            side,
            timed: lines
                .iter()
                .filter_map(|line| {
                    line.allowed_ms
                        .map(|ms| (sign * line.temp_c, libm::log(hours(ms))))
                })
                .collect(),
            lines: lines.iter().map(|line| sign * line.temp_c).collect(),
            at_once: lines.iter().map(|line| line.allowed_ms.is_none()).collect(),
            mildest: lines.first().map_or(f64::INFINITY, |line| sign * line.temp_c),
            used: 0.0,
            used_up_ms: None,
            reached_ms: vec![None; lines.len()],
            beyond_k_h: 0.0,
        }
    }

    /// One step with the temperature a straight line.
    #[inline]
    pub(super) fn observe(&mut self, from_ms: Millis, from_c: f64, to_ms: Millis, to_c: f64) {
        let (from, to) = match self.side {
            Side::Hot => (from_c, to_c),
            Side::Cold => (-from_c, -to_c),
        };
        if from >= self.mildest || to >= self.mildest {
            self.observe_beyond(from_ms, from, to_ms, to);
        }
    }

    fn observe_beyond(&mut self, from_ms: Millis, from: f64, to_ms: Millis, to: f64) {
        let length_ms = (to_ms - from_ms) as f64;
        let share_at = |level: f64| ((level - from) / (to - from)).clamp(0.0, 1.0);
        for (index, level) in self.lines.iter().enumerate() {
            if self.reached_ms[index].is_none() && (from >= *level || to >= *level) {
                let share = if from >= *level { 0.0 } else { share_at(*level) };
                let at_ms = from_ms + (share * length_ms) as Millis;
                self.reached_ms[index] = Some(at_ms);
                if self.at_once[index] {
                    self.used = self.used.max(1.0);
                    self.used_up_ms.get_or_insert(at_ms);
                }
            }
        }
        // The part of the step beyond the mildest line.
        let (start, end) = (from.max(self.mildest), to.max(self.mildest));
        let (first, last) = match (from >= self.mildest, to >= self.mildest) {
            (true, true) => (0.0, 1.0),
            (false, _) => (share_at(self.mildest), 1.0),
            (true, false) => (0.0, share_at(self.mildest)),
        };
        let part_h = (last - first) * length_ms / HOUR as f64;
        self.beyond_k_h += 0.5 * (start + end - 2.0 * self.mildest) * part_h;
        let grown = 0.5 * (self.rate_per_h(start) + self.rate_per_h(end)) * part_h;
        if self.used_up_ms.is_none() && self.used + grown >= 1.0 {
            let share = first + (last - first) * ((1.0 - self.used) / grown).clamp(0.0, 1.0);
            self.used_up_ms = Some(from_ms + (share * length_ms) as Millis);
        }
        self.used += grown;
    }

    /// 1 / t_allowed, per hour, at or beyond the mildest line.
    fn rate_per_h(&self, beyond: f64) -> f64 {
        let Some(&(first, first_ln_h)) = self.timed.first() else {
            return 0.0;
        };
        if beyond < first {
            return 0.0;
        }
        let rows = match self.timed.len() {
            1 => return libm::exp(-first_ln_h),
            count => {
                let after = self
                    .timed
                    .partition_point(|(level, _)| *level <= beyond)
                    .clamp(1, count - 1);
                (self.timed[after - 1], self.timed[after])
            }
        };
        let ((x0, y0), (x1, y1)) = rows;
        libm::exp(-(y0 + (y1 - y0) * (beyond - x0) / (x1 - x0)))
    }

    /// The mildest line, °C; beyond everything where there is none.
    pub(super) fn mildest_c(&self) -> f64 {
        match self.side {
            Side::Hot => self.mildest,
            Side::Cold => -self.mildest,
        }
    }

    /// `extreme_c`: the hottest or coldest that was seen.
    pub(super) fn finish(&self, extreme_c: f64) -> Dose {
        let extreme = match self.side {
            Side::Hot => extreme_c,
            Side::Cold => -extreme_c,
        };
        let known = self.mildest.is_finite() && extreme.is_finite();
        Dose {
            used: self.used,
            used_up_ms: self.used_up_ms,
            margin_k: known.then_some(self.mildest - extreme),
            reached_ms: self.reached_ms.clone(),
            beyond_k_h: self.beyond_k_h,
        }
    }

    pub(super) fn used_up_ms(&self) -> Option<Millis> {
        self.used_up_ms
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::DAY;

    fn reef() -> Vec<DangerLine> {
        vec![
            DangerLine {
                temp_c: 28.5,
                allowed_ms: Some(3 * DAY),
            },
            DangerLine {
                temp_c: 30.0,
                allowed_ms: Some(12 * HOUR),
            },
            DangerLine {
                temp_c: 32.0,
                allowed_ms: Some(HOUR),
            },
        ]
    }

    #[test]
    fn half_the_allowed_time_at_a_line_uses_half_the_dose() {
        let mut tally = DoseTally::new(Side::Hot, &reef());
        tally.observe(0, 30.0, 6 * HOUR, 30.0);
        approx::assert_relative_eq!(tally.finish(30.0).used, 0.5, max_relative = 1e-12);
    }

    #[test]
    fn between_two_lines_the_allowed_time_is_their_geometric_mean() {
        let mut tally = DoseTally::new(Side::Hot, &reef());
        tally.observe(0, 29.25, HOUR, 29.25);
        approx::assert_relative_eq!(
            tally.finish(29.25).used,
            1.0 / (72.0_f64 * 12.0).sqrt(),
            max_relative = 1e-12
        );
    }

    #[test]
    fn beyond_the_severest_line_the_last_slope_goes_on() {
        let mut tally = DoseTally::new(Side::Hot, &reef());
        // 2 K take the time from 12 h to 1 h, so 2 K more take it to 5 min.
        tally.observe(0, 34.0, 5 * crate::time::MINUTE, 34.0);
        approx::assert_relative_eq!(tally.finish(34.0).used, 1.0, max_relative = 1e-12);
    }

    #[test]
    fn short_of_the_mildest_line_nothing_is_used() {
        let mut tally = DoseTally::new(Side::Hot, &reef());
        tally.observe(0, 28.4, 30 * DAY, 28.4);
        let dose = tally.finish(28.4);
        assert_eq!(dose.used, 0.0);
        approx::assert_relative_eq!(dose.margin_k.unwrap(), 0.1, epsilon = 1e-12);
    }

    #[test]
    fn the_moment_the_dose_is_used_up_lies_within_the_step() {
        let mut tally = DoseTally::new(Side::Hot, &reef());
        tally.observe(0, 30.0, 24 * HOUR, 30.0);
        assert_eq!(tally.finish(30.0).used_up_ms, Some(12 * HOUR));
    }

    #[test]
    fn a_line_without_a_time_is_fatal_when_reached_and_not_before() {
        let lines = [
            DangerLine {
                temp_c: 20.0,
                allowed_ms: Some(DAY),
            },
            DangerLine {
                temp_c: 15.0,
                allowed_ms: None,
            },
        ];
        let mut tally = DoseTally::new(Side::Cold, &lines);
        tally.observe(0, 20.0, HOUR, 16.0);
        // The single timed row holds beyond itself: an hour of a day.
        approx::assert_relative_eq!(tally.finish(16.0).used, 1.0 / 24.0, max_relative = 1e-12);
        tally.observe(HOUR, 16.0, 2 * HOUR, 14.0);
        let dose = tally.finish(14.0);
        assert_eq!(dose.used_up_ms, Some(HOUR + HOUR / 2));
        assert!(dose.used >= 1.0);
    }

    #[test]
    fn a_crossing_within_a_step_counts_only_the_part_beyond() {
        let mut tally = DoseTally::new(Side::Hot, &reef());
        tally.observe(0, 27.5, HOUR, 29.5);
        let dose = tally.finish(29.5);
        assert_eq!(dose.reached_ms[0], Some(HOUR / 2));
        approx::assert_relative_eq!(dose.beyond_k_h, 0.25, max_relative = 1e-12);
    }
}
