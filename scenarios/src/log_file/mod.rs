//! Logs of a real tank: time and water, and if there are any, room, humidity, heater and events.
//!
//! The first line that is no comment (`#`) names the columns; comma, semicolon or tab between cells, decimal points or commas in them. What a
//! column is, its name says, or [`LogOptions::columns`]; its unit stands in brackets or after an underscore, or in [`LogOptions::units`]: a
//! unit is never guessed.
//!
//! # Time
//! Time zero is 00:00 of the log's first day. Stamps may be ISO 8601 with or without an offset, a date and a time of day in other orders, seconds or milliseconds of the Unix
//! epoch, or time since the start with its unit (`time [min]`). Local time without an offset needs [`LogOptions::time_zone`] where the clock was changed
//! on the way; rows of the hour that comes twice are told apart by their order.
//!
//! # What is left out
//! Failed readings (no number, or one that no aquarium has), spikes (far from the two readings before and after) and second rows of one stamp are
//! left out and counted in [`LeftOut`], blank cells too. Everything else that is not understood is a mistake with its line and column.

mod cell;
mod clean;
mod columns;
mod stamp;

use std::path::Path;
use std::sync::Arc;

use tepid_sim::scenario::CalendarDate;
use tepid_sim::time::{DAY, MINUTE, Millis};

use crate::problem::{Problem, Problems, Report, Reported};
use crate::source::{Place, Source};
use crate::text_file;
use crate::weather_file::row;
use columns::Columns;
use stamp::Stamps;
pub use stamp::later;

/// Longest log that is read, bytes: a year of minutes has some twenty million.
const LONGEST_LOG: u64 = 100_000_000;

/// A pause of a log, ms, and in usual intervals; the longer counts.
const GAP_MS: Millis = 30 * MINUTE;
const GAP_INTERVALS: Millis = 5;

/// Mistakes of rows that are reported of one log.
const MOST_BAD_ROWS: usize = 10;

/// What a column may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LogColumn {
    /// The stamp, or with a `date` beside it the time of day.
    Time,
    /// The date, where it stands apart.
    Date,
    /// Temperature of the water.
    Water,
    /// Temperature of the room.
    Room,
    /// The heaters: on or off or power at the stamp, or share of the time since the row before.
    Heater,
    /// Relative humidity of the room.
    Humidity,
    /// The name of an event of the scenario that began then.
    Event,
}

/// What the columns are, where their names do not say it, and how to read them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LogOptions {
    /// Columns by their names in the log.
    pub columns: Vec<(LogColumn, String)>,
    /// Units of columns that state none.
    pub units: Vec<(LogColumn, String)>,
    /// The time zone of stamps without an offset, such as "Europe/Berlin".
    pub time_zone: Option<String>,
    /// Which comes first in dates such as 03/04/2026.
    pub date_order: Option<DateOrder>,
}

/// The order of a date's parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateOrder {
    /// 31/12/2026.
    DayFirst,
    /// 12/31/2026.
    MonthFirst,
}

/// What a logger wrote.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    /// The file.
    pub name: String,
    /// Rows in order of time, each stamp once.
    pub rows: Vec<LogRow>,
    /// What the heater's column holds.
    pub heater: Option<HeaterLog>,
    /// Date of time zero; `None` where stamps tell none.
    pub start_date: Option<CalendarDate>,
    /// From when on, ms, the log's clock shows so many seconds more than that of its first row.
    pub clock_changes: Vec<(Millis, i32)>,
    /// Usual time from one row to the next, ms.
    pub interval_ms: Millis,
    /// Smallest step between readings of the water, K.
    pub step_k: f64,
    /// What was left out.
    pub left_out: LeftOut,
    /// What was assumed, for people.
    pub assumptions: Vec<String>,
}

