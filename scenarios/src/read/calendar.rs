//! Days of the calendar, and moments of a run by their date.

use tepid_sim::quantity::{parse_moment, parse_time_of_day};
use tepid_sim::scenario::CalendarDate;
use tepid_sim::time::{DAY, Millis};

use crate::node::{Node, Value};
use crate::problem::{Problem, Reported};
use crate::reader::Reader;
use crate::weather_file::days_since_year_1;

/// The date of day 1, if the scenario states one that exists.
pub(super) type StartDate = Result<Option<CalendarDate>, Reported>;

/// "2025-01-06" as a day that exists.
pub(super) fn date(text: &str) -> Option<CalendarDate> {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts[..] else {
        return None;
    };
    let plain = |part: &str, length: usize| part.len() == length && part.bytes().all(|b| b.is_ascii_digit());
    if !(plain(year, 4) && plain(month, 2) && plain(day, 2)) {
        return None;
    }
    let date = CalendarDate {
        year: year.parse().ok()?,
        month: month.parse().ok()?,
        day: day.parse().ok()?,
    };
    let leap = (date.year % 4 == 0 && date.year % 100 != 0) || date.year % 400 == 0;
    let last = match date.month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => return None,
    };
    (1..=last).contains(&date.day).then_some(date)
}

/// A moment of the run, if a field states one: "day 2 18:00", "42 h", or a date where day 1 has one.
pub(super) fn optional_moment(
    reader: &Reader<'_>,
    name: &str,
    start: StartDate,
) -> Result<Option<Millis>, Reported> {
    let Some(node) = reader.node(name) else {
        return Ok(None);
    };
    match dated(reader, node, start)? {
        Some(moment) => Ok(Some(moment)),
        None => reader.optional_moment(name),
    }
}

/// A moment of the run that a field must state.
pub(super) fn moment(reader: &Reader<'_>, name: &str, start: StartDate) -> Result<Millis, Reported> {
    optional_moment(reader, name, start)?.ok_or_else(|| reader.missing(name))
}

/// A moment in a text of which it is a part.
pub(super) fn moment_in(
    reader: &Reader<'_>,
    node: &Node,
    text: &str,
    start: StartDate,
) -> Result<Option<Millis>, Reported> {
    match date_and_time(text) {
        Some((date, time_ms)) => since_start(reader, node, text, date, time_ms, start).map(Some),
        None => Ok(parse_moment(text).ok()),
    }
}

/// The moment of a value that is a date; `None`: it is something else.
pub(super) fn dated(reader: &Reader<'_>, node: &Node, start: StartDate) -> Result<Option<Millis>, Reported> {
    let (Value::Date(text) | Value::Text { text, .. }) = &node.value else {
        return Ok(None);
    };
    match date_and_time(text) {
        Some((date, time_ms)) => since_start(reader, node, text, date, time_ms, start).map(Some),
        None => Ok(None),
    }
}

/// "2027-01-14", "2027-01-14 08:00", "2027-01-14T08:00:00": a day that exists, and the time of that day.
fn date_and_time(text: &str) -> Option<(CalendarDate, Millis)> {
    let text = text.trim();
    let (day, rest) = text.split_at_checked(10)?;
    let clock = rest.strip_prefix(['T', 't', ' ']).map(str::trim);
    let time_ms = match (rest, clock) {
        ("", _) => 0,
        (_, Some(clock)) => parse_time_of_day(clock).ok()?,
        (_, None) => return None,
    };
    Some((date(day)?, time_ms))
}

fn since_start(
    reader: &Reader<'_>,
    node: &Node,
    text: &str,
    date: CalendarDate,
    time_ms: Millis,
    start: StartDate,
) -> Result<Millis, Reported> {
    let text = text.trim();
    let Some(start) = start? else {
        let problem = Problem::new(
            "no-start-date",
            &node.place,
            format!("`{text}` is a date, but nothing says on which date day 1 is"),
        )
        .label("a date, but no calendar")
        .found(text)
        .expected("a `start_date` at the top of the file, or a moment such as \"day 2 18:00\"")
        .fix(format!("start_date = \"{}\"", written(date)));
        return Err(reader.report(problem));
    };
    let moment_ms = (day_number(date) - day_number(start)) * DAY + time_ms;
    if moment_ms < 0 {
        let problem = Problem::new(
            "out-of-range",
            &node.place,
            format!("`{text}` is before day 1, {}", written(start)),
        )
        .label("too early")
        .found(text)
        .expected("a date from `start_date` on");
        return Err(reader.report(problem));
    }
    Ok(moment_ms)
}

fn day_number(date: CalendarDate) -> i64 {
    days_since_year_1(i64::from(date.year), i64::from(date.month), i64::from(date.day))
}

fn written(date: CalendarDate) -> String {
    format!("{:04}-{:02}-{:02}", date.year, date.month, date.day)
}
