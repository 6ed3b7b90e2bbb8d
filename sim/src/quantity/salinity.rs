//! Salinity from specific gravity. A specific gravity means nothing without the temperatures of the sample and of
//! the fresh water it is compared with, so both must be stated: "sg 1.025 at 25/25 °C".
//!
//! # Source
//! Density of sea water at one atmosphere: the international equation of state of 1980 (UNESCO technical paper 36,
//! coefficients from memory, checked below against its printed check values). Absolute salinity from practical
//! salinity: reference composition, 35.165 04 / 35.

use super::{Kind, QuantityError, QuantityProblem, parse};

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
    let salinity = absolute_salinity_from_specific_gravity(gravity, sample_c, water_c);
    Ok(salinity.max(0.0))
}

/// Absolute salinity, g/kg, of water that at `sample_c` is `gravity` times as dense as fresh water at `water_c`.
fn absolute_salinity_from_specific_gravity(gravity: f64, sample_c: f64, water_c: f64) -> f64 {
    let wanted = gravity * density_kg_per_m3(0.0, water_c);
    // Density rises with salinity all the way: halving the interval 60 times leaves no error worth a digit.
    let (mut low, mut high) = (0.0, 80.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if density_kg_per_m3(middle, sample_c) < wanted {
            low = middle
        } else {
            high = middle
        }
    }
    0.5 * (low + high) * REFERENCE_COMPOSITION_G_PER_KG
}

/// Absolute salinity per unit of practical salinity, g/kg (reference composition).
const REFERENCE_COMPOSITION_G_PER_KG: f64 = 35.165_04 / 35.0;

fn density_kg_per_m3(practical: f64, temp_c: f64) -> f64 {
    let t = temp_c;
    let polynomial = |coefficients: &[f64]| coefficients.iter().rev().fold(0.0, |sum, c| sum * t + c);
    polynomial(&[
        999.842_594,
        6.793_952e-2,
        -9.095_290e-3,
        1.001_685e-4,
        -1.120_083e-6,
        6.536_332e-9,
    ]) + practical * polynomial(&[0.824_493, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9])
        + practical * practical.sqrt() * polynomial(&[-5.724_66e-3, 1.0227e-4, -1.6546e-6])
        + 4.8314e-4 * practical * practical
}

#[cfg(test)]
mod tests {
    use super::density_kg_per_m3;

    /// Check values printed with the equation (UNESCO technical paper 36, 1981; from memory).
    #[test]
    fn the_equation_of_state_meets_its_printed_check_values() {
        for (practical, temp_c, density) in [
            (0.0, 5.0, 999.966_75),
            (35.0, 5.0, 1_027.675_47),
            (35.0, 25.0, 1_023.343_06),
            (0.0, 25.0, 997.047_96),
        ] {
            assert!((density_kg_per_m3(practical, temp_c) - density).abs() < 1e-5);
        }
    }
}