impl Log {
    /// Rows come at a fixed interval, not when something changes: nine of ten are as far apart as usual, to a fifth.
    #[must_use]
    pub fn is_regular(&self) -> bool {
        let steps = self.rows.windows(2).map(|pair| pair[1].at_ms - pair[0].at_ms);
        let usual = steps.filter(|step| (step - self.interval_ms).abs() * 5 <= self.interval_ms);
        10 * usual.count() >= 9 * self.rows.len().saturating_sub(1)
    }

    /// Rows without a long pause. What happened in one of half an hour, or of five usual intervals, nobody knows.
    pub fn stretches(&self) -> impl Iterator<Item = &[LogRow]> {
        let gap_ms = GAP_MS.max(GAP_INTERVALS * self.interval_ms);
        self.rows
            .chunk_by(move |one, next| next.at_ms - one.at_ms <= gap_ms)
    }

    /// An instant as the log names it: "2026-01-06 13:05", "13:05 on day 3 of the log" where its stamps have no date.
    #[must_use]
    pub fn instant(&self, at_ms: Millis) -> String {
        let changed = self
            .clock_changes
            .iter()
            .rev()
            .find(|(from_ms, _)| *from_ms <= at_ms);
        let shown_ms = at_ms + changed.map_or(0, |(_, by_s)| 1000 * Millis::from(*by_s));
        let (day, minute) = (shown_ms.div_euclid(DAY), shown_ms.rem_euclid(DAY) / MINUTE);
        let clock = format!("{:02}:{:02}", minute / 60, minute % 60);
        match self.start_date.and_then(|date| later(date, day)) {
            Some(CalendarDate { year, month, day }) => format!("{year}-{month:02}-{day:02} {clock}"),
            None => format!("{clock} on day {} of the log", day + 1),
        }
    }

    /// The line of the row at an instant, or of the last before it.
    #[must_use]
    pub fn line_at(&self, at_ms: Millis) -> usize {
        let until = self.rows.partition_point(|row| row.at_ms <= at_ms);
        self.rows.get(until.saturating_sub(1)).map_or(0, |row| row.line)
    }
}

/// A row of a log; what it does not hold is `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct LogRow {
    /// Line in the file, from 1.
    pub line: usize,
    /// ms; 0 = 00:00 of the first day.
    pub at_ms: Millis,
    /// °C.
    pub water_c: Option<f64>,
    /// °C.
    pub room_c: Option<f64>,
    /// 0..=1.
    pub humidity_frac: Option<f64>,
    /// Share of the heaters' power, 0..=1, or W: see [`HeaterLog`].
    pub heater: Option<f64>,
    /// Name of an event.
    pub event: Option<String>,
}

/// What a heater's column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeaterLog {
    /// On (1) or off (0).
    States,
    /// Share of its power, 0..=1.
    Share,
    /// Power, W.
    Watts,
}

/// What was left out of a log.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LeftOut {
    /// Cells with a word for "no reading", or a figure that no aquarium has.
    pub failed: usize,
    /// Rows whose cell of the water is blank.
    pub blank: usize,
    /// Readings far from those around them.
    pub spikes: usize,
    /// Further rows with a stamp that is there already.
    pub twice: usize,
    /// Line of the first spike, failed or blank reading of the water.
    pub first_line: Option<usize>,
}

/// Reads a log.
///
/// # Errors
/// [`Report`] with the mistakes, each with line and column.
pub fn read(path: &Path, options: &LogOptions) -> Result<Log, Report> {
    let name = path.to_string_lossy();
    let bytes = text_file::read_bytes(path, LONGEST_LOG).map_err(|error| {
        let place = Place::new(&Source::unread(&name), 0..0);
        Report::of(
            Problem::new("unreadable-log", &place, error.to_string())
                .expected("the path of a log, a CSV file"),
        )
    })?;
    of_text(&name, &String::from_utf8_lossy(&bytes), options)
}

