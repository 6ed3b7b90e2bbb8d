//! TMY3: a typical meteorological year as CSV.
//!
//! The first line names the station, the second the columns; one row an hour. Columns used: "Date (MM/DD/YYYY)",
//! "Time (HH:MM)", "Dry-bulb (C)", "RHum (%)", "GHI (W/m^2)". A temperature or humidity is measured at the stamp, the
//! sun is the mean of the 60 minutes before it. -9900 and below stand for a missing figure.
//!
//! # Source
//! S. Wilcox, W. Marion, Users Manual for TMY3 Data Sets, NREL/TP-581-43156 (2008), tables 1-2 and 1-3 (from memory); names
//! of columns as in published files of this format.

use std::sync::Arc;

use super::calendar::{Calendar, Stamp};
use super::row::{self, Line, TEMPERATURE_C};
use super::{Row, Rows, no_column, rows};
use crate::problem::{Problems, Reported};
use crate::source::Source;

/// At or below this a figure is missing.
const MISSING: f64 = -9900.0;
const DATE: &str = "Date (MM/DD/YYYY)";

pub(super) fn is_one(text: &str) -> bool {
    text.lines().nth(1).is_some_and(|line| line.contains(DATE))
}

pub(super) fn read(source: &Arc<Source>, problems: &Problems) -> Result<Rows, Reported> {
    let Some(header) = row::lines(source, 1, ',').next() else {
        // `is_one` has seen the header.
        return Err(Reported);
    };
    let column = |name: &str| {
        (0..header.len()).find(|column| header.text(*column).replace('²', "^2").eq_ignore_ascii_case(name))
    };
    let needed = |name: &str, what: &str| {
        column(name).ok_or_else(|| no_column(source, header.place(), what, name, problems))
    };
    let (date, time) = (
        needed(DATE, "the date"),
        needed("Time (HH:MM)", "the time of day"),
    );
    let temperature = needed("Dry-bulb (C)", "the temperature");
    let humidity = needed("RHum (%)", "the relative humidity");
    let sun = column("GHI (W/m^2)");
    let (date, time, temperature, humidity) = (date?, time?, temperature?, humidity?);
    let read = |line: &Line<'_>| {
        let stamp = stamp(line.text(date), line.text(time)).ok_or_else(|| {
            line.bad(
                date,
                "a date such as 01/08/1988 with a time such as 01:00",
                problems,
            )
        });
        let temp_c = line.number(temperature, &TEMPERATURE_C, problems);
        let relative = line.humidity_percent(humidity, problems);
        let sun = match sun {
            Some(column) => line.sun(column, |sun| sun <= MISSING, problems),
            None => Ok(None),
        };
        let range = line.range(date);
        Ok(Row {
            stamp: stamp?,
            start: range.start,
            end: range.end,
            temp_c: temp_c?,
            relative_frac: Some(relative?),
            sun_w_per_m2: sun?,
        })
    };
    let rows = rows(row::lines(source, 2, ','), read)?;
    let leap = rows.iter().any(|row| (row.stamp.month, row.stamp.day) == (2, 29));
    Ok(Rows {
        rows,
        calendar: Calendar::TypicalYear { leap },
        sun_before_stamp: true,
    })
}

fn stamp(date: &str, time: &str) -> Option<Stamp> {
    let mut date = date.split('/').map(|part| part.parse().ok());
    let (month, day, year) = (date.next()??, date.next()??, date.next()??);
    let (hour, minute) = time.split_once(':')?;
    let (hour, minute): (i64, i64) = (hour.parse().ok()?, minute.parse().ok()?);
    let whole = (0..=24).contains(&hour) && (0..60).contains(&minute);
    whole.then(|| Stamp::new(year, month, day, hour * 60 + minute))?
}
