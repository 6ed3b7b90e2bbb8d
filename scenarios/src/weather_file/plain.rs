//! Plain CSV: time and temperature, and if there are any, relative humidity and sun.
//!
//! The first line names the columns, the unit in brackets or after an underscore; comma, semicolon or tab between cells;
//! lines that start with # are comments. Columns of other names are left alone.
//!
//! | column | names | units |
//! |---|---|---|
//! | time | `time`, `date_time`, `datetime`, `timestamp` | 2025-01-06 13:00, also with T and seconds; local standard time |
//! | or date and time of day | `date` and `time` | 2025-01-06 or 01/06/2025 (month first), and 13:00; 24:00 closes the day |
//! | temperature | `temperature`, `temp`, `t` | °C, °F |
//! | relative humidity | `relative_humidity`, `humidity`, `rh` | %, or 0-1 |
//! | sun on level ground | `sun`, `ghi`, `irradiance` | W/m² |
//!
//! Everything holds at its stamp.

use std::sync::Arc;

use tepid_sim::quantity::Kind;

use super::calendar::{Calendar, DAY_MIN, Stamp};
use super::row::{self, HUMIDITY_FRACTION, Line, SUN_W_PER_M2, TEMPERATURE_C};
use super::{Row, Rows, no_column, rows};
use crate::mistakes::shortened;
use crate::problem::{Problem, Problems, Reported};
use crate::source::{Place, Source};

/// Where the columns are.
struct Columns {
    date: Option<usize>,
    time: usize,
    temperature: usize,
    fahrenheit: bool,
    humidity: Option<(usize, HumidityUnit)>,
    sun: Option<usize>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum HumidityUnit {
    Percent,
    Fraction,
}

pub(super) fn read(source: &Arc<Source>, problems: &Problems) -> Result<Rows, Reported> {
    let first = row::lines(source, 0, ',').next();
    let Some(separator) = first.as_ref().map(separator) else {
        let place = Place::new(source, 0..0);
        let message = format!("{} says nothing", source.name);
        return Err(problems.add(
            Problem::new("weather-empty", &place, message)
                .expected("a line with the names of columns, then rows"),
        ));
    };
    let mut lines = row::lines(source, 0, separator);
    let columns = match lines.next() {
        Some(header) => columns(source, &header, problems)?,
        None => return Err(Reported),
    };
    let rows = rows(lines, |line| row_of(line, &columns, problems))?;
    Ok(Rows {
        rows,
        calendar: Calendar::Dated,
        sun_before_stamp: false,
    })
}

/// What stands between the cells of the header.
fn separator(header: &Line<'_>) -> char {
    let place = header.place();
    let count = |separator: char| place.text().matches(separator).count();
    if count(';') > count(',') {
        ';'
    } else if count('\t') > count(',') {
        '\t'
    } else {
        ','
    }
}

fn columns(source: &Arc<Source>, header: &Line<'_>, problems: &Problems) -> Result<Columns, Reported> {
    let named = |names: &[&str]| {
        (0..header.len())
            .map(|column| (column, name_and_unit(header.text(column))))
            .find(|(_, (name, _))| names.contains(&name.as_str()))
    };
    let missing = |what: &str, fix: &str| no_column(source, header.place(), what, fix, problems);
    let time = named(&["time", "date_time", "datetime", "timestamp"])
        .map(|(column, _)| column)
        .ok_or_else(|| missing("the time", "time"));
    let date = named(&["date"]).map(|(column, _)| column);
    let temperature = match named(&["temperature", "temp", "t"]) {
        None => Err(missing("the temperature", "temperature [°C]")),
        Some((column, (_, unit))) => match temperature_unit(&unit) {
            Some(name) => Ok((column, name == "°F")),
            None => Err(no_unit(header, column, "temperature [°C]", problems)),
        },
    };
    let humidity = match named(&["relative_humidity", "humidity", "rh"]) {
        None => Ok(None),
        Some((column, (_, unit))) => match unit.as_str() {
            "%" | "percent" => Ok(Some((column, HumidityUnit::Percent))),
            "0-1" | "0..1" | "1" | "-" | "frac" | "fraction" => Ok(Some((column, HumidityUnit::Fraction))),
            _ => Err(no_unit(header, column, "relative_humidity [%]", problems)),
        },
    };
    let sun = match named(&["sun", "ghi", "irradiance"]) {
        None => Ok(None),
        Some((column, (_, unit))) => match unit.replace('²', "2").replace("^2", "2").as_str() {
            "w/m2" | "w_per_m2" => Ok(Some(column)),
            _ => Err(no_unit(header, column, "sun [W/m²]", problems)),
        },
    };
    let (time, (temperature, fahrenheit), humidity, sun) = (time?, temperature?, humidity?, sun?);
    Ok(Columns {
        date,
        time,
        temperature,
        fahrenheit,
        humidity,
        sun,
    })
}

/// "relative_humidity" and "%" of "Relative humidity [%]", "temperature" and "c" of "temperature_c".
fn name_and_unit(header: &str) -> (String, String) {
    const UNITS: [&str; 8] = [
        "_c",
        "_degc",
        "_f",
        "_degf",
        "_percent",
        "_frac",
        "_fraction",
        "_w_per_m2",
    ];
    let lower = header.trim().to_lowercase();
    let (name, unit) = match lower.split_once(['[', '(']) {
        Some((name, unit)) => (name.to_owned(), unit.trim_end_matches([']', ')']).to_owned()),
        None => match UNITS.iter().find(|unit| lower.ends_with(*unit)) {
            Some(unit) => (lower[..lower.len() - unit.len()].to_owned(), unit[1..].to_owned()),
            None => (lower.clone(), String::new()),
        },
    };
    (name.trim().replace([' ', '-'], "_"), unit.trim().to_owned())
}

/// The printed name of a unit of temperature.
fn temperature_unit(written: &str) -> Option<&'static str> {
    let units = Kind::Temperature.units().iter();
    let mut known = units.filter(|unit| {
        unit.spellings()
            .any(|spelling| spelling.to_lowercase() == written)
    });
    known.next().map(|unit| unit.name)
}

