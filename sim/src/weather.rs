//! The room's air over time.
//!
//! # Equation
//! ```text
//! T_a(t) = course(t) + ½ swing cos(2π (t − warmest)/24 h) + ½ season cos(2π (day − warmest day)/365) + drift(t) + shifts
//! drift: X(k+1) = a X(k) + σ √(1 − a²) Z(k),  a = e^(−60 s/τ),  X(first) = σ Z: Ornstein–Uhlenbeck, exact at whole minutes
//! ```
//! Worked out at knots, straight lines between: every 15 min, or more often where a course has points between those or the drift is
//! quick. Vapour pressure from the stated humidity, at most saturated.
//!
//! # Units
//! °C, K, Pa, ms.
//!
//! # Source
//! Exact discretisation of the Ornstein–Uhlenbeck process: D. T. Gillespie, Physical Review E 54 (1996) 2084 (from memory).
//!
//! # Valid for
//! Any time, also past the end of the scenario: daily and seasonal parts go on, the course stays at its last point.
//!
//! # Left out
//! Stratified room air; a change of humidity by anything but temperature.
//!
//! # Checked by
//! The tests below; `tests/determinism/noise.rs`.

use crate::network::AirCourse;
use crate::noise::Stream;
use crate::physics::moist_air::{Air, dew_point_c};
use crate::physics::vapour::saturation_pressure_pa;
use crate::scenario::{Humidity, RoomTemperature, Scenario, SunShine};
use crate::time::{DAY, MINUTE, Millis, days, seconds, time_of_day};

/// Days of the year that the seasonal swing turns in, d. A convention: a leap year's last day begins the next turn.
const YEAR_D: f64 = 365.0;

/// Beyond the rounding of a dew point, K. A choice: wide enough, and too little for any result.
const DEW_POINT_MARGIN_K: f64 = 0.001;

/// Knots kept, so that looks ahead and back within a refresh interval cost nothing. A choice: a bound on
/// `refresh_ms`.
const KEPT: usize = 64;

/// Times between knots to choose from, ms: the first that fits. A choice: a day's swing of 6 K bends by 1.6 mK in a quarter of an hour. Valid for
/// courses of hours; all are whole minutes and divide an hour.
const KNOTS_MS: [Millis; 3] = [15 * MINUTE, 5 * MINUTE, MINUTE];

/// How many knots the drift's own time must have, unitless. A choice: a line between two then leaves out 3 % of its variance in the middle. Valid
/// for drifts of hours; a quicker one has a knot every minute.
const KNOTS_A_DRIFT: Millis = 16;

/// One knot's air.
#[derive(Debug, Clone, Copy)]
struct Kept {
    at_ms: Millis,
    without_shift_c: f64,
    air: Air,
}

/// The air of a scenario's room in one run.
#[derive(Debug, Clone)]
pub struct Weather {
    temperature: RoomTemperature,
    humidity: Humidity,
    pressure_pa: f64,
    humidity_course: Vec<(Millis, f64)>,
    sun_course: Vec<(Millis, f64)>,
    /// Vapour pressure of a constant humidity ratio, Pa.
    constant_vapour_pa: f64,
    /// Above this, °C, air of that vapour pressure is surely not saturated.
    not_saturated_above_c: f64,
    day_of_year: Option<f64>,
    drift: Stream,
    drift_keep: f64,
    drift_kick_k: f64,
    /// The drift at the minute before `next_minute`, K.
    drift_k: f64,
    first_minute: i64,
    /// The next minute to be made.
    next_minute: i64,
    shift_k: f64,
    knot_ms: Millis,
    kept: [Option<Kept>; KEPT],
}

