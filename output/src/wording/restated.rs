//! Figures in sentences that were written in metric units elsewhere, restated in the reader's units.

use super::units::{FAHRENHEIT_PER_KELVIN, LITRES_PER_US_GALLON};
use super::{Units, trimmed};

/// Litres, K and °C in a text as gallons and °F: "0.4 K deadband at 25.5 °C" reads "0.7 °F deadband at 77.9 °F". Metric readers get the
/// text as it is. A figure counts if its unit follows after one space.
#[must_use]
pub fn restated(text: &str, units: Units) -> String {
    if units == Units::Metric {
        return text.to_owned();
    }
    let words: Vec<&str> = text.split(' ').collect();
    let mut restated: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
    for (index, pair) in words.windows(2).enumerate() {
        let (lead, figure) = split_figure(pair[0]);
        let (unit, rest) = split_unit(pair[1]);
        let Ok(value) = figure.parse::<f64>() else {
            continue;
        };
        let (value, unit) = match unit {
            "K" => (value * FAHRENHEIT_PER_KELVIN, "°F"),
            "°C" => (units.degrees(value), "°F"),
            "L" => (value / LITRES_PER_US_GALLON, "gal"),
            _ => continue,
        };
        // Two digits of a small difference, else one decimal.
        let decimals = if value.abs() < 0.1 { 2 } else { 1 };
        restated[index] = format!("{lead}{}", trimmed(value, decimals));
        restated[index + 1] = format!("{unit}{rest}");
    }
    restated.join(" ")
}

/// What stands before a figure in a word, such as a bracket, and the figure.
fn split_figure(word: &str) -> (&str, &str) {
    let begins = word
        .find(|letter: char| letter.is_ascii_digit() || letter == '-')
        .unwrap_or(word.len());
    word.split_at(begins)
}

/// The unit at the beginning of a word and what follows it, such as a comma.
fn split_unit(word: &str) -> (&str, &str) {
    let ends = word
        .find(|letter: char| !letter.is_alphabetic() && letter != '°' && letter != '/')
        .unwrap_or(word.len());
    word.split_at(ends)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn differences_and_temperatures_are_restated_each_in_its_own_way() {
        assert_eq!(
            restated("0.4 K deadband, at 25.5 °C (15 L)", Units::Us),
            "0.7 °F deadband, at 77.9 °F (4 gal)"
        );
        assert_eq!(restated("(0.02 K, or -2 K)", Units::Us), "(0.04 °F, or -3.6 °F)");
    }

    #[test]
    fn what_is_no_figure_with_a_unit_stays() {
        let text = "5 W/K, relay K 2, 0.4 K";
        assert_eq!(restated(text, Units::Us), "5 W/K, relay K 2, 0.7 °F");
        assert_eq!(restated(text, Units::Metric), text);
    }
}
