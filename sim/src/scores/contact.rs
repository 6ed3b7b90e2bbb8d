//! Scores of one contact.
//!
//! *Definition*: see the fields of [`ContactScores`]. *Direction*: fewer closings are better. *Exact or sampled*: exact, to the millisecond.

use super::ContactScores;
use crate::time::{Millis, days};

/// Days in a year, for lives and yearly figures, d. The Julian year, by convention.
pub const DAYS_PER_YEAR_D: f64 = 365.25;

/// Keeps the scores of one contact.
#[derive(Debug, Clone)]
pub(super) struct ContactTally {
    contact: String,
    wears: bool,
    life_closings: Option<f64>,
    closed: bool,
    /// When the present state began; `None`: before time zero.
    since_ms: Option<Millis>,
    counted_from_ms: Millis,
    closings: u64,
    closed_ms: Millis,
    shortest_on_ms: Option<Millis>,
    shortest_off_ms: Option<Millis>,
    trials_ms: Vec<Millis>,
    trial_openings_ms: Vec<Option<Millis>>,
    ever_closed: bool,
}

impl ContactTally {
    pub(super) fn new(contact: &str, wears: bool, life_closings: Option<f64>, trials_ms: &[Millis]) -> Self {
        Self {
            contact: contact.to_owned(),
            wears,
            life_closings,
            closed: false,
            since_ms: None,
            counted_from_ms: 0,
            closings: 0,
            closed_ms: 0,
            shortest_on_ms: None,
            shortest_off_ms: None,
            trial_openings_ms: vec![None; trials_ms.len()],
            trials_ms: trials_ms.to_vec(),
            ever_closed: false,
        }
    }

    /// The contact is closed (or not) from `at_ms` on.
    pub(super) fn set(&mut self, at_ms: Millis, closed: bool) {
        if at_ms < 0 {
            self.closed = closed;
            return;
        }
        self.ever_closed |= self.closed || closed;
        if closed == self.closed {
            return;
        }
        let lasted_ms = self.since_ms.map(|since_ms| at_ms - since_ms);
        let shortest = if self.closed {
            &mut self.shortest_on_ms
        } else {
            &mut self.shortest_off_ms
        };
        if let Some(lasted_ms) = lasted_ms {
            *shortest = Some(shortest.map_or(lasted_ms, |so_far| so_far.min(lasted_ms)));
        }
        if self.closed {
            self.closed_ms += at_ms - self.counted_from_ms;
            for (trial_ms, opening_ms) in self.trials_ms.iter().zip(&mut self.trial_openings_ms) {
                if at_ms >= *trial_ms {
                    opening_ms.get_or_insert(at_ms);
                }
            }
        } else {
            self.closings += 1;
        }
        self.closed = closed;
        self.since_ms = Some(at_ms);
        self.counted_from_ms = at_ms;
    }

    pub(super) fn finish(&self, end_ms: Millis) -> ContactScores {
        let closed_ms = self.closed_ms
            + if self.closed {
                end_ms - self.counted_from_ms
            } else {
                0
            };
        let scored_ms = end_ms.max(1);
        let closings_per_day = self.closings as f64 / days(scored_ms);
        ContactScores {
            contact: self.contact.clone(),
            closings: self.closings,
            closings_per_day,
            shortest_on_ms: self.shortest_on_ms,
            shortest_off_ms: self.shortest_off_ms,
            closed_frac: closed_ms as f64 / scored_ms as f64,
            wears: self.wears,
            life_years: self
                .life_closings
                .filter(|_| self.closings > 0)
                .map(|rated| rated / (closings_per_day * DAYS_PER_YEAR_D)),
            trial_openings_ms: self.trial_openings_ms.clone(),
            ever_closed: self.ever_closed || self.closed,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::{DAY, HOUR, MINUTE};

    #[test]
    fn ten_closings_a_day_wear_out_a_hundred_thousand_in_27_years() {
        let mut tally = ContactTally::new("relay", true, Some(100_000.0), &[0, 3 * HOUR]);
        for i in 0..10 {
            tally.set(i * 2 * HOUR, true);
            tally.set(i * 2 * HOUR + 30 * MINUTE, false);
        }
        let scores = tally.finish(DAY);
        assert_eq!(scores.closings, 10);
        approx::assert_relative_eq!(scores.life_years.unwrap(), 100_000.0 / 3652.5, epsilon = 1e-9);
        assert_eq!(scores.shortest_on_ms, Some(30 * MINUTE));
        assert_eq!(scores.shortest_off_ms, Some(90 * MINUTE));
        approx::assert_relative_eq!(scores.closed_frac, 5.0 / 24.0, epsilon = 1e-12);
        assert_eq!(scores.trial_openings_ms[1], Some(4 * HOUR + 30 * MINUTE));
    }

    #[test]
    fn closings_of_the_warm_up_do_not_count() {
        let mut tally = ContactTally::new("relay", true, Some(100_000.0), &[0, 3 * HOUR]);
        tally.set(-HOUR, true);
        tally.set(0, true);
        tally.set(HOUR, false);
        let scores = tally.finish(DAY);
        assert_eq!(scores.closings, 0);
        assert_eq!(scores.life_years, None);
        assert_eq!(scores.shortest_on_ms, None);
        assert!(scores.ever_closed);
        approx::assert_relative_eq!(scores.closed_frac, 1.0 / 24.0, epsilon = 1e-12);
    }
}
