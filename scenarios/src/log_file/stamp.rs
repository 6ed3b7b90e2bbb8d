//! Stamps: from what loggers write to milliseconds after 00:00 of the first day.

use jiff::civil::{Date, DateTime, Time};
use jiff::tz::{AmbiguousOffset, TimeZone};
use jiff::{Span, Timestamp, tz};
use tepid_sim::quantity::Unit;
use tepid_sim::scenario::CalendarDate;
use tepid_sim::time::{HOUR, MINUTE, Millis};

use super::columns::Columns;
use super::{DateOrder, LogOptions, MOST_BAD_ROWS, cell};
use crate::mistakes::shortened;
use crate::nearest::nearest;
use crate::problem::{Problem, Problems, Reported};
use crate::source::{Place, Source};
use crate::weather_file::row::Line;

/// What a stamp says.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stamp {
    /// An instant, ms of the Unix epoch, and the offset it was written with, s.
    Instant(i64, Option<i32>),
    /// A local date and time.
    Local(DateTime),
    /// Time since the start, ms.
    Since(Millis),
}

/// All stamps of a log.
pub(super) struct Stamps {
    /// ms after 00:00 of the first day, row by row.
    pub at_ms: Vec<Millis>,
    pub start_date: Option<CalendarDate>,
    /// From when on, ms, the clock shows so many seconds more than at the first row.
    pub clock_changes: Vec<(Millis, i32)>,
    pub assumptions: Vec<String>,
}

/// Parts of a date as written, before their order is known.
enum Parts {
    Known(Date),
    /// Two figures whose order is open, and the year.
    Open(i8, i8, i16),
}

