//! Scores of one tank's temperature.
//!
//! *Definition*: see the fields of [`TankScores`]. *Exact or sampled*: the temperature is taken as a straight line between steps (ticks and
//! switching instants; whole minutes where no tick between can be an extreme or beyond anything); times and integrals beyond the band are exact on that line, mean and rms by the trapezium and Simpson rules (exact
//! on a line), extremes at the steps.

use super::change::ChangeTally;
use super::dose::{DoseTally, Side};
use super::recovery::RecoveryTally;
use super::{OxygenScores, TankScores};
use crate::run::TankGlance;
use crate::scenario::{Livestock, Water};
use crate::time::{DAY, HOUR, MINUTE, Millis};

/// Keeps the scores of one tank.
#[derive(Debug, Clone)]
pub(super) struct TankTally {
    tank: String,
    water_m3: f64,
    target_c: f64,
    low_c: f64,
    high_c: f64,
    /// Integrals over the scored time: of 1, twice the deviation, three times its square, with time in ms. Factors and hours wait for the
    /// end, since every step passes here.
    scored_ms: f64,
    twice_k_ms: f64,
    thrice_k2_ms: f64,
    highest: (f64, Millis),
    lowest: (f64, Millis),
    end_c: f64,
    above: Beyond,
    below: Beyond,
    hour: ChangeTally,
    day: ChangeTally,
    /// The next whole minute to be sampled.
    next_minute_ms: Millis,
    hot: DoseTally,
    cold: DoseTally,
    /// Inside the band and short of every danger line, °C, both outside: nothing to count there, and nearly every step is.
    calm_c: (f64, f64),
    recovery: RecoveryTally,
}

/// Time and integral beyond a limit.
#[derive(Debug, Clone, Copy, Default)]
struct Beyond {
    time_ms: f64,
    integral_k_ms: f64,
}

impl Beyond {
    /// A step whose excess over the limit runs straight from `from_k` to `to_k`.
    #[inline]
    fn observe(&mut self, from_k: f64, to_k: f64, length_ms: f64) {
        if from_k <= 0.0 && to_k <= 0.0 {
            return;
        }
        let share = if from_k >= 0.0 && to_k >= 0.0 {
            1.0
        } else {
            from_k.max(to_k) / (from_k - to_k).abs()
        };
        self.time_ms += share * length_ms;
        self.integral_k_ms += 0.5 * (from_k.max(0.0) + to_k.max(0.0)) * share * length_ms;
    }
}

impl TankTally {
    pub(super) fn new(tank: &str, water_m3: f64, water: &Water, livestock: &Livestock) -> Self {
        let hot = DoseTally::new(Side::Hot, &livestock.danger_hot);
        let cold = DoseTally::new(Side::Cold, &livestock.danger_cold);
        Self {
            tank: tank.to_owned(),
            water_m3,
            target_c: water.target_c,
            low_c: water.band_c.0,
            high_c: water.band_c.1,
            scored_ms: 0.0,
            twice_k_ms: 0.0,
            thrice_k2_ms: 0.0,
            highest: (f64::NEG_INFINITY, 0),
            lowest: (f64::INFINITY, 0),
            end_c: water.target_c,
            above: Beyond::default(),
            below: Beyond::default(),
            hour: ChangeTally::over(HOUR),
            day: ChangeTally::over(DAY),
            next_minute_ms: 0,
            calm_c: (
                water.band_c.0.max(cold.mildest_c()),
                water.band_c.1.min(hot.mildest_c()),
            ),
            hot,
            cold,
            recovery: RecoveryTally::new(water.band_c),
        }
    }

    /// Whether nothing but sums of temperatures is to be counted on the way from one temperature to another that no tick leaves the straight line
    /// of by more than `off_k`: neither a new extreme nor anything beyond the band or a danger line, and no recovery under way.
    #[inline]
    pub(super) fn is_calm(&self, from_c: f64, to_c: f64, off_k: f64) -> bool {
        let (lowest_c, highest_c) = (from_c.min(to_c) - off_k, from_c.max(to_c) + off_k);
        self.calm_c.0.max(self.lowest.0) < lowest_c
            && highest_c < self.calm_c.1.min(self.highest.0)
            && !self.recovery.is_under_way()
    }

    /// One step; steps follow each other without a gap.
    #[inline]
    pub(super) fn observe(&mut self, from_ms: Millis, from_c: f64, to_ms: Millis, to_c: f64) {
        if self.scored_ms == 0.0 {
            self.see(from_ms, from_c);
            self.next_minute_ms = (from_ms + MINUTE - 1).div_euclid(MINUTE) * MINUTE;
        }
        self.see(to_ms, to_c);
        let length_ms = (to_ms - from_ms) as f64;
        let (from_k, to_k) = (from_c - self.target_c, to_c - self.target_c);
        self.scored_ms += length_ms;
        self.twice_k_ms += (from_k + to_k) * length_ms;
        self.thrice_k2_ms += (from_k * from_k + from_k * to_k + to_k * to_k) * length_ms;
        let calm = |temp_c: f64| self.calm_c.0 < temp_c && temp_c < self.calm_c.1;
        if !(calm(from_c) && calm(to_c)) {
            self.above
                .observe(from_c - self.high_c, to_c - self.high_c, length_ms);
            self.below
                .observe(self.low_c - from_c, self.low_c - to_c, length_ms);
            self.hot.observe(from_ms, from_c, to_ms, to_c);
            self.cold.observe(from_ms, from_c, to_ms, to_c);
        }
        self.recovery.observe(from_ms, from_c, to_ms, to_c);
        while self.next_minute_ms < to_ms {
            let share = (self.next_minute_ms - from_ms) as f64 / length_ms;
            let temp_c = from_c + (to_c - from_c) * share;
            self.hour.sample(temp_c);
            self.day.sample(temp_c);
            self.next_minute_ms += MINUTE;
        }
    }