fn no_unit(header: &Line<'_>, column: usize, fix: &str, problems: &Problems) -> Reported {
    let place = header.place_of(column);
    let found = header.text(column);
    let message = format!("the column `{}` has no unit that is known", shortened(found));
    let problem = Problem::new("weather-unit", &place, message)
        .label("which unit?")
        .found(shortened(found))
        .expected(format!("the unit in brackets, such as `{fix}`"));
    problems.add(problem)
}

fn row_of(line: &Line<'_>, columns: &Columns, problems: &Problems) -> Result<Row, Reported> {
    let at = columns.date.unwrap_or(columns.time);
    let stamp = match columns.date {
        Some(date) => day(line.text(date)).zip(minute(line.text(columns.time))),
        None => moment(line.text(columns.time)),
    };
    let stamp = stamp
        .and_then(|((year, month, day), minute)| Stamp::new(year, month, day, minute))
        .ok_or_else(|| {
            line.bad(
                at,
                "a time such as 2025-01-06 13:00, in local standard time",
                problems,
            )
        });
    let temp_c = if columns.fahrenheit {
        line.temperature_f(columns.temperature, problems)
    } else {
        line.number(columns.temperature, &TEMPERATURE_C, problems)
    };
    let humidity = match columns.humidity {
        None => Ok(None),
        Some((column, HumidityUnit::Percent)) => line.humidity_percent(column, problems).map(Some),
        Some((column, HumidityUnit::Fraction)) => line
            .number(column, &HUMIDITY_FRACTION, problems)
            .map(|fraction| Some(fraction.min(1.0))),
    };
    let sun = match columns.sun {
        None => Ok(None),
        Some(column) => line
            .number(column, &SUN_W_PER_M2, problems)
            .map(|sun| Some(sun.max(0.0))),
    };
    let range = line.range(at);
    Ok(Row {
        stamp: stamp?,
        start: range.start,
        end: range.end,
        temp_c: temp_c?,
        relative_frac: humidity?,
        sun_w_per_m2: sun?,
    })
}

type Day = (i64, i64, i64);

/// "2025-01-06 13:00" or "2025-01-06T13:00:00".
fn moment(text: &str) -> Option<(Day, i64)> {
    let (date, time) = text.split_once([' ', 'T'])?;
    day(date).zip(minute(time.trim()))
}

/// "2025-01-06", or "01/06/2025" with the month first.
fn day(text: &str) -> Option<Day> {
    let (separator, iso) = if text.contains('-') {
        ('-', true)
    } else {
        ('/', false)
    };
    let mut parts = text.split(separator).map(|part| part.parse::<i64>().ok());
    let (first, second, third) = (parts.next()??, parts.next()??, parts.next()??);
    if parts.next().is_some() {
        return None;
    }
    Some(if iso {
        (first, second, third)
    } else {
        (third, first, second)
    })
}

/// "13:00" or "13:00:00" as minutes of the day; seconds round to the nearest minute.
fn minute(text: &str) -> Option<i64> {
    let mut parts = text.split(':').map(|part| part.parse::<i64>().ok());
    let (hour, minute) = (parts.next()??, parts.next()??);
    let second = match parts.next() {
        None => 0,
        Some(second) => second?,
    };
    let clock = (0..=24).contains(&hour) && (0..60).contains(&minute) && (0..60).contains(&second);
    let minutes = hour * 60 + minute + i64::from(second >= 30);
    (clock && parts.next().is_none() && minutes <= DAY_MIN).then_some(minutes)
}