impl Stamps {
    pub fn of(
        body: &[Line<'_>],
        columns: &Columns,
        options: &LogOptions,
        problems: &Problems,
    ) -> Result<Self, Reported> {
        let zone = options
            .time_zone
            .as_ref()
            .map(|name| zone(name, problems))
            .transpose()?;
        let order = date_order(body, columns, options, problems)?;
        let mut stamps = Vec::with_capacity(body.len());
        let mut understood = Vec::with_capacity(body.len());
        let mut bad = 0;
        for line in body {
            match stamp(line, columns, order, columns.since_start) {
                Some(stamp) => {
                    stamps.push(stamp);
                    understood.push(line);
                }
                None => {
                    let found = line.text(columns.time);
                    let message = format!("`{}` is no time that is understood", shortened(found));
                    problems.add(
                        Problem::new("log-time", &line.place_of(columns.time), message)
                            .label("not understood")
                            .found(shortened(found))
                            .expected(
                                "a stamp such as 2026-01-06 13:05, 06.01.2026 13:05:00, 2026-01-06T13:05:00+01:00, seconds since 1970, or with `time [min]` as the column's name the time since the start",
                            ),
                    );
                    bad += 1;
                }
            }
            if bad >= MOST_BAD_ROWS {
                break;
            }
        }
        // Those that are understood may stand out of order all the same: that is told along.
        let newest_first = stamps.windows(2).all(later_first) && stamps.len() > 1;
        if newest_first {
            stamps.reverse();
            understood.reverse();
        }
        let mut resolved = Self::resolved(&understood, &stamps, zone.as_ref(), columns, problems)?;
        if bad > 0 {
            return Err(Reported);
        }
        if newest_first {
            resolved.at_ms.reverse();
        }
        Ok(resolved)
    }

    fn resolved(
        body: &[&Line<'_>],
        stamps: &[Stamp],
        zone: Option<&TimeZone>,
        columns: &Columns,
        problems: &Problems,
    ) -> Result<Self, Reported> {
        let mut assumptions = Vec::new();
        let mut at_ms: Vec<Millis> = Vec::with_capacity(stamps.len());
        let mut start_date = None;
        let mut first_midnight_ms = 0;
        let mut offsets: Vec<(Millis, i32)> = Vec::new();
        let mut backwards = Vec::new();
        for (line, stamp) in body.iter().zip(stamps) {
            let (instant_ms, local) = match (*stamp, zone) {
                (Stamp::Since(since_ms), _) => (since_ms, None),
                (Stamp::Instant(ms, offset), zone) => {
                    let local = local_of(ms, offset, zone);
                    (ms, local)
                }
                (Stamp::Local(local), None) => (naive_ms(local), Some((local, 0))),
                (Stamp::Local(local), Some(zone)) => {
                    let before_ms = at_ms.last().map(|ms| ms + first_midnight_ms);
                    let (ms, offset) = in_zone(local, zone, before_ms).ok_or(Reported)?;
                    (ms, Some((local, offset)))
                }
            };
            if at_ms.is_empty()
                && let Some((local, offset)) = local
            {
                first_midnight_ms =
                    naive_ms(local.date().to_datetime(Time::midnight())) - i64::from(offset) * 1000;
                start_date = Some(CalendarDate {
                    year: i32::from(local.year()),
                    month: local.month().unsigned_abs(),
                    day: local.day().unsigned_abs(),
                });
            }
            let at = instant_ms - first_midnight_ms;
            if let Some((_, offset)) = local
                && offsets.last().map(|(_, last)| *last) != Some(offset)
            {
                offsets.push((at, offset));
            }
            // A local clock without a zone can only go forward.
            if zone.is_none()
                && matches!(stamp, Stamp::Local(_))
                && let Some(&last) = at_ms.last()
                && at < last
            {
                backwards.push((*line, last - at));
            }
            at_ms.push(at);
        }
        if !backwards.is_empty() {
            let usual_ms = usual_step_ms(&at_ms);
            for (line, back_ms) in backwards.into_iter().take(MOST_BAD_ROWS) {
                goes_back(line, columns, back_ms, usual_ms, problems);
            }
            return Err(Reported);
        }
        if zone.is_none() && stamps.iter().any(|stamp| matches!(stamp, Stamp::Local(_))) {
            let usual_ms = usual_step_ms(&at_ms);
            let forward = at_ms
                .windows(2)
                .position(|pair| (pair[1] - pair[0] - usual_ms - HOUR).abs() * 2 <= usual_ms);
            let missing = forward
                .and_then(|at| body.get(at + 1))
                .map_or_else(String::new, |line| {
                    format!(
                        "; an hour is missing before line {}: was it put forward there?",
                        line.place().line_and_column().0
                    )
                });
            assumptions.push(format!(
                "times in the log are those of one clock that was never changed (--time-zone says which changes there were){missing}"
            ));
        }
        if zone.is_none()
            && stamps
                .iter()
                .any(|stamp| matches!(stamp, Stamp::Instant(_, None)))
        {
            assumptions.push(
                "times in the log are counted in UTC, and so are the daily hours of lamps (--time-zone says where the tank stands)"
                    .to_owned(),
            );
        }
        if offsets.len() > 1 {
            assumptions.push(format!(
                "the clock was changed {} on the way; daily hours keep to the clock of the first day",
                if offsets.len() == 2 {
                    "once".to_owned()
                } else {
                    format!("{} times", offsets.len() - 1)
                }
            ));
        }
        let first_offset = offsets.first().map_or(0, |(_, offset)| *offset);
        let clock_changes = offsets.iter().map(|(at, offset)| (*at, offset - first_offset));
        Ok(Self {
            clock_changes: clock_changes.skip(1).collect(),
            at_ms,
            start_date,
            assumptions,
        })
    }
}

/// Usual time from one row to the next where it goes on, ms: the median.
fn usual_step_ms(at_ms: &[Millis]) -> Millis {
    let mut steps: Vec<Millis> = at_ms
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .filter(|step| *step > 0)
        .collect();
    steps.sort_unstable();
    steps.get(steps.len() / 2).copied().unwrap_or(0)
}

/// A local clock that goes back: one that was set back shows the same hour, or half of one, again; anything else is rows out of order.
fn goes_back(line: &Line<'_>, columns: &Columns, back_ms: Millis, usual_ms: Millis, problems: &Problems) {
    let set_back = [HOUR, HOUR / 2]
        .iter()
        .any(|by_ms| (back_ms + usual_ms - by_ms).abs() <= usual_ms);
    let back = if back_ms < MINUTE {
        format!("{} s", back_ms / 1000)
    } else {
        format!("{} min", back_ms / MINUTE)
    };
    let (why, expected) = if set_back {
        (
            "a clock that was set back, or rows out of order?",
            "the time zone that the clock shows, such as --time-zone Europe/Berlin, or stamps with their offset; rows that are out of order must be sorted by their time",
        )
    } else {
        (
            "rows out of order?",
            "rows in order of time, oldest or newest first: sort them by their stamps",
        )
    };
    problems.add(
        Problem::new(
            "log-time",
            &line.place_of(columns.time),
            format!("the time goes back by {back}: {why}"),
        )
        .label("earlier than the row before")
        .found(shortened(line.text(columns.time)))
        .expected(expected),
    );
}

/// The date so many days on; `None` beyond the calendar.
#[must_use]
pub fn later(date: CalendarDate, days: i64) -> Option<CalendarDate> {
    let date = Date::new(
        i16::try_from(date.year).ok()?,
        i8::try_from(date.month).ok()?,
        i8::try_from(date.day).ok()?,
    );
    let on = date.ok()?.checked_add(Span::new().try_days(days).ok()?).ok()?;
    Some(CalendarDate {
        year: i32::from(on.year()),
        month: on.month().unsigned_abs(),
        day: on.day().unsigned_abs(),
    })
}

/// Both rows are local or absolute, and the second is earlier.
fn later_first(pair: &[Stamp]) -> bool {
    match (pair[0], pair[1]) {
        (Stamp::Local(first), Stamp::Local(second)) => second < first,
        (Stamp::Instant(first, _), Stamp::Instant(second, _)) => second < first,
        (Stamp::Since(first), Stamp::Since(second)) => second < first,
        _ => false,
    }
}

fn zone(name: &str, problems: &Problems) -> Result<TimeZone, Reported> {
    tz::db().get(name).map_err(|_| {
        let source = Source::of_command_line("--time-zone", name);
        let known: Vec<String> = tz::db().available().map(|name| name.to_string()).collect();
        let place = Place::new(&source, 0..name.len());
        problems.add(
            Problem::new(
                "time-zone",
                &place,
                format!("no time zone is called `{}`", shortened(name)),
            )
            .nearest(nearest(name, known.iter().map(String::as_str)))
            .expected("a name of the time zone database, such as Europe/Berlin or America/Chicago"),
        )
    })
}

/// An instant as the clock on the wall shows it, with its offset, s.
fn local_of(ms: i64, written: Option<i32>, zone: Option<&TimeZone>) -> Option<(DateTime, i32)> {
    let at = Timestamp::from_millisecond(ms).ok()?;
    let offset = match (zone, written) {
        (Some(zone), _) => zone.to_offset(at),
        (None, Some(seconds)) => tz::Offset::from_seconds(seconds).ok()?,
        (None, None) => tz::Offset::UTC,
    };
    Some((offset.to_datetime(at), offset.seconds()))
}

/// Local time in a zone as an instant, ms, and its offset, s: in the hour that comes twice the first that is not before the row before.
fn in_zone(local: DateTime, zone: &TimeZone, before_ms: Option<i64>) -> Option<(i64, i32)> {
    let with = |offset: tz::Offset| {
        (
            naive_ms(local) - i64::from(offset.seconds()) * 1000,
            offset.seconds(),
        )
    };
    Some(match zone.to_ambiguous_timestamp(local).offset() {
        AmbiguousOffset::Unambiguous { offset } => with(offset),
        // The clock never showed this: taken as if it had not been changed yet.
        AmbiguousOffset::Gap { before, .. } => with(before),
        AmbiguousOffset::Fold { before, after } => {
            let (first, second) = (with(before), with(after));
            match before_ms {
                Some(last) if first.0 < last => second,
                _ => first,
            }
        }
    })
}

/// ms from 1970-01-01 00:00 by the same clock.
fn naive_ms(local: DateTime) -> i64 {
    tz::Offset::UTC
        .to_timestamp(local)
        .map_or(0, |at| at.as_millisecond())
}

fn stamp(line: &Line<'_>, columns: &Columns, order: Option<DateOrder>, since: Option<Unit>) -> Option<Stamp> {
    let text = line.text(columns.time);
    if let Some(unit) = since {
        let seconds = unit.to_inside(cell::number(text)?);
        return Some(Stamp::Since((seconds * 1000.0).round() as Millis));
    }
    if let Some(date) = columns.date {
        let day = in_order(parts(line.text(date))?, order)?;
        return Some(Stamp::Local(day.to_datetime(time_of_day(text)?)));
    }
    let digits = text.bytes().filter(u8::is_ascii_digit).count();
    if text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') && digits >= 9 {
        let number: f64 = text.parse().ok()?;
        // Seconds until the year 5138, milliseconds from 1973 on.
        let ms = if number < 1e11 { number * 1000.0 } else { number };
        return Some(Stamp::Instant(ms.round() as i64, None));
    }
    if let Ok(at) = text.parse::<Timestamp>() {
        return Some(Stamp::Instant(at.as_millisecond(), offset_of(text)));
    }
    let (date, time) = text
        .split_once(['T', ' '])
        .map(|(date, time)| (date.trim_end_matches(','), time))?;
    let day = in_order(parts(date)?, order)?;
    Some(Stamp::Local(day.to_datetime(time_of_day(time)?)))
}

/// The offset at the end of a stamp, s: "+01:00"; "Z" says that the local clock is not known.
fn offset_of(text: &str) -> Option<i32> {
    let at = text.rfind(['+', '-']).filter(|at| *at > "2026-01-06".len())?;
    let (sign, figures) = text[at..].split_at(1);
    let mut parts = figures.split(':').map(|part| part.parse::<i32>().ok());
    let hours = parts.next()??;
    let minutes = parts.next().unwrap_or(Some(0))?;
    let seconds = 3600 * hours + 60 * minutes;
    Some(if sign == "-" { -seconds } else { seconds })
}

fn parts(text: &str) -> Option<Parts> {
    let separator = text.trim().chars().find(|c| !c.is_ascii_digit())?;
    let figures: Vec<&str> = text.trim().split(separator).collect();
    let [first, second, third] = figures.as_slice() else {
        return None;
    };
    let number = |text: &str| text.parse::<i16>().ok();
    let small = |text: &str| text.parse::<i8>().ok();
    if first.len() == 4 {
        return Date::new(number(first)?, small(second)?, small(third)?)
            .ok()
            .map(Parts::Known);
    }
    if third.len() != 4 {
        return None;
    }
    // Days come first wherever dots stand between.
    if separator == '.' {
        return Date::new(number(third)?, small(second)?, small(first)?)
            .ok()
            .map(Parts::Known);
    }
    Some(Parts::Open(small(first)?, small(second)?, number(third)?))
}

fn in_order(parts: Parts, order: Option<DateOrder>) -> Option<Date> {
    match (parts, order) {
        (Parts::Known(date), _) => Some(date),
        (Parts::Open(first, second, year), Some(DateOrder::MonthFirst)) => {
            Date::new(year, first, second).ok()
        }
        (Parts::Open(first, second, year), _) => Date::new(year, second, first).ok(),
    }
}

/// Which figure of a date comes first, where any date leaves it open: told by the option, or by a figure that is no month.
fn date_order(
    body: &[Line<'_>],
    columns: &Columns,
    options: &LogOptions,
    problems: &Problems,
) -> Result<Option<DateOrder>, Reported> {
    if options.date_order.is_some() || columns.since_start.is_some() {
        return Ok(options.date_order);
    }
    let column = columns.date.unwrap_or(columns.time);
    let mut open = None;
    for line in body {
        let date = line.text(column).split([' ', 'T']).next().unwrap_or_default();
        match parts(date.trim_end_matches(',')) {
            Some(Parts::Open(first, _, _)) if first > 12 => return Ok(Some(DateOrder::DayFirst)),
            Some(Parts::Open(_, second, _)) if second > 12 => return Ok(Some(DateOrder::MonthFirst)),
            Some(Parts::Open(..)) => {
                open.get_or_insert(line);
            }
            _ => {}
        }
    }
    match open {
        None => Ok(None),
        Some(line) => {
            let found = line.text(column);
            let message = format!(
                "`{}`: day or month first? No date of the log tells",
                shortened(found)
            );
            Err(problems.add(
                Problem::new("log-time", &line.place_of(column), message)
                    .label("which comes first?")
                    .found(shortened(found))
                    .expected("--date-order day-first or --date-order month-first"),
            ))
        }
    }
}

/// "13:05", "13:05:30.5", "1:05 pm".
fn time_of_day(text: &str) -> Option<Time> {
    let lower = text.trim().to_lowercase();
    let (clock, afternoon) = match lower.strip_suffix("pm").or_else(|| lower.strip_suffix("p.m.")) {
        Some(clock) => (clock.trim(), Some(true)),
        None => match lower.strip_suffix("am").or_else(|| lower.strip_suffix("a.m.")) {
            Some(clock) => (clock.trim(), Some(false)),
            None => (lower.as_str(), None),
        },
    };
    let mut figures = clock.split(':');
    let hour: i8 = figures.next()?.parse().ok()?;
    let minute: i8 = figures.next()?.parse().ok()?;
    let second: f64 = figures
        .next()
        .map_or(Some(0.0), |text| text.replace(',', ".").parse().ok())?;
    if figures.next().is_some() || !(0.0..60.0).contains(&second) {
        return None;
    }
    let hour = match afternoon {
        None => hour,
        Some(_) if !(1..=12).contains(&hour) => return None,
        Some(true) => hour % 12 + 12,
        Some(false) => hour % 12,
    };
    let nanoseconds = ((second - second.floor()) * 1e9) as i32;
    Time::new(hour, minute, second.floor() as i8, nanoseconds).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hour_that_comes_twice_is_told_apart_by_the_order_of_rows() {
        let zone = tz::db().get("Europe/Berlin").unwrap();
        let half_past_two = jiff::civil::date(2026, 10, 25).at(2, 30, 0, 0);
        let (first, _) = in_zone(half_past_two, &zone, None).unwrap();
        let (second, _) = in_zone(half_past_two, &zone, Some(first + 10 * MINUTE)).unwrap();
        assert_eq!(second - first, 60 * MINUTE);
    }

    #[test]
    fn noon_and_midnight_are_told_apart() {
        assert_eq!(time_of_day("12:05 am"), Time::new(0, 5, 0, 0).ok());
        assert_eq!(time_of_day("12:05 PM"), Time::new(12, 5, 0, 0).ok());
        assert_eq!(time_of_day("13:05 pm"), None);
    }
}
