//! The year in strata: four seasons by four times of day.
//!
//! A scenario of a year or with a season stated keeps its own course, looked at in the middle of each quarter. Any other gets a yearly sine between
//! the coldest and the warmest room of its year: a week says nothing of the rest.

use tepid_sim::scenario::{CalendarDate, Effect, Humidity, Origin, RoomTemperature, Scenario, When};
use tepid_sim::scores::DAYS_PER_YEAR_D;
use tepid_sim::time::{DAY, HOUR, Millis};

use crate::exposure::HORIZON_MS;

/// Seasons of a year.
pub(super) const SEASONS: usize = 4;
/// Times of day.
pub(super) const TIMES_OF_DAY: usize = 4;

/// A scenario this long states its own year, ms.
const STATES_A_YEAR_MS: Millis = 360 * DAY;

/// Mean of a cosine over the quarter around its peak: sin(π/4)/(π/4).
const QUARTER_MEAN_FRAC: f64 = 0.900_316_316_157_106;

/// A season and a time of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Stratum {
    pub(super) season: usize,
    pub(super) time_of_day: usize,
}

impl Stratum {
    /// Of an instant of the calendar, years.
    pub(super) fn at(calendar_years: f64) -> Self {
        let of = |turns: f64, count: usize| {
            let share = turns - turns.floor();
            ((share * count as f64) as usize).min(count - 1)
        };
        Self {
            season: of(calendar_years, SEASONS),
            time_of_day: of(calendar_years * DAYS_PER_YEAR_D, TIMES_OF_DAY),
        }
    }

    /// All of them.
    pub(super) fn all() -> impl Iterator<Item = Self> {
        (0..SEASONS).flat_map(|season| (0..TIMES_OF_DAY).map(move |time_of_day| Self { season, time_of_day }))
    }

    /// The middle of its time of day, ms after midnight: when its failures begin.
    pub(super) fn begins_ms(self) -> Millis {
        let length_ms = DAY / TIMES_OF_DAY as Millis;
        self.time_of_day as Millis * length_ms + length_ms / 2
    }
}

/// A scenario in the seasons of its year.
#[derive(Debug)]
pub(super) struct Year {
    /// One per season: time zero is 00:00 of a day in its middle.
    pub(super) seasons: Vec<Scenario>,
    /// The same without watches: no alert gets out.
    pub(super) unwatched: Vec<Scenario>,
    /// Mean of the room (or outdoors) on that day without its random drift, °C.
    pub(super) rooms_c: Vec<f64>,
    /// Where the seasons come from.
    pub(super) words: &'static str,
}

impl Year {
    pub(super) fn of(scenario: &Scenario) -> Self {
        let temperature = &scenario.room.temperature;
        let own_year = scenario.duration_ms >= STATES_A_YEAR_MS;
        let own_season = temperature.season_swing_k > 0.0 && scenario.start_date.is_some();
        let (place, words): (fn(&Scenario, usize) -> Scenario, _) = if own_year {
            (
                of_own_year,
                "the middle of each quarter of the scenario's own year",
            )
        } else if own_season {
            (
                of_own_season,
                "the middle of each quarter from 1 January, by the scenario's own seasons",
            )
        } else {
            (
                between_extremes,
                "a yearly sine between the coldest and the warmest room of the year, the coldest quarter first",
            )
        };
        let seasons: Vec<Scenario> = (0..SEASONS)
            .map(|season| Scenario {
                duration_ms: DAY + HORIZON_MS,
                warm_up_ms: scenario.warm_up_ms.clamp(DAY, 2 * DAY),
                ..without_own_faults(place(scenario, season))
            })
            .collect();
        Self {
            unwatched: seasons
                .iter()
                .map(|season| Scenario {
                    watches: Vec::new(),
                    ..season.clone()
                })
                .collect(),
            rooms_c: seasons.iter().map(mean_of_first_day_c).collect(),
            seasons,
            words,
        }
    }
}

/// Whether a scenario has faults of its own, which odds leave out.
pub(super) fn has_own_faults(scenario: &Scenario) -> bool {
    scenario.happenings.iter().any(|one| one.origin == Origin::Fault)
}

fn without_own_faults(mut scenario: Scenario) -> Scenario {
    scenario.happenings.retain(|one| one.origin == Origin::Event);
    scenario
}

/// The middle of a season, ms after the beginning of a year of this length.
fn middle_ms(season: usize, year_ms: Millis) -> Millis {
    let middle_ms = year_ms * (2 * season as Millis + 1) / (2 * SEASONS as Millis);
    middle_ms / DAY * DAY
}

/// A quarter of a year that the scenario has whole.
fn of_own_year(scenario: &Scenario, season: usize) -> Scenario {
    let year_ms = scenario.duration_ms.min(366 * DAY);
    later(scenario, middle_ms(season, year_ms))
}

/// A quarter of the calendar, with the mean of the scenario's course.
fn of_own_season(scenario: &Scenario, season: usize) -> Scenario {
    let mut placed = scenario.clone();
    let mean_c = scenario.room.temperature.mean_of_course_c(scenario.duration_ms);
    placed.room.temperature.course = vec![(0, mean_c)];
    placed.happenings.retain(|one| matches!(one.when, When::Daily(_)));
    placed.start_date = Some(day_of_common_year(middle_ms(season, 365 * DAY) / DAY));
    placed
}

