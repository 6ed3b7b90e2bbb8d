//! Times of day ("18:30"), moments of a run ("day 2 18:00", "42 h") and days of the year ("25 July").

use super::{Kind, QuantityError, QuantityProblem, parse_millis};
use crate::time::{DAY, HOUR, MINUTE, Millis, SECOND};

const MONTHS: [(&str, u32); 12] = [
    ("january", 31),
    ("february", 28),
    ("march", 31),
    ("april", 30),
    ("may", 31),
    ("june", 30),
    ("july", 31),
    ("august", 31),
    ("september", 30),
    ("october", 31),
    ("november", 30),
    ("december", 31),
];

/// Reads a time of day, "18:30" or "18:30:15" on the 24-hour clock; returns ms after midnight.
///
/// # Errors
/// [`QuantityProblem::NotATimeOfDay`].
pub fn parse_time_of_day(text: &str) -> Result<Millis, QuantityError> {
    let start = text.len() - text.trim_start().len();
    let found = text.trim();
    clock(found).ok_or_else(|| {
        let problem = QuantityProblem::NotATimeOfDay {
            found: found.to_owned(),
        };
        QuantityError::new(Kind::Time, start..start + found.len(), problem)
    })
}

fn clock(text: &str) -> Option<Millis> {
    let parts: Vec<&str> = text.split(':').collect();
    if !(2..=3).contains(&parts.len()) {
        return None;
    }
    let mut limits = [(24, HOUR), (60, MINUTE), (60, SECOND)].into_iter();
    parts.into_iter().try_fold(0, |sum, part| {
        let (limit, unit) = limits.next()?;
        let plain = (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        let number: Millis = part.parse().ok().filter(|number| plain && *number < limit)?;
        Some(sum + number * unit)
    })
}

/// Reads a moment of the run: "day 2 18:00", "day 2" (its midnight) or a time since the start such as "42 h".
/// Day 1 is the first scored day. Returns ms from time zero on.
///
/// # Errors
/// [`QuantityProblem::NotAMoment`], or what [`parse_millis`] finds.
pub fn parse_moment(text: &str) -> Result<Millis, QuantityError> {
    let start = text.len() - text.trim_start().len();
    let found = text.trim();
    let Some(after_day) = found.strip_prefix("day ") else {
        return parse_millis(text);
    };
    let (day_text, clock_text) = after_day
        .trim()
        .split_once(' ')
        .unwrap_or((after_day.trim(), "00:00"));
    let day = day_text.parse::<u16>().ok().filter(|day| *day >= 1);
    match (day, clock(clock_text.trim())) {
        (Some(day), Some(time)) => Ok((Millis::from(day) - 1) * DAY + time),
        _ => {
            let problem = QuantityProblem::NotAMoment {
                found: found.to_owned(),
            };
            Err(QuantityError::new(
                Kind::Time,
                start..start + found.len(),
                problem,
            ))
        }
    }
}

/// Reads a day of the year, "25 July", "25 Jul", or month and day as in a date, "07-25"; returns its number in a year
/// of 365 days, 0 = 1 January.
///
/// # Errors
/// [`QuantityProblem::NotADay`].
pub fn parse_day_of_year(text: &str) -> Result<u32, QuantityError> {
    let start = text.len() - text.trim_start().len();
    let found = text.trim();
    day_of_year(found).ok_or_else(|| {
        let problem = QuantityProblem::NotADay {
            found: found.to_owned(),
        };
        QuantityError::new(Kind::Time, start..start + found.len(), problem)
    })
}

fn day_of_year(text: &str) -> Option<u32> {
    let (day, position) = match text.split_once('-') {
        Some((month, day)) => {
            let two_digits = |part: &str| part.len() == 2 && part.bytes().all(|b| b.is_ascii_digit());
            if !(two_digits(month) && two_digits(day)) {
                return None;
            }
            let position = month.parse::<usize>().ok()?.checked_sub(1)?;
            (day.parse::<u32>().ok()?, position)
        }
        None => {
            let (day, month) = text.split_once(' ')?;
            let month = month.trim().to_ascii_lowercase();
            let position = MONTHS
                .iter()
                .position(|(name, _)| *name == month || (month.len() == 3 && name.starts_with(&month)))?;
            (day.parse().ok()?, position)
        }
    };
    let (_, length) = MONTHS.get(position)?;
    let before: u32 = MONTHS[..position].iter().map(|(_, days)| days).sum();
    (1..=*length).contains(&day).then(|| before + day - 1)
}

/// Prints a time of day, "18:30" (with seconds only where there are some).
#[must_use]
pub fn print_time_of_day(time_ms: Millis) -> String {
    let time = time_ms.rem_euclid(DAY);
    let (hours, minutes, seconds) = (time / HOUR, time % HOUR / MINUTE, time % MINUTE / SECOND);
    if seconds == 0 {
        format!("{hours:02}:{minutes:02}")
    } else {
        format!("{hours:02}:{minutes:02}:{seconds:02}")
    }
}