impl Weather {
    /// The weather of a scenario for a seed and replicate.
    #[must_use]
    pub fn new(scenario: &Scenario, seed: u64, replicate: u64) -> Self {
        let temperature = scenario.room.temperature.clone();
        let pressure_pa = scenario.water.pressure_pa;
        let mean_c = temperature.mean_of_course_c(scenario.duration_ms);
        let constant_vapour_pa = scenario.room.humidity.relative_frac() * saturation_pressure_pa(mean_c);
        // A dew point does not depend on the air's own temperature, which only bounds the search for it.
        let moist = Air {
            temp_c: 100.0,
            vapour_pressure_pa: constant_vapour_pa,
            pressure_pa,
        };
        let knot_ms = knot_ms(scenario);
        let first_minute = (-scenario.warm_up_ms).div_euclid(knot_ms) * knot_ms / MINUTE;
        let drift = Stream::new(seed, replicate, "room", "drift");
        let drift_keep = if temperature.drift_k > 0.0 {
            libm::exp(-(MINUTE as f64) / temperature.drift_time_ms.max(1) as f64)
        } else {
            0.0
        };
        Self {
            day_of_year: scenario.start_date.map(|date| f64::from(date.day_of_year())),
            drift_kick_k: temperature.drift_k * (1.0 - drift_keep * drift_keep).sqrt(),
            drift_k: 0.0,
            first_minute,
            next_minute: first_minute,
            temperature,
            humidity: scenario.room.humidity,
            pressure_pa,
            humidity_course: scenario.room.humidity_course.clone(),
            sun_course: scenario.room.sun_course.clone(),
            constant_vapour_pa,
            not_saturated_above_c: dew_point_c(moist) + DEW_POINT_MARGIN_K,
            drift,
            drift_keep,
            shift_k: 0.0,
            knot_ms,
            kept: [None; KEPT],
        }
    }

    /// A room of constant temperature and relative humidity.
    #[must_use]
    pub fn constant(scenario: &Scenario, temp_c: f64, relative_humidity_frac: f64) -> Self {
        let mut still = scenario.clone();
        still.room.temperature = RoomTemperature::constant(temp_c);
        still.room.humidity = Humidity::ConstantRatio {
            relative_frac: relative_humidity_frac,
        };
        still.room.humidity_course.clear();
        Self::new(&still, 0, 0)
    }

    /// Makes the room warmer than its course by this from now on, K, in place of an earlier shift; true if that is a change.
    pub fn set_shift(&mut self, shift_k: f64) -> bool {
        if shift_k == self.shift_k {
            return false;
        }
        self.shift_k = shift_k;
        for slot in 0..KEPT {
            if let Some(kept) = self.kept[slot] {
                self.kept[slot] = Some(Kept {
                    air: self.air_of(kept.at_ms, kept.without_shift_c),
                    ..kept
                });
            }
        }
        true
    }

    /// Heat of the sun at an instant, W.
    #[must_use]
    pub fn sun_w(&self, shine: SunShine, at_ms: Millis) -> f64 {
        match shine {
            SunShine::Daily { peak_w, hours } if hours.holds(at_ms) => {
                let since_ms = time_of_day(at_ms - hours.on_ms);
                peak_w * libm::sin(std::f64::consts::PI * since_ms as f64 / hours.length_ms() as f64)
            }
            SunShine::Daily { .. } => 0.0,
            SunShine::Weather { area_m2 } => area_m2 * line(&self.sun_course, at_ms).unwrap_or(0.0),
        }
    }

    fn air_of(&self, at_ms: Millis, without_shift_c: f64) -> Air {
        let temp_c = without_shift_c + self.shift_k;
        let saturated_pa = || saturation_pressure_pa(temp_c);
        let vapour_pressure_pa = match (line(&self.humidity_course, at_ms), self.humidity) {
            (Some(relative_frac), _) | (None, Humidity::ConstantRelative { relative_frac }) => {
                relative_frac * saturated_pa()
            }
            // Nearly every minute of a year is here, and needs no saturation pressure.
            (None, Humidity::ConstantRatio { .. }) if temp_c > self.not_saturated_above_c => {
                self.constant_vapour_pa
            }
            (None, Humidity::ConstantRatio { .. }) => self.constant_vapour_pa.min(saturated_pa()),
        };
        Air {
            temp_c,
            vapour_pressure_pa,
            pressure_pa: self.pressure_pa,
        }
    }
}

impl Weather {
    /// The air at a knot. Knots are made in order and kept for a while, so that looks ahead and short looks back cost nothing; a look further
    /// back starts the drift afresh.
    fn knot(&mut self, at_ms: Millis) -> Air {
        let slot = at_ms.div_euclid(self.knot_ms).rem_euclid(KEPT as i64) as usize;
        if let Some(kept) = &self.kept[slot]
            && kept.at_ms == at_ms
        {
            return kept.air;
        }
        let drift_k = self.drift_k(at_ms.div_euclid(MINUTE));
        let without_shift_c = self.temperature.without_drift_c(at_ms, self.day_of_year) + drift_k;
        let air = self.air_of(at_ms, without_shift_c);
        self.kept[slot] = Some(Kept {
            at_ms,
            without_shift_c,
            air,
        });
        air
    }