/// Reads a log from a text; `name` stands in messages.
///
/// # Errors
/// As [`read`].
pub fn of_text(name: &str, text: &str, options: &LogOptions) -> Result<Log, Report> {
    let problems = Problems::default();
    let source = Source::new(name, text.strip_prefix('\u{feff}').unwrap_or(text));
    match of_source(&source, options, &problems) {
        Ok(log) if problems.is_empty() => Ok(log),
        _ => Err(problems.into_report()),
    }
}

fn of_source(source: &Arc<Source>, options: &LogOptions, problems: &Problems) -> Result<Log, Reported> {
    let Some(first) = row::lines(source, 0, ',').next() else {
        let place = Place::new(source, 0..0);
        return Err(problems.add(
            Problem::new("log-empty", &place, format!("{} says nothing", source.name))
                .expected("a line with the names of columns, then rows"),
        ));
    };
    let separator = separator(first.place().text());
    let mut lines = row::lines(source, 0, separator);
    let Some(header) = lines.next() else {
        return Err(Reported);
    };
    let body: Vec<row::Line<'_>> = lines.collect();
    let mut columns = Columns::of(&header, options, problems)?;
    // Mistakes of units, stamps and cells are told together; where the water has no unit, every cell of it would be one.
    let units = columns.settle_units(&body, problems);
    let stamps = Stamps::of(&body, &columns, options, problems);
    if columns.water_has_no_unit() {
        units?;
    }
    let mut left_out = LeftOut::default();
    let mut rows = Vec::with_capacity(body.len());
    let mut bad = 0;
    for (at, line) in body.iter().enumerate() {
        let number = line.place().line_and_column().0;
        let at_ms = stamps.as_ref().map_or(0, |stamps| stamps.at_ms[at]);
        match columns.row(line, number, at_ms, &mut left_out, problems) {
            Ok(row) => rows.push(row),
            Err(Reported) => bad += 1,
        }
        if bad >= MOST_BAD_ROWS {
            break;
        }
    }
    let stamps = stamps?;
    units?;
    if bad > 0 {
        return Err(Reported);
    }
    let sorted = clean::order(&mut rows, &mut left_out);
    let interval_ms = clean::interval_ms(&rows);
    clean::spikes(&mut rows, interval_ms, &mut left_out);
    if rows.iter().filter(|row| row.water_c.is_some()).count() < 3 {
        let place = header.place();
        let mut problem = Problem::new(
            "log-short",
            &place,
            "there are fewer than three readings of the water",
        )
        .label("the names of the columns");
        if left_out.failed > 0 {
            problem = problem.expected(format!(
                "water that an aquarium may have, {}: {} cells say something else; is the unit right?",
                cell::water_range(),
                left_out.failed
            ));
        }
        return Err(problems.add(problem));
    }
    let mut assumptions = stamps.assumptions;
    if sorted > 0 {
        assumptions.push(format!(
            "rows of the log stood out of order and were sorted by their time: it went back {}",
            if sorted == 1 {
                "once".to_owned()
            } else {
                format!("{sorted} times")
            }
        ));
    }
    assumptions.extend(columns.assumptions);
    Ok(Log {
        name: source.name.clone(),
        step_k: clean::step_k(&rows),
        rows,
        heater: columns.heater_log,
        start_date: stamps.start_date,
        clock_changes: stamps.clock_changes,
        interval_ms,
        left_out,
        assumptions,
    })
}

/// What stands between the cells, by the line with their names.
fn separator(header: &str) -> char {
    let count = |separator: char| header.matches(separator).count();
    if count(';') > 0 {
        ';'
    } else if count('\t') > count(',') {
        '\t'
    } else {
        ','
    }
}

impl LogColumn {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Time,
        Self::Date,
        Self::Water,
        Self::Room,
        Self::Heater,
        Self::Humidity,
        Self::Event,
    ];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Time => "time",
            Self::Date => "date",
            Self::Water => "water",
            Self::Room => "room",
            Self::Heater => "heater",
            Self::Humidity => "humidity",
            Self::Event => "event",
        }
    }
}