    #[inline]
    fn see(&mut self, at_ms: Millis, temp_c: f64) {
        if temp_c > self.highest.0 {
            self.highest = (temp_c, at_ms);
        }
        if temp_c < self.lowest.0 {
            self.lowest = (temp_c, at_ms);
        }
        self.end_c = temp_c;
    }

    /// A look at the tank with its water at this temperature.
    pub(super) fn glance(&self, water_c: f64) -> TankGlance {
        TankGlance {
            water_c,
            hot_used_up: self.hot.used_up_ms().is_some(),
            cold_used_up: self.cold.used_up_ms().is_some(),
        }
    }

    /// When either dose was used up, ms.
    pub(super) fn used_up_ms(&self) -> Option<Millis> {
        [self.hot.used_up_ms(), self.cold.used_up_ms()]
            .into_iter()
            .flatten()
            .min()
    }

    /// A happening began now with the water at this temperature.
    pub(super) fn began(&mut self, happening: usize, temp_c: f64) {
        self.recovery.began(happening, temp_c);
    }

    /// A happening ended now with the water at this temperature.
    pub(super) fn ended(&mut self, at_ms: Millis, happening: usize, name: &str, temp_c: f64) {
        self.recovery.ended(at_ms, happening, name, temp_c);
    }

    pub(super) fn finish(&self, end_ms: Millis, oxygen: Option<OxygenScores>) -> TankScores {
        let scored_ms = self.scored_ms.max(f64::MIN_POSITIVE);
        let in_hours = |integral_ms: f64| integral_ms / HOUR as f64;
        TankScores {
            tank: self.tank.clone(),
            water_m3: self.water_m3,
            mean_c: self.target_c + self.twice_k_ms / (2.0 * scored_ms),
            highest_c: self.highest.0,
            highest_at_ms: self.highest.1,
            lowest_c: self.lowest.0,
            lowest_at_ms: self.lowest.1,
            end_c: self.end_c,
            overshoot_k: (self.highest.0 - self.target_c).max(0.0),
            undershoot_k: (self.target_c - self.lowest.0).max(0.0),
            above_band_h: in_hours(self.above.time_ms),
            below_band_h: in_hours(self.below.time_ms),
            above_band_k_h: in_hours(self.above.integral_k_ms),
            below_band_k_h: in_hours(self.below.integral_k_ms),
            rms_deviation_k: (self.thrice_k2_ms / (3.0 * scored_ms)).sqrt(),
            fastest_per_hour_k: self.hour.largest_k(),
            fastest_per_day_k: self.day.largest_k(),
            hot: self.hot.finish(self.highest.0),
            cold: self.cold.finish(self.lowest.0),
            oxygen,
            recovery: self.recovery.finish(end_ms),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::Evaporation;

    fn tally() -> TankTally {
        let water = Water {
            salinity_g_per_kg: 35.0,
            target_c: 25.0,
            band_c: (24.5, 25.5),
            salinity_range_g_per_kg: None,
            pressure_pa: 101_325.0,
            evaporation: Evaporation::Shah,
        };
        let livestock = Livestock {
            kind: String::new(),
            source: String::new(),
            used_to_c: 25.0,
            danger_hot: Vec::new(),
            danger_cold: Vec::new(),
            fastest_per_hour_k: None,
            fastest_per_day_k: None,
            oxygen: None,
        };
        TankTally::new("display", 0.3, &water, &livestock)
    }

    #[test]
    fn a_straight_rise_through_the_band_scores_as_by_hand() {
        let mut tally = tally();
        // 24 → 26 °C in 4 h: the first hour is below the band, the last above it.
        tally.observe(0, 24.0, 4 * HOUR, 26.0);
        let scores = tally.finish(4 * HOUR, None);
        approx::assert_relative_eq!(scores.below_band_h, 1.0, epsilon = 1e-12);
        approx::assert_relative_eq!(scores.above_band_h, 1.0, epsilon = 1e-12);
        approx::assert_relative_eq!(scores.above_band_k_h, 0.25, epsilon = 1e-12);
        approx::assert_relative_eq!(scores.mean_c, 25.0, epsilon = 1e-12);
        approx::assert_relative_eq!(scores.rms_deviation_k, (1.0_f64 / 3.0).sqrt(), epsilon = 1e-12);
        approx::assert_relative_eq!(scores.fastest_per_hour_k.unwrap(), 0.5, epsilon = 1e-12);
        assert_eq!(scores.overshoot_k, 1.0);
        assert_eq!(scores.undershoot_k, 1.0);
        assert_eq!(scores.fastest_per_day_k, None);
    }

    #[test]
    fn the_same_course_in_many_steps_scores_the_same() {
        let mut once = tally();
        once.observe(0, 24.0, 4 * HOUR, 26.0);
        let mut often = tally();
        for i in 0..480_i64 {
            let at = |k: i64| 24.0 + 2.0 * k as f64 / 480.0;
            often.observe(i * 30_000, at(i), (i + 1) * 30_000, at(i + 1));
        }
        let (a, b) = (once.finish(4 * HOUR, None), often.finish(4 * HOUR, None));
        approx::assert_relative_eq!(a.above_band_k_h, b.above_band_k_h, epsilon = 1e-9);
        approx::assert_relative_eq!(a.rms_deviation_k, b.rms_deviation_k, epsilon = 1e-9);
        approx::assert_relative_eq!(
            a.fastest_per_hour_k.unwrap(),
            b.fastest_per_hour_k.unwrap(),
            epsilon = 1e-9
        );
    }
}
