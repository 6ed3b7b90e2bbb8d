//! `year` of `[room]`: the constant rooms in which verdicts are given.

use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{LumpedRoom, RoomTemperature, VerdictRoom};
use tepid_sim::time::Millis;

use super::Assumptions;
use super::room::Air;
use crate::fields::room::YEAR;
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// What verdict rooms are where the file states none.
pub(super) struct Own {
    pub coldest_c: f64,
    pub warmest_c: f64,
    pub relative_frac: f64,
}

/// Relative humidity indoors where a building states none for its verdict rooms. An assumption, no source.
const INDOORS_FRAC: f64 = 0.5;

impl Own {
    /// Of the air as stated; a guess where it could not be read, so that what else is wrong is found all the same.
    pub fn of(air: Option<&Air>, duration_ms: Millis) -> Self {
        let Some(air) = air else {
            return Self {
                coldest_c: 20.0,
                warmest_c: 20.0,
                relative_frac: INDOORS_FRAC,
            };
        };
        let (coldest_c, warmest_c) = extremes_c(&air.temperature, duration_ms);
        Self {
            coldest_c,
            warmest_c,
            relative_frac: air.humidity.relative_frac(),
        }
    }

    /// Indoors the weather is not the room: its devices' setpoints stand for its extremes.
    pub fn indoors(&mut self, building: &LumpedRoom, assumed: bool, assumptions: &mut Assumptions) {
        let (outdoors_coldest_c, outdoors_warmest_c) = (self.coldest_c, self.warmest_c);
        self.coldest_c = building
            .heating
            .map_or(outdoors_coldest_c, |heating| heating.setpoint_c);
        self.warmest_c = building
            .cooling
            .map_or(outdoors_warmest_c, |cooling| cooling.setpoint_c)
            .max(self.coldest_c);
        self.relative_frac = INDOORS_FRAC;
        if assumed {
            let shown = |temp_c| print(Kind::Temperature, temp_c, System::Metric);
            assumptions.push(format!(
                "coldest and warmest room assumed {} and {} at 50 % humidity, from heating, cooling and the weather outdoors",
                shown(self.coldest_c),
                shown(self.warmest_c)
            ));
        }
    }
}

/// Coldest and warmest room of a course within the scored time, °C, without its random drift.
fn extremes_c(temperature: &RoomTemperature, duration_ms: Millis) -> (f64, f64) {
    let scored = temperature
        .course
        .iter()
        .filter(|(at, _)| (0..=duration_ms).contains(at));
    let ends = [0, duration_ms].map(|at| (at, course_c(&temperature.course, at)));
    let (low, high) = scored
        .copied()
        .chain(ends)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (_, temp_c)| {
            (low.min(temp_c), high.max(temp_c))
        });
    let swing = 0.5 * (temperature.swing_k + temperature.season_swing_k);
    (low - swing, high + swing)
}

/// The course at a time, °C.
fn course_c(course: &[(Millis, f64)], at: Millis) -> f64 {
    let after = course
        .iter()
        .position(|(time, _)| *time > at)
        .unwrap_or(course.len());
    match (
        after.checked_sub(1).and_then(|before| course.get(before)),
        course.get(after),
    ) {
        (Some((t0, c0)), Some((t1, c1))) => c0 + (c1 - c0) * ((at - t0) as f64) / ((t1 - t0) as f64),
        (Some((_, only)), None) | (None, Some((_, only))) => *only,
        (None, None) => f64::NAN,
    }
}

pub(super) fn read(
    room: &Reader<'_>,
    year: Option<&Table>,
    own: &Own,
    problems: &Problems,
) -> Result<(VerdictRoom, VerdictRoom), Reported> {
    let empty = Table {
        place: room.place().clone(),
        entries: Vec::new(),
    };
    let reader = Reader::open(year.unwrap_or(&empty), &YEAR, problems);
    let verdict = |temperature: &str, humidity: &str, own_c: f64| {
        let (temp_c, relative) = (
            reader.optional_quantity(temperature),
            reader.optional_quantity(humidity),
        );
        let (temp_c, relative) = (temp_c?, relative?);
        Ok(VerdictRoom {
            temp_c: temp_c.unwrap_or(own_c),
            relative_humidity_frac: relative.unwrap_or(own.relative_frac),
            stated: temp_c.is_some(),
        })
    };
    let coldest = verdict("coldest", "coldest_humidity", own.coldest_c);
    let warmest = verdict("warmest", "warmest_humidity", own.warmest_c);
    let (coldest, warmest) = (coldest?, warmest?);
    if coldest.temp_c > warmest.temp_c {
        let problem = Problem::new(
            "year-order",
            room.place_of("year"),
            "the year's coldest room is warmer than its warmest",
        )
        .expected("`coldest` below `warmest`");
        return Err(room.report(problem));
    }
    Ok((coldest, warmest))
}
