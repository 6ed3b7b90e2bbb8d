//! EPW: the open weather format of building simulation.
//!
//! Eight lines of head, the first of which begins with "LOCATION"; then one row an hour (or a part of one) without
//! names of columns. Used, counted from 1: month 2, day 3, hour 4 (1 = 00:00 to 01:00), minute 5, dry bulb °C 7,
//! relative humidity % 9, global horizontal radiation Wh/m² of the time before the stamp 14. Temperature and humidity
//! hold at the stamp. Missing: 99.9, 999, 9999 and above.
//!
//! # Source
//! EnergyPlus, Auxiliary Programs, "EnergyPlus Weather File (EPW) Data Dictionary".

use std::sync::Arc;

use super::calendar::{Calendar, Stamp};
use super::row::{self, Line, TEMPERATURE_C};
use super::{Row, Rows, rows};
use crate::problem::{Problem, Problems, Reported};
use crate::source::{Place, Source};

/// Lines of the head.
const HEAD: usize = 8;
/// At or above this the sun is missing.
const SUN_MISSING: f64 = 9999.0;

const MONTH: usize = 1;
const DAY: usize = 2;
const HOUR: usize = 3;
const MINUTE: usize = 4;
const DRY_BULB: usize = 6;
const HUMIDITY: usize = 8;
const SUN: usize = 13;

pub(super) fn is_one(text: &str) -> bool {
    text.starts_with("LOCATION,")
}

pub(super) fn read(source: &Arc<Source>, problems: &Problems) -> Result<Rows, Reported> {
    if source.text.lines().count() <= HEAD {
        let place = Place::new(source, 0..0);
        let message = format!("{} has a head and no weather", source.name);
        return Err(problems.add(
            Problem::new("weather-empty", &place, message).expected("8 lines of head, then a row an hour"),
        ));
    }
    let per_hour = per_hour(source, problems)?;
    let read = |line: &Line<'_>| {
        let stamp = stamp(line).ok_or_else(|| {
            line.bad(
                MONTH,
                "a month, with a day that exists and an hour from 1 to 24",
                problems,
            )
        });
        let temp_c = line.number(DRY_BULB, &TEMPERATURE_C, problems);
        let relative = line.humidity_percent(HUMIDITY, problems);
        let sun = line.sun(SUN, |sun| sun >= SUN_MISSING, problems);
        let start = line.range(MONTH).start;
        Ok(Row {
            stamp: stamp?,
            start,
            end: line.range(MINUTE).end.max(start),
            temp_c: temp_c?,
            relative_frac: Some(relative?),
            // Wh/m² of a part of an hour as its mean W/m².
            sun_w_per_m2: sun?.map(|sun| sun * per_hour),
        })
    };
    let rows = rows(row::lines(source, HEAD, ','), read)?;
    let leap = rows.iter().any(|row| (row.stamp.month, row.stamp.day) == (2, 29));
    Ok(Rows {
        rows,
        calendar: Calendar::TypicalYear { leap },
        sun_before_stamp: true,
    })
}

/// Rows per hour, as the head says: "DATA PERIODS,1,1,…".
fn per_hour(source: &Arc<Source>, problems: &Problems) -> Result<f64, Reported> {
    let periods = row::lines(source, 0, ',')
        .take(HEAD)
        .find(|line| line.text(0).eq_ignore_ascii_case("DATA PERIODS"));
    let Some(line) = periods else {
        let place = Place::new(source, 0..0);
        let message = format!("the head of {} has no line DATA PERIODS", source.name);
        return Err(problems.add(
            Problem::new("weather-column", &place, message)
                .expected("\"DATA PERIODS,1,1,…\" among the first 8 lines"),
        ));
    };
    match line.text(2).parse::<u32>() {
        Ok(count) if (1..=60).contains(&count) => Ok(f64::from(count)),
        _ => Err(line.bad(2, "a number of rows per hour", problems)),
    }
}

fn stamp(line: &Line<'_>) -> Option<Stamp> {
    let cell = |column: usize| line.text(column).parse::<i64>().ok();
    let (month, day, hour, minute) = (cell(MONTH)?, cell(DAY)?, cell(HOUR)?, cell(MINUTE)?);
    if !(1..=24).contains(&hour) || !(0..=60).contains(&minute) {
        return None;
    }
    // Hourly files write minute 0 or 60 for the end of the hour.
    let into_hour = if minute == 0 { 60 } else { minute };
    // Any leap year, so that a 29 February exists; years mean nothing here.
    Stamp::new(2000, month, day, (hour - 1) * 60 + into_hour)
}