/// A quarter of the sine between the coldest and the warmest room, the daily swing inside them.
fn between_extremes(scenario: &Scenario, season: usize) -> Scenario {
    let (coldest, warmest) = (scenario.room.coldest, scenario.room.warmest);
    let own = &scenario.room.temperature;
    let half_k = (0.5 * (warmest.temp_c - coldest.temp_c - own.swing_k)).max(0.0);
    // Coldest, between, warmest, between.
    let from_mean = [-QUARTER_MEAN_FRAC, 0.0, QUARTER_MEAN_FRAC, 0.0][season];
    let warmth_frac = 0.5 * (1.0 + from_mean);
    let between = |cold: f64, warm: f64| cold + warmth_frac * (warm - cold);
    let mut placed = scenario.clone();
    placed.room.temperature = RoomTemperature {
        course: vec![(0, 0.5 * (coldest.temp_c + warmest.temp_c) + from_mean * half_k)],
        season_swing_k: 0.0,
        ..own.clone()
    };
    placed.room.humidity = Humidity::ConstantRatio {
        relative_frac: between(coldest.relative_humidity_frac, warmest.relative_humidity_frac),
    };
    placed.room.humidity_course.clear();
    placed.room.lumped = None;
    placed
        .happenings
        .retain(|one| matches!(one.when, When::Daily(_)) && !matches!(one.effect, Effect::RoomShift { .. }));
    placed
}

/// A scenario that begins so much later.
fn later(scenario: &Scenario, by_ms: Millis) -> Scenario {
    let mut placed = scenario.clone();
    for (at_ms, _) in &mut placed.room.temperature.course {
        *at_ms -= by_ms;
    }
    for (at_ms, _) in placed
        .room
        .humidity_course
        .iter_mut()
        .chain(&mut placed.room.sun_course)
    {
        *at_ms -= by_ms;
    }
    for happening in &mut placed.happenings {
        if let When::At(at_ms) = &mut happening.when {
            *at_ms -= by_ms;
        }
    }
    placed.start_date = scenario
        .start_date
        .map(|date| day_of_common_year(i64::from(date.day_of_year()) + by_ms / DAY));
    placed
}

/// A day by its number in a year of 365, 0 = 1 January; only its season matters.
fn day_of_common_year(day: i64) -> CalendarDate {
    const LENGTHS_D: [i64; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let mut left = day.rem_euclid(365);
    let mut month = 0;
    while left >= LENGTHS_D[month] {
        left -= LENGTHS_D[month];
        month += 1;
    }
    CalendarDate {
        year: 2025,
        month: month as u8 + 1,
        day: left as u8 + 1,
    }
}

fn mean_of_first_day_c(scenario: &Scenario) -> f64 {
    let hourly = (0..24).map(|hour| {
        let at_ms = hour * HOUR;
        scenario.room.temperature.without_drift_c(
            at_ms,
            scenario.start_date.map(|date| f64::from(date.day_of_year())),
        ) + scenario.room_shift_k(at_ms)
    });
    hourly.sum::<f64>() / 24.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn library(name: &str) -> Scenario {
        tepid_scenarios::library::load(name).unwrap().unwrap()
    }

    #[test]
    fn every_stratum_is_met_equally_often() {
        let mut counts = [[0_u32; TIMES_OF_DAY]; SEASONS];
        for number in 0..160_000 {
            let stratum = Stratum::at(f64::from(number) / 160_000.0 + 3.0);
            counts[stratum.season][stratum.time_of_day] += 1;
        }
        for count in counts.concat() {
            // A sixteenth, but for quarters that are no whole number of days.
            assert!(count.abs_diff(10_000) < 200, "{counts:?}");
        }
    }

    #[test]
    fn a_week_gets_a_year_between_the_extremes_it_states() {
        let year = Year::of(&library("spare-room-winter"));
        // 14 and 26 °C with a daily swing of 2 K: 20 ± 5 K, nine tenths of it in the mean of the outer quarters.
        let expected_c = [15.5, 20.0, 24.5, 20.0];
        for (room_c, expected_c) in year.rooms_c.iter().zip(expected_c) {
            assert!((room_c - expected_c).abs() < 0.01, "{:?}", year.rooms_c);
        }
    }

    #[test]
    fn a_year_keeps_its_own_seasons_and_holidays() {
        let scenario = library("year-round");
        let year = Year::of(&scenario);
        assert!(year.rooms_c[2] - year.rooms_c[0] > 5.0, "{:?}", year.rooms_c);
        // Mid-February is the winter holiday with the heating down by 5 K (days 46 to 53).
        assert!(year.rooms_c[0] < 17.0, "{:?}", year.rooms_c);
    }

    #[test]
    fn days_of_the_year_and_their_dates_agree() {
        for day in 0..365 {
            assert_eq!(i64::from(day_of_common_year(day).day_of_year()), day);
        }
        assert_eq!(day_of_common_year(365).day_of_year(), 0);
    }
}
