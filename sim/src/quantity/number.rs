//! Numbers as people write them: decimals, fractions, mixed fractions.

use std::ops::Range;

use super::{Kind, QuantityError, QuantityProblem};

/// A number and where it stands.
pub(super) struct Number {
    pub value: f64,
    pub span: Range<usize>,
}

/// Reads a number at `start` (blanks skipped): "12", "-0.5", "1e3", "1/2", "1 1/2", "1½".
pub(super) fn read(kind: Kind, text: &str, start: usize) -> Result<Number, QuantityError> {
    let start = skip_blanks(text, start);
    let whole = read_plain(kind, text, start)?;
    let mut end = whole.span.end;
    let mut value = whole.value;
    let negative = text[start..].starts_with(['-', '−']);
    if let Some((share, length)) = vulgar_fraction(&text[end..]) {
        value += if negative { -share } else { share };
        end += length;
    } else if let Some((denominator, after)) = denominator(text, end) {
        value /= denominator;
        end = after;
    } else {
        let next = skip_blanks(text, end);
        if next > end
            && let Some((numerator, numerator_end)) = digits(text, next)
            && let Some((denominator, after)) = denominator(text, numerator_end)
        {
            let share = numerator / denominator;
            value += if negative { -share } else { share };
            end = after;
        }
    }
    let found = || text[start..end].to_owned();
    if !value.is_finite() {
        return Err(QuantityError::new(
            kind,
            start..end,
            QuantityProblem::NotFinite { found: found() },
        ));
    }
    Ok(Number {
        value,
        span: start..end,
    })
}

/// The byte after the blanks (no-break spaces included) from `at` on.
pub(super) fn skip_blanks(text: &str, at: usize) -> usize {
    text[at..]
        .find(|c: char| !c.is_whitespace())
        .map_or(text.len(), |offset| at + offset)
}

fn read_plain(kind: Kind, text: &str, start: usize) -> Result<Number, QuantityError> {
    let rest = &text[start..];
    let (sign, sign_length) = match rest.chars().next() {
        Some('-') => (-1.0, 1),
        Some('−') => (-1.0, '−'.len_utf8()),
        Some('+') => (1.0, 1),
        _ => (1.0, 0),
    };
    let digits = &rest[sign_length..];
    if let Some((share, length)) = vulgar_fraction(digits) {
        let end = start + sign_length + length;
        // The caller adds no second fraction: nothing but a unit follows one.
        return Ok(Number {
            value: sign * share,
            span: start..end,
        });
    }
    let mut length = digits
        .find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
        .unwrap_or(digits.len());
    let found_word = || {
        let word = rest.split_whitespace().next().unwrap_or("");
        (start..start + word.len(), word.to_owned())
    };
    if !digits[..length].bytes().any(|b| b.is_ascii_digit()) {
        let (span, found) = found_word();
        let lower = found.trim_start_matches(['+', '-']).to_ascii_lowercase();
        let problem = if ["inf", "infinity", "nan"].contains(&lower.as_str()) {
            QuantityProblem::NotFinite { found }
        } else {
            QuantityProblem::NotANumber { found }
        };
        return Err(QuantityError::new(kind, span, problem));
    }
    length += exponent_length(&digits[length..]);
    let span = start..start + sign_length + length;
    let found = digits[..length].to_owned();
    if found.contains(',') {
        return Err(QuantityError::new(kind, span, QuantityProblem::Comma { found }));
    }
    match found.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(Number {
            value: sign * value,
            span,
        }),
        Ok(_) => Err(QuantityError::new(
            kind,
            span,
            QuantityProblem::NotFinite { found },
        )),
        Err(_) => Err(QuantityError::new(
            kind,
            span,
            QuantityProblem::NotANumber { found },
        )),
    }
}

/// Length of an exponent such as "e3" or "E-4"; 0 if the letter starts a unit.
fn exponent_length(rest: &str) -> usize {
    let bytes = rest.as_bytes();
    if !matches!(bytes.first(), Some(b'e' | b'E')) {
        return 0;
    }
    let sign = usize::from(matches!(bytes.get(1), Some(b'+' | b'-')));
    let count = bytes[1 + sign..]
        .iter()
        .take_while(|b| b.is_ascii_digit())
        .count();
    if count == 0 { 0 } else { 1 + sign + count }
}

fn digits(text: &str, start: usize) -> Option<(f64, usize)> {
    let count = text[start..].bytes().take_while(u8::is_ascii_digit).count();
    let value = text[start..start + count].parse().ok()?;
    Some((value, start + count))
}

/// "/ 2" at `start`: the denominator, if it is a whole number above zero, and where it ends.
fn denominator(text: &str, start: usize) -> Option<(f64, usize)> {
    let rest = &text[start..];
    let slash = if rest.starts_with('/') { 1 } else { return None };
    let (value, end) = digits(text, start + slash)?;
    (value > 0.0).then_some((value, end))
}

fn vulgar_fraction(rest: &str) -> Option<(f64, usize)> {
    let first = rest.chars().next()?;
    let share = match first {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    };
    Some((share, first.len_utf8()))
}
