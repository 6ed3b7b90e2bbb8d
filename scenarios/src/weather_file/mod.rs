//! Weather files: the course of the air outdoors, or of a room, and the sun on level ground.
//!
//! Three formats, one file each: [`tmy3`], [`epw`], [`plain`]. Which one a file is, its first lines tell.
//!
//! # Time
//! Time zero of a run is 00:00 of its first day in the file's local standard time; there is no daylight saving time.
//! TMY3 and EPW stamp the *end* of each hour, 01:00 to 24:00: temperature and humidity hold at the stamp, the sun is the
//! mean of the hour before it and is put at that hour's middle. Straight lines between points. Their months come from
//! different years, so their years mean nothing, and a whole year of them begins again at its end. In a plain CSV years
//! count where the run has a date that the file holds, else the same day of a year that it holds; everything in it holds
//! at its stamp.
//!
//! Weather is kept up to three days past the end of a run, since exposures look that far; where a file ends before, the
//! last point stays.

mod calendar;
mod course;
mod epw;
mod plain;
pub(crate) mod row;
mod tmy3;

use std::sync::Arc;

use tepid_sim::scenario::CalendarDate;
use tepid_sim::time::Millis;

use crate::problem::{Problem, Problems, Reported};
use crate::source::{Place, Source};
use crate::text_file;
pub(crate) use calendar::days_since_year_1;
use calendar::{Calendar, Stamp};

/// Longest weather file that is read, bytes: a year of hours in TMY3 has two million.
const LONGEST_WEATHER_FILE: u64 = 50_000_000;

/// Mistakes of rows that are reported of one file: a file of the wrong kind has one in every row.
const MOST_BAD_ROWS: usize = 10;

/// The first day of the run.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Start {
    /// A day of every year, 0 = 1 January of a year of 365 days.
    DayOfYear(u32),
    /// A date: its year counts only in files whose years mean something.
    Date(CalendarDate),
}

/// The run that weather is read for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Span {
    pub start: Start,
    pub warm_up_ms: Millis,
    pub duration_ms: Millis,
}

/// Weather over a run's time; what the file does not hold is empty.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Weather {
    /// Time ms, °C.
    pub temperature: Vec<(Millis, f64)>,
    /// Time ms, 0..=1.
    pub humidity: Vec<(Millis, f64)>,
    /// Time ms, W/m² on level ground.
    pub sun: Vec<(Millis, f64)>,
    /// What was assumed, for people.
    pub assumptions: Vec<String>,
}

/// One row of a file.
#[derive(Debug, Clone, Copy)]
struct Row {
    stamp: Stamp,
    /// Where the stamp stands in the text, bytes.
    start: usize,
    end: usize,
    temp_c: f64,
    relative_frac: Option<f64>,
    sun_w_per_m2: Option<f64>,
}

/// The rows of a file and how to take them.
struct Rows {
    rows: Vec<Row>,
    calendar: Calendar,
    /// The sun is the mean of the time before its stamp.
    sun_before_stamp: bool,
}

/// Reads the weather of a run; `place` is where the scenario names the file.
pub(crate) fn read(file: &str, place: &Place, span: &Span, problems: &Problems) -> Result<Weather, Reported> {
    let path = place.source.folder().join(file);
    let bytes = text_file::read_bytes(&path, LONGEST_WEATHER_FILE).map_err(|error| {
        let problem = Problem::new("unreadable-weather", place, format!("`{file}`: {error}"))
            .label("cannot be read")
            .found(file)
            .expected("the path of a weather file, from the folder of this file on");
        problems.add(problem)
    })?;
    // Names of places in the head of a file may be in any old encoding; figures are not.
    let text = String::from_utf8_lossy(&bytes);
    let source = Source::of_file(&path, text.strip_prefix('\u{feff}').unwrap_or(&text).to_owned());
    of_source(&source, span, problems)
}

fn of_source(source: &Arc<Source>, span: &Span, problems: &Problems) -> Result<Weather, Reported> {
    let rows = if epw::is_one(&source.text) {
        epw::read(source, problems)
    } else if tmy3::is_one(&source.text) {
        tmy3::read(source, problems)
    } else {
        plain::read(source, problems)
    }?;
    course::cut(source, rows, span, problems)
}

/// The rows of lines, each read by `read`; stops after some mistakes.
fn rows<'s>(
    lines: impl Iterator<Item = row::Line<'s>>,
    read: impl Fn(&row::Line<'s>) -> Result<Row, Reported>,
) -> Result<Vec<Row>, Reported> {
    let mut rows = Vec::new();
    let mut bad = 0;
    for line in lines {
        match read(&line) {
            Ok(row) => rows.push(row),
            Err(Reported) => bad += 1,
        }
        if bad >= MOST_BAD_ROWS {
            break;
        }
    }
    if bad > 0 { Err(Reported) } else { Ok(rows) }
}

/// A column that must be there.
fn no_column(source: &Arc<Source>, header: Place, what: &str, fix: &str, problems: &Problems) -> Reported {
    let message = format!("{} has no column with {what}", source.name);
    let problem = Problem::new("weather-column", &header, message)
        .label("the names of the columns")
        .expected(format!("a column such as `{fix}`"));
    problems.add(problem)
}
