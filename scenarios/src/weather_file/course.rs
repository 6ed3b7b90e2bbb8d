//! From the rows of a file to the courses of a run: rows in order without gaps, cut to the run's time.

use std::sync::Arc;

use tepid_sim::time::{MINUTE, Millis};

use super::calendar::{Calendar, DAY_MIN, midnight, month_and_day, shown};
use super::{Row, Rows, Span, Start, Weather};
use crate::problem::{Problem, Problems, Reported};
use crate::source::{Place, Source};

/// Kept past the end of a run, min: exposures look so far.
const PAST_END_MIN: i64 = 3 * DAY_MIN;
/// Rows this close together leave no gap, whatever the file's own step, min.
const NO_GAP_MIN: i64 = 60;

/// Rows with their times in order.
struct Ordered {
    rows: Vec<Row>,
    /// Minutes of each row since a fixed moment, rising.
    minutes: Vec<i64>,
    /// The usual time between two rows, min.
    step_min: i64,
    /// The file begins again after this, min.
    year_min: Option<i64>,
}

pub(super) fn cut(
    source: &Arc<Source>,
    rows: Rows,
    span: &Span,
    problems: &Problems,
) -> Result<Weather, Reported> {
    let sun_before_stamp = rows.sun_before_stamp;
    let calendar = rows.calendar;
    let ordered = in_order(source, rows, problems)?;
    let has_sun = sun_is_whole(source, &ordered.rows, problems)?;
    let zero = zero_min(source, &ordered, calendar, span.start, problems)?;
    let duration_min = span.duration_ms / MINUTE;
    let (first, last) = (ordered.first(), ordered.last());
    if ordered.year_min.is_none() {
        let slack = ordered.step_min.max(NO_GAP_MIN);
        if first > zero + slack || last < zero + duration_min - slack {
            let message = format!(
                "{} reaches from {} to {}, the run from {} to {}",
                source.name,
                shown(first),
                shown(last),
                shown(zero),
                shown(zero + duration_min)
            );
            let row = if first > zero + slack {
                ordered.rows.first()
            } else {
                ordered.rows.last()
            };
            let problem = Problem::new("weather-short", &place(source, row), message)
                .label("not enough weather")
                .expected("a file that covers the run, a shorter run, or another `from`");
            return Err(problems.add(problem));
        }
    }
    let mut assumptions = Vec::new();
    let begins_min = zero - span.warm_up_ms / MINUTE;
    if ordered.year_min.is_none() && first > begins_min + ordered.step_min.max(NO_GAP_MIN) {
        assumptions.push(format!(
            "weather of the warm-up before {} assumed as it is then",
            shown(first)
        ));
    }
    let mut weather = Weather {
        temperature: Vec::new(),
        humidity: Vec::new(),
        sun: Vec::new(),
        assumptions,
    };
    let window = begins_min - 2 * ordered.step_min..=zero + duration_min + PAST_END_MIN + ordered.step_min;
    let sun_shift_ms = if sun_before_stamp {
        ordered.step_min * MINUTE / 2
    } else {
        0
    };
    for (minute, row) in ordered.within(window) {
        let at: Millis = (minute - zero) * MINUTE;
        weather.temperature.push((at, row.temp_c));
        if let Some(relative_frac) = row.relative_frac {
            weather.humidity.push((at, relative_frac));
        }
        if let Some(sun) = row.sun_w_per_m2.filter(|_| has_sun) {
            weather.sun.push((at - sun_shift_ms, sun));
        }
    }
    Ok(weather)
}

impl Ordered {
    fn first(&self) -> i64 {
        self.minutes.first().copied().unwrap_or(0)
    }

    fn last(&self) -> i64 {
        self.minutes.last().copied().unwrap_or(0)
    }

    /// Rows of a stretch of time, over again where the file is a whole year.
    fn within(&self, window: std::ops::RangeInclusive<i64>) -> impl Iterator<Item = (i64, &Row)> {
        let turns = match self.year_min {
            None => 0..=0,
            Some(year) => {
                (window.start() - self.last()).div_euclid(year)
                    ..=(window.end() - self.first()).div_euclid(year)
            }
        };
        let year = self.year_min.unwrap_or(0);
        turns
            .flat_map(move |turn| {
                self.minutes
                    .iter()
                    .map(move |minute| minute + turn * year)
                    .zip(&self.rows)
            })
            .filter(move |(minute, _)| window.contains(minute))
    }
}

