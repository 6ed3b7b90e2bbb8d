//! Salinity from specific gravity. A specific gravity means nothing without the temperatures of the sample and of
//! the fresh water it is compared with, so both must be stated: "sg 1.025 at 25/25 °C".

use super::{Kind, QuantityError, QuantityProblem, parse};
use crate::physics::water::absolute_salinity_from_specific_gravity;

/// Reads "sg 1.025 at 25/25 °C" (or °F); `None` if the text does not start with "sg".
pub(super) fn specific_gravity(text: &str) -> Option<Result<f64, QuantityError>> {
    let start = text.len() - text.trim_start().len();
    let body = text[start..]
        .strip_prefix("sg")
        .or_else(|| text[start..].strip_prefix("SG"))?;
    Some(read(text, body, start + 2))
}

fn read(text: &str, body: &str, body_start: usize) -> Result<f64, QuantityError> {
    let error = |span, why: String| {
        Err(QuantityError::new(
            Kind::Salinity,
            span,
            QuantityProblem::SpecificGravity { why },
        ))
    };
    let Some((gravity_text, reference)) = body.split_once("at") else {
        let why = "a specific gravity needs the temperatures of sample and reference water".to_owned();
        return error(0..text.len(), why);
    };
    let gravity = parse(Kind::Number, gravity_text).map_err(|mut error| {
        error.span = error.span.start + body_start..error.span.end + body_start;
        error
    })?;
    let reference_span = text.len() - reference.trim_start().len()..text.trim_end().len();
    let Some((sample_text, water_text)) = reference.split_once('/') else {
        let why = "two temperatures belong here, sample/reference".to_owned();
        return error(reference_span, why);
    };
    let unit: String = water_text
        .trim()
        .chars()
        .skip_while(|c| c.is_ascii_digit() || *c == '.')
        .collect();
    // The unit may stand once, at the end, or with both.
    let sample = parse(Kind::Temperature, sample_text).or_else(|_| {
        parse(
            Kind::Temperature,
            &format!("{} {}", sample_text.trim(), unit.trim()),
        )
    });
    let (Ok(sample_c), Ok(water_c)) = (sample, parse(Kind::Temperature, water_text)) else {
        let why = format!("`{}` is not a pair of temperatures", reference.trim());
        return error(reference_span, why);
    };
    let in_range = (0.0..=40.0).contains(&sample_c) && (0.0..=40.0).contains(&water_c);
    if !in_range || !(0.99..=1.04).contains(&gravity) {
        let why = "a specific gravity from 0.99 to 1.04 at 0 °C to 40 °C belongs here".to_owned();
        return error(0..text.len(), why);
    }
    match absolute_salinity_from_specific_gravity(gravity, sample_c, water_c) {
        Some(salinity) => Ok(salinity),
        None => error(
            0..text.len(),
            "no salinity from 0 to 60 g/kg has this specific gravity".to_owned(),
        ),
    }
}
