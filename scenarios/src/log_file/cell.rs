//! Cells: numbers with points or commas, states, words for "no reading".

use std::ops::RangeInclusive;

use tepid_sim::quantity::{Kind, parse};

use super::columns::Measured;
use super::{LeftOut, LogColumn};
use crate::mistakes::shortened;
use crate::problem::{Problem, Problems, Reported};
use crate::weather_file::row::Line;

/// Water that an aquarium may have, °C: outside, a sensor failed (many say 85 or −127 then).
const WATER_C: RangeInclusive<f64> = -2.0..=50.0;

/// That, in words.
pub(super) fn water_range() -> String {
    format!("{:.0} to {:.0} °C", WATER_C.start(), WATER_C.end())
}

/// Air that a room may have, °C.
const ROOM_C: RangeInclusive<f64> = -30.0..=55.0;

/// Words of loggers for a reading that is not there; so are cells of nothing but dashes, question marks and the like.
const MISSING: [&str; 20] = [
    "nan",
    "inf",
    "-inf",
    "null",
    "none",
    "na",
    "n/a",
    "unavailable",
    "unknown",
    "error",
    "err",
    "fail",
    "failed",
    "fault",
    "missing",
    "offline",
    "nil",
    "no data",
    "nodata",
    "#n/a",
];

/// Signs that loggers fill an empty cell with.
const NO_READING: [char; 9] = ['-', '–', '—', '\u{2212}', '?', '*', '.', '_', '#'];

/// Whether a cell says that there is no reading.
pub(super) fn is_missing(text: &str) -> bool {
    let text = text.trim().to_lowercase();
    text.chars().all(|sign| NO_READING.contains(&sign)) || MISSING.contains(&text.as_str())
}

/// On (1) or off (0).
pub(super) fn state(text: &str) -> Option<u8> {
    match text.trim().to_lowercase().as_str() {
        "1" | "1.0" | "1,0" | "on" | "true" | "yes" | "closed" => Some(1),
        "0" | "0.0" | "0,0" | "off" | "false" | "no" | "open" => Some(0),
        _ => None,
    }
}

/// A plain number, with a decimal point or comma.
pub(super) fn number(text: &str) -> Option<f64> {
    let text = text.trim().replace('\u{2212}', "-");
    let plain = if text.contains('.') {
        text
    } else {
        text.replacen(',', ".", 1)
    };
    plain.parse::<f64>().ok().filter(|number| number.is_finite())
}

fn kind(of: LogColumn) -> Kind {
    match of {
        LogColumn::Water | LogColumn::Room => Kind::Temperature,
        LogColumn::Humidity => Kind::Share,
        _ => Kind::Power,
    }
}

/// A bare number in a column without a unit.
pub(super) fn no_unit(line: &Line<'_>, column: usize, of: LogColumn, problems: &Problems) -> Reported {
    let found = line.text(column);
    let message = format!("`{}` has no unit, and its column states none", shortened(found));
    let (units, named) = match kind(of) {
        Kind::Temperature => ("°C or °F", "°C"),
        Kind::Share => ("% or, for a fraction, 1", "%"),
        _ => ("W", "W"),
    };
    problems.add(
        Problem::new("log-unit", &line.place_of(column), message)
            .label("which unit?")
            .found(shortened(found))
            .expected(format!(
                "the unit ({units}) in the column's name, such as `{} [{named}]`, or by --unit {}='{named}'",
                of.word(),
                of.word()
            )),
    )
}

/// The quantity of a cell, in the inside unit of its kind; `None` where there is none, or one that cannot be.
pub(super) fn measured(
    line: &Line<'_>,
    from: Measured,
    of: LogColumn,
    left_out: &mut LeftOut,
    problems: &Problems,
) -> Result<Option<f64>, Reported> {
    let text = line.text(from.column);
    if is_missing(text) {
        // An empty cell of a log that writes changes only is no failure.
        left_out.failed += usize::from(!text.is_empty());
        return Ok(None);
    }
    let kind = kind(of);
    let value = match (number(text), from.unit) {
        (Some(number), Some(unit)) => unit.to_inside(number),
        (Some(_), None) => return Err(no_unit(line, from.column, of, problems)),
        (None, _) => parse(kind, text).map_err(|_| {
            let message = format!("`{}` is not {}", shortened(text), kind.words());
            problems.add(
                Problem::new("log-row", &line.place_of(from.column), message)
                    .label("not understood")
                    .found(shortened(text))
                    .expected(
                        "a number, with a decimal point or comma, or nothing where there is no reading",
                    ),
            )
        })?,
    };
    let possible = match of {
        LogColumn::Water => WATER_C.contains(&value),
        LogColumn::Room => ROOM_C.contains(&value),
        LogColumn::Humidity => (0.0..=1.1).contains(&value),
        _ => value >= 0.0,
    };
    left_out.failed += usize::from(!possible);
    let value = if of == LogColumn::Humidity {
        value.min(1.0)
    } else {
        value
    };
    Ok(possible.then_some(value))
}
