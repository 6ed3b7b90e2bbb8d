//! Scores of one tank's oxygen.
//!
//! *Definition*: see [`OxygenScores`]. *Exact or sampled*: the saturation is a straight line over each minute and between switching instants;
//! the time below half and its first instant are exact on that line, the lowest is taken at its ends.

use crate::time::{HOUR, Millis};

/// Saturation below which time is counted, unitless: half. A convention of this model, not a line that animals bear.
pub const HALF_SATURATION_FRAC: f64 = 0.5;

/// Oxygen of one tank over the scored time.
#[derive(Debug, Clone, PartialEq)]
pub struct OxygenScores {
    /// Lowest, mg/L.
    pub lowest_mg_per_l: f64,
    /// When, ms.
    pub lowest_at_ms: Millis,
    /// Lowest share of what the water would hold at its temperature, 1 = saturated.
    pub lowest_saturation_frac: f64,
    /// Time below half saturation, h.
    pub below_half_h: f64,
    /// When it first was below half saturation, ms; `None`: never.
    pub below_half_from_ms: Option<Millis>,
}

/// Keeps the scores of one tank.
#[derive(Debug, Clone)]
pub(crate) struct OxygenTally {
    lowest_mg_per_l: f64,
    lowest_at_ms: Millis,
    lowest_saturation_frac: f64,
    below_half_ms: f64,
    below_half_from_ms: Option<Millis>,
}

impl Default for OxygenTally {
    fn default() -> Self {
        Self {
            lowest_mg_per_l: f64::INFINITY,
            lowest_at_ms: 0,
            lowest_saturation_frac: f64::INFINITY,
            below_half_ms: 0.0,
            below_half_from_ms: None,
        }
    }
}

/// Oxygen at an instant.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OxygenAt {
    pub(crate) at_ms: Millis,
    pub(crate) mg_per_l: f64,
    pub(crate) saturation_frac: f64,
}

impl OxygenTally {
    /// A stretch that runs straight from one state to another.
    pub(crate) fn observe(&mut self, from: OxygenAt, to: OxygenAt) {
        for end in [from, to] {
            if end.mg_per_l < self.lowest_mg_per_l {
                self.lowest_mg_per_l = end.mg_per_l;
                self.lowest_at_ms = end.at_ms;
            }
            self.lowest_saturation_frac = self.lowest_saturation_frac.min(end.saturation_frac);
        }
        let (from_over, to_over) = (
            from.saturation_frac - HALF_SATURATION_FRAC,
            to.saturation_frac - HALF_SATURATION_FRAC,
        );
        if from_over >= 0.0 && to_over >= 0.0 {
            return;
        }
        let length_ms = (to.at_ms - from.at_ms) as f64;
        let (share_frac, after_ms) = if from_over < 0.0 && to_over < 0.0 {
            (1.0, 0.0)
        } else if from_over < 0.0 {
            (from_over / (from_over - to_over), 0.0)
        } else {
            let above_frac = from_over / (from_over - to_over);
            (1.0 - above_frac, above_frac * length_ms)
        };
        self.below_half_ms += share_frac * length_ms;
        if self.below_half_from_ms.is_none() {
            self.below_half_from_ms = Some(from.at_ms + after_ms.round() as Millis);
        }
    }

    pub(crate) fn finish(&self) -> OxygenScores {
        OxygenScores {
            lowest_mg_per_l: self.lowest_mg_per_l,
            lowest_at_ms: self.lowest_at_ms,
            lowest_saturation_frac: self.lowest_saturation_frac,
            below_half_h: self.below_half_ms / HOUR as f64,
            below_half_from_ms: self.below_half_from_ms,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn at(hour: i64, saturation_frac: f64) -> OxygenAt {
        OxygenAt {
            at_ms: hour * HOUR,
            mg_per_l: 8.0 * saturation_frac,
            saturation_frac,
        }
    }

    #[test]
    fn the_time_below_half_saturation_runs_from_crossing_to_crossing() {
        let mut tally = OxygenTally::default();
        for (from, to) in [((0, 0.7), (1, 0.3)), ((1, 0.3), (2, 0.3)), ((2, 0.3), (6, 0.7))] {
            tally.observe(at(from.0, from.1), at(to.0, to.1));
        }
        let scores = tally.finish();
        assert_relative_eq!(scores.below_half_h, 0.5 + 1.0 + 2.0, max_relative = 1e-12);
        assert_eq!(scores.below_half_from_ms, Some(HOUR / 2));
        assert_relative_eq!(scores.lowest_saturation_frac, 0.3);
        assert_relative_eq!(scores.lowest_mg_per_l, 2.4);
        assert_eq!(scores.lowest_at_ms, HOUR);
    }

    #[test]
    fn water_that_stays_above_half_spends_no_time_below() {
        let mut tally = OxygenTally::default();
        tally.observe(at(0, 0.9), at(9, 0.5));
        assert_eq!(tally.finish().below_half_h, 0.0);
        assert_eq!(tally.finish().below_half_from_ms, None);
    }
}