    /// The drift at a whole minute, K. It is made minute by minute, so that it does not hang on how far apart knots are.
    fn drift_k(&mut self, minute: i64) -> f64 {
        if self.temperature.drift_k == 0.0 {
            return 0.0;
        }
        if minute < self.next_minute - 1 {
            self.next_minute = self.first_minute;
        }
        while self.next_minute <= minute {
            let kick = self.drift.normal(self.next_minute);
            self.drift_k = if self.next_minute == self.first_minute {
                self.temperature.drift_k * kick
            } else {
                self.drift_k * self.drift_keep + self.drift_kick_k * kick
            };
            self.next_minute += 1;
        }
        self.drift_k
    }
}

impl AirCourse for Weather {
    fn straight_to_ms(&self, from_ms: Millis) -> Millis {
        (from_ms.div_euclid(self.knot_ms) + 1) * self.knot_ms
    }

    fn air(&mut self, minute_ms: Millis) -> Air {
        self.air_at(minute_ms)
    }

    fn air_at(&mut self, at_ms: Millis) -> Air {
        let before_ms = at_ms.div_euclid(self.knot_ms) * self.knot_ms;
        let before = self.knot(before_ms);
        if before_ms == at_ms {
            return before;
        }
        before.towards(
            self.knot(before_ms + self.knot_ms),
            seconds(at_ms - before_ms) / seconds(self.knot_ms),
        )
    }
}

/// How far apart the knots of a scenario's weather are, ms.
fn knot_ms(scenario: &Scenario) -> Millis {
    let (temperature, humidity) = (&scenario.room.temperature, &scenario.room.humidity_course);
    let drifts = temperature.drift_k > 0.0;
    let fits = |every_ms: &Millis| {
        [&temperature.course, humidity].into_iter().all(|course| {
            // Two points at one time are a step, which no line should blur.
            course.iter().all(|(at_ms, _)| at_ms % every_ms == 0)
                && course.windows(2).all(|pair| pair[0].0 < pair[1].0)
        }) && (!drifts || KNOTS_A_DRIFT * every_ms <= temperature.drift_time_ms)
    };
    KNOTS_MS.into_iter().find(fits).unwrap_or(MINUTE)
}

impl RoomTemperature {
    /// A room that never changes.
    #[must_use]
    pub fn constant(temp_c: f64) -> Self {
        Self {
            course: vec![(0, temp_c)],
            swing_k: 0.0,
            warmest_ms: 0,
            season_swing_k: 0.0,
            warmest_day: 0.0,
            drift_k: 0.0,
            drift_time_ms: DAY,
        }
    }

    /// Everything but the drift, °C.
    #[must_use]
    pub fn without_drift_c(&self, at_ms: Millis, day_of_year: Option<f64>) -> f64 {
        let turn = |share: f64| libm::cos(2.0 * std::f64::consts::PI * share);
        let mut temp_c = self.course_c(at_ms);
        if self.swing_k != 0.0 {
            temp_c += 0.5 * self.swing_k * turn(days(time_of_day(at_ms) - self.warmest_ms));
        }
        if let Some(first_day) = day_of_year
            && self.season_swing_k != 0.0
        {
            temp_c += 0.5 * self.season_swing_k * turn((first_day + days(at_ms) - self.warmest_day) / YEAR_D);
        }
        temp_c
    }

    /// The course alone, °C.
    fn course_c(&self, at_ms: Millis) -> f64 {
        line(&self.course, at_ms).unwrap_or(f64::NAN)
    }

    /// Mean of the course over the first `duration_ms`, from one look an hour, °C.
    #[must_use]
    pub fn mean_of_course_c(&self, duration_ms: Millis) -> f64 {
        let looks = (duration_ms / crate::time::HOUR).clamp(1, 24 * 366);
        let sum: f64 = (0..looks)
            .map(|look| self.course_c(duration_ms / looks * look))
            .sum();
        sum / looks as f64
    }
}

/// Straight lines between points in order of time, level before the first and after the last; of two points at one time the later holds from
/// there on. `None` without points.
fn line(points: &[(Millis, f64)], at_ms: Millis) -> Option<f64> {
    let after = points.partition_point(|(point_ms, _)| *point_ms <= at_ms);
    match (
        after.checked_sub(1).and_then(|before| points.get(before)),
        points.get(after),
    ) {
        (Some(&(start_ms, start)), Some(&(end_ms, end))) => {
            Some(start + (end - start) * (at_ms - start_ms) as f64 / (end_ms - start_ms) as f64)
        }
        (Some(&(_, level)), None) | (None, Some(&(_, level))) => Some(level),
        (None, None) => None,
    }
}