/// Times that rise without gaps.
fn in_order(source: &Arc<Source>, rows: Rows, problems: &Problems) -> Result<Ordered, Reported> {
    let Rows { rows, calendar, .. } = rows;
    if rows.len() < 2 {
        let place = place(source, rows.first());
        let message = format!("{} has fewer than two rows of weather", source.name);
        return Err(
            problems.add(Problem::new("weather-empty", &place, message).expected("a row for every hour"))
        );
    }
    let year = calendar.year_min();
    let apart = |pair: &[Row]| {
        let apart = calendar.minutes(pair[1].stamp) - calendar.minutes(pair[0].stamp);
        year.map_or(apart, |year| apart.rem_euclid(year))
    };
    let steps: Vec<i64> = rows.windows(2).map(apart).collect();
    let mut sorted = steps.clone();
    sorted.sort_unstable();
    let step_min = sorted[sorted.len() / 2];
    // One and a half of the usual step: a single row that is left out is a gap.
    let longest = (step_min + step_min / 2).max(NO_GAP_MIN);
    // Where years mean nothing, a step back looks like one of nearly a year.
    let is_back = |step: &i64| *step <= 0 || year.is_some_and(|year| 2 * *step > year);
    // A step back is told first: rows that changed places leave gaps as well.
    let back = steps.iter().position(is_back);
    if let Some(at) = back.or_else(|| steps.iter().position(|step| *step > longest)) {
        let (before, row) = (&rows[at], &rows[at + 1]);
        let minutes = [before, row].map(|row| shown(calendar.minutes(row.stamp)));
        let [before, after] = minutes;
        let (message, label) = if back.is_some() {
            (format!("{after} does not come after {before}"), "not in order")
        } else {
            (format!("rows are missing between {before} and {after}"), "a gap")
        };
        let problem = Problem::new("weather-gap", &place(source, Some(row)), message)
            .label(label)
            .expected(format!("rows in order of time, at most {longest} min apart"));
        return Err(problems.add(problem));
    }
    let mut minute = calendar.minutes(rows[0].stamp);
    let mut minutes = vec![minute];
    for step in &steps {
        minute += step;
        minutes.push(minute);
    }
    let covered = minute - minutes[0] + step_min;
    if let Some(year) = year
        && covered > year
    {
        // A second year would stand where the first begins again.
        let message = format!("{} is longer than a year", source.name);
        let problem = Problem::new("weather-gap", &place(source, rows.last()), message)
            .label("the year has ended before")
            .expected("at most one year; years mean nothing in this format");
        return Err(problems.add(problem));
    }
    Ok(Ordered {
        rows,
        minutes,
        step_min,
        year_min: year.filter(|year| covered == *year),
    })
}

/// Whether the file has the sun: in every row or in none.
fn sun_is_whole(source: &Arc<Source>, rows: &[Row], problems: &Problems) -> Result<bool, Reported> {
    if rows.iter().all(|row| row.sun_w_per_m2.is_none()) {
        return Ok(false);
    }
    match rows.iter().find(|row| row.sun_w_per_m2.is_none()) {
        None => Ok(true),
        Some(row) => {
            let place = place(source, Some(row));
            let problem = Problem::new("weather-row", &place, "this row has no sun, others have")
                .label("the sun is missing")
                .expected("the sun in every row, or in none");
            Err(problems.add(problem))
        }
    }
}

/// 00:00 of the run's first day in the file's minutes.
fn zero_min(
    source: &Arc<Source>,
    ordered: &Ordered,
    calendar: Calendar,
    start: Start,
    problems: &Problems,
) -> Result<i64, Reported> {
    let (month, day) = match start {
        Start::DayOfYear(day) => month_and_day(day),
        Start::Date(date) => (i64::from(date.month), i64::from(date.day)),
    };
    let (first, last) = (ordered.first(), ordered.last());
    let years: Vec<i64> = match calendar {
        // The run's own date if the file has it, else the same day of a year that it has.
        Calendar::Dated => {
            let own = match start {
                Start::Date(date) => Some(i64::from(date.year)),
                Start::DayOfYear(_) => None,
            };
            let of = |row: Option<&Row>| row.map_or(0, |row| row.stamp.year);
            own.into_iter()
                .chain(of(ordered.rows.first())..=of(ordered.rows.last()) + 1)
                .collect()
        }
        // The year that `minutes` puts every stamp in, and the next for files across the turn of the year.
        Calendar::TypicalYear { leap } => {
            let year = if leap { 2000 } else { 2001 };
            vec![year, year + 1]
        }
    };
    let slack = ordered.step_min.max(NO_GAP_MIN);
    let covered = |zero: &i64| ordered.year_min.is_some() || (first - slack..last).contains(zero);
    years
        .into_iter()
        .map(|year| midnight(year, month, day))
        .find(covered)
        .ok_or_else(|| {
            let message = format!(
                "{} reaches from {} to {}; the run begins on {month:02}-{day:02}",
                source.name,
                shown(first),
                shown(last)
            );
            let problem = Problem::new("weather-short", &place(source, ordered.rows.first()), message)
                .label("the file begins here")
                .expected("a first day that the file holds: `from`, or `start_date`");
            problems.add(problem)
        })
}

fn place(source: &Arc<Source>, row: Option<&Row>) -> Place {
    Place::new(source, row.map_or(0..0, |row| row.start..row.end))
}
