//! Reading quantities.

use std::ops::Range;

use super::number::{read as read_number, skip_blanks};
use super::{Kind, QuantityError, QuantityProblem, Unit, salinity};
use crate::time::{Millis, SECOND};

/// Longest time that is read, s. A choice: about 10 000 years, so that sums of times stay far from overflow. Valid
/// for times of runs and of gear.
const LONGEST_S: f64 = 3.2e11;

/// Reads a quantity of the given kind; returns it in the kind's inside unit (SI; °C; a fraction for shares).
///
/// # Errors
/// [`QuantityError`] with the place inside `text`: no number, no unit, an unknown unit, a unit of another kind,
/// a number that is not finite, or something after the quantity.
pub fn parse(kind: Kind, text: &str) -> Result<f64, QuantityError> {
    if text.trim().is_empty() {
        return Err(QuantityError::new(kind, 0..text.len(), QuantityProblem::Empty));
    }
    if kind == Kind::Salinity
        && let Some(salinity) = salinity::specific_gravity(text)
    {
        return salinity;
    }
    let first = read_number(kind, text, 0)?;
    let negative = first.value < 0.0;
    let mut total = 0.0;
    let mut number = first;
    let mut last_size = f64::INFINITY;
    loop {
        let unit_start = skip_blanks(text, number.span.end);
        if kind == Kind::Number {
            return if unit_start == text.len() {
                Ok(number.value)
            } else {
                Err(trailing(kind, text, unit_start))
            };
        }
        let written = text[number.span.clone()].to_owned();
        if unit_start == text.len() {
            return Err(QuantityError::new(
                kind,
                number.span,
                QuantityProblem::NoUnit { number: written },
            ));
        }
        let (unit, span) = read_unit(kind, text, unit_start, written)?;
        let size = unit.to_inside(1.0);
        if size >= last_size {
            return Err(trailing(kind, text, number.span.start));
        }
        last_size = size;
        // The sign stands once, in front of the whole: "-2 h 30 min" is -150 min.
        let part = unit.to_inside(number.value);
        total += if negative && number.span.start > 0 && number.value > 0.0 && total < 0.0 {
            -part
        } else {
            part
        };
        let next = skip_blanks(text, span.end);
        if next == text.len() {
            break;
        }
        if !kind.is_compound() {
            return Err(trailing(kind, text, next));
        }
        number = read_number(kind, text, next)?;
        if number.value < 0.0 {
            return Err(trailing(kind, text, next));
        }
    }
    if total.is_finite() {
        Ok(total)
    } else {
        let found = text.trim().to_owned();
        Err(QuantityError::new(
            kind,
            0..text.len(),
            QuantityProblem::NotFinite { found },
        ))
    }
}

/// Reads a length of time in whole milliseconds.
///
/// # Errors
/// As [`parse`]; also [`QuantityProblem::NotFinite`] for times beyond about 10 000 years.
pub fn parse_millis(text: &str) -> Result<Millis, QuantityError> {
    let seconds = parse(Kind::Time, text)?;
    if seconds.abs() > LONGEST_S {
        let found = text.trim().to_owned();
        return Err(QuantityError::new(
            Kind::Time,
            0..text.len(),
            QuantityProblem::NotFinite { found },
        ));
    }
    Ok((seconds * SECOND as f64).round() as Millis)
}

fn trailing(kind: Kind, text: &str, start: usize) -> QuantityError {
    let found = text[start..].trim_end();
    QuantityError::new(
        kind,
        start..start + found.len(),
        QuantityProblem::Trailing {
            found: found.to_owned(),
        },
    )
}

/// The unit at `start`: the longest spelling that ends at a blank, a digit or the end.
fn read_unit(
    kind: Kind,
    text: &str,
    start: usize,
    number: String,
) -> Result<(Unit, Range<usize>), QuantityError> {
    if let Some((unit, spelling)) = longest_spelling(kind, &text[start..]) {
        return Ok((unit, start..start + spelling.len()));
    }
    // A unit of another kind is named as such; a longer match says more ("L/h" rather than "L").
    let other = Kind::ALL
        .into_iter()
        .filter_map(|other| longest_spelling(other, &text[start..]).map(|(_, spelling)| (other, spelling)))
        .reduce(|best, next| if next.1.len() > best.1.len() { next } else { best });
    if let Some((other, spelling)) = other {
        let span = start..start + spelling.len();
        let problem = QuantityProblem::WrongKind {
            number,
            unit: spelling.to_owned(),
            other,
            expected: kind,
        };
        return Err(QuantityError::new(kind, span, problem));
    }
    let found = unknown_word(&text[start..]);
    let span = start..start + found.len();
    Err(QuantityError::new(
        kind,
        span,
        QuantityProblem::UnknownUnit {
            number,
            found: found.to_owned(),
        },
    ))
}

fn longest_spelling(kind: Kind, rest: &str) -> Option<(Unit, &'static str)> {
    kind.units()
        .iter()
        .flat_map(|unit| unit.spellings().map(move |spelling| (*unit, spelling)))
        .filter(|(_, spelling)| rest.strip_prefix(*spelling).is_some_and(ends_a_unit))
        .max_by_key(|(_, spelling)| spelling.len())
}

fn ends_a_unit(rest: &str) -> bool {
    rest.chars()
        .next()
        .is_none_or(|next| next.is_whitespace() || next.is_ascii_digit())
}

/// Up to the next number or the end, blanks at the end left out.
fn unknown_word(rest: &str) -> &str {
    let mut end = rest.len();
    let mut after_blank = false;
    for (at, c) in rest.char_indices() {
        if after_blank && c.is_ascii_digit() {
            end = at;
            break;
        }
        after_blank = c.is_whitespace();
    }
    rest[..end].trim_end()
}
