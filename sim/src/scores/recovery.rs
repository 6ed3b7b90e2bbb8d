//! How long a tank takes to be back after something ended.
//!
//! *Definition*: from the end of a happening (the last of those of one effect that overlap) of the scored time that leaves the water outside the band to the first moment it is inside again, h; the
//! longest of them, with the happening's name. Happenings that end while the water is inside need no recovery, and one that began with the water outside is not to
//! blame for it; what ends while a fault goes on is not
//! counted, since it is not to blame. What is not back at the end of the
//! run counts up to there and says so.
//! *Direction*: smaller is better. *Exact or sampled*: the temperature is a straight line within a step; the crossing is exact on it.
//! *Worked number*: 24 → 26 °C in 4 h from the end of an outage, band from 25 °C on: 2 h.

use std::collections::BTreeSet;

use super::Recovery;
use crate::time::{Millis, hours};

/// Keeps the longest recovery of one tank.
#[derive(Debug, Clone)]
pub(super) struct RecoveryTally {
    band_c: (f64, f64),
    /// Happenings, by their positions, that began with the water outside the band already.
    began_outside: BTreeSet<usize>,
    under_way: Option<(Millis, String)>,
    longest: Option<Recovery>,
}

impl RecoveryTally {
    pub(super) fn new(band_c: (f64, f64)) -> Self {
        Self {
            band_c,
            began_outside: BTreeSet::new(),
            under_way: None,
            longest: None,
        }
    }

    /// A happening began with the water at this temperature.
    pub(super) fn began(&mut self, happening: usize, temp_c: f64) {
        if self.holds(temp_c) {
            self.began_outside.remove(&happening);
        } else {
            self.began_outside.insert(happening);
        }
    }

    /// A happening ended with the water at this temperature. A recovery already under way goes on.
    pub(super) fn ended(&mut self, at_ms: Millis, happening: usize, name: &str, temp_c: f64) {
        if self.under_way.is_none() && !self.holds(temp_c) && !self.began_outside.contains(&happening) {
            self.under_way = Some((at_ms, name.to_owned()));
        }
    }

    fn holds(&self, temp_c: f64) -> bool {
        (self.band_c.0..=self.band_c.1).contains(&temp_c)
    }

    /// Whether the water is on its way back.
    #[inline]
    pub(super) fn is_under_way(&self) -> bool {
        self.under_way.is_some()
    }

    /// One step with the temperature a straight line.
    #[inline]
    pub(super) fn observe(&mut self, from_ms: Millis, from_c: f64, to_ms: Millis, to_c: f64) {
        if self.under_way.is_some() && self.holds(to_c) {
            let edge_c = if from_c < self.band_c.0 {
                self.band_c.0
            } else {
                self.band_c.1
            };
            let share = if from_c == to_c {
                0.0
            } else {
                ((edge_c - from_c) / (to_c - from_c)).clamp(0.0, 1.0)
            };
            let back_ms = from_ms + (share * (to_ms - from_ms) as f64) as Millis;
            self.note(back_ms, true);
            self.under_way = None;
        }
    }

    fn note(&mut self, back_ms: Millis, complete: bool) {
        if let Some((since_ms, after)) = &self.under_way {
            let length_h = hours(back_ms - since_ms);
            if self
                .longest
                .as_ref()
                .is_none_or(|longest| length_h > longest.length_h)
            {
                self.longest = Some(Recovery {
                    length_h,
                    after: after.clone(),
                    complete,
                });
            }
        }
    }

    pub(super) fn finish(&self, end_ms: Millis) -> Option<Recovery> {
        let mut at_end = self.clone();
        at_end.note(end_ms, false);
        at_end.longest
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::HOUR;

    #[test]
    fn a_straight_warm_up_takes_as_long_as_by_hand() {
        let mut tally = RecoveryTally::new((25.0, 26.0));
        tally.ended(HOUR, 0, "outage", 24.0);
        tally.observe(HOUR, 24.0, 5 * HOUR, 26.0);
        let recovery = tally.finish(10 * HOUR).unwrap();
        approx::assert_relative_eq!(recovery.length_h, 2.0, epsilon = 1e-9);
        assert!(recovery.complete);
        assert_eq!(recovery.after, "outage");
    }

    #[test]
    fn what_ends_inside_the_band_needs_no_recovery() {
        let mut tally = RecoveryTally::new((25.0, 26.0));
        tally.ended(HOUR, 0, "feeding pause", 25.4);
        tally.observe(HOUR, 25.4, 5 * HOUR, 24.0);
        assert_eq!(tally.finish(10 * HOUR), None);
    }

    #[test]
    fn a_pause_in_a_heat_wave_is_not_to_blame_for_it() {
        let mut tally = RecoveryTally::new((25.0, 26.0));
        tally.began(3, 27.0);
        tally.ended(HOUR, 3, "feeding pause", 27.2);
        tally.observe(HOUR, 27.2, 5 * HOUR, 27.5);
        assert_eq!(tally.finish(5 * HOUR), None);
    }

    #[test]
    fn what_is_not_back_at_the_end_says_so() {
        let mut tally = RecoveryTally::new((25.0, 26.0));
        tally.ended(HOUR, 0, "outage", 20.0);
        tally.observe(HOUR, 20.0, 5 * HOUR, 24.0);
        let recovery = tally.finish(5 * HOUR).unwrap();
        assert!(!recovery.complete);
        approx::assert_relative_eq!(recovery.length_h, 4.0, epsilon = 1e-9);
    }
}
