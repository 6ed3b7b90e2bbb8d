//! A value as a file writes it, taken apart into its number and its unit: what is between two of them can be written likewise.

use crate::node::{Node, Value};
use crate::problem::{Problem, Reported};
use crate::reader::Reader;

/// One number and, in a text, its unit.
#[derive(Debug, Clone)]
pub(super) struct Written {
    pub number: f64,
    /// As written; empty: a bare number.
    pub unit: String,
    is_text: bool,
    node: Node,
    name: &'static str,
}

impl Written {
    pub fn read(reader: &Reader<'_>, name: &'static str) -> Result<Self, Reported> {
        let Some(node) = reader.node(name) else {
            return Err(reader.missing(name));
        };
        let parts = match &node.value {
            Value::Integer(Some(number)) => Some((*number as f64, "", false)),
            Value::Float(Some(number)) => Some((*number, "", false)),
            Value::Text { text, .. } => number_and_unit(text).map(|(number, unit)| (number, unit, true)),
            _ => None,
        };
        match parts {
            Some((number, unit, is_text)) if number.is_finite() => Ok(Self {
                number,
                unit: unit.to_owned(),
                is_text,
                node: node.clone(),
                name,
            }),
            _ => {
                let problem = Problem::new(
                    "one-number",
                    &node.place,
                    format!("`{name}` must be one number with its unit"),
                )
                .label("not one number and one unit")
                .expected("a value such as \"0.2 K\", \"150 W\" or 3");
                Err(reader.report(problem))
            }
        }
    }

    /// Two ends of one range must be of one unit.
    pub fn in_unit_of(&self, other: &Self, reader: &Reader<'_>) -> Result<(), Reported> {
        if self.unit == other.unit && self.is_text == other.is_text {
            return Ok(());
        }
        let (name, as_other) = (self.name, other.with(self.number));
        let shown = match &as_other.value {
            Value::Text { text, .. } => format!("\"{text}\""),
            _ => self.number.to_string(),
        };
        let problem = Problem::new(
            "one-unit",
            &self.node.place,
            format!("`{name}` is not in the unit of `{}`", other.name),
        )
        .label("another unit")
        .expected("all of them in one unit")
        .fix(format!("{name} = {shown}"));
        Err(reader.report(problem))
    }

    /// Another number in the same unit, standing in the same place.
    pub fn with(&self, number: f64) -> Node {
        // Twelve digits: what a file would say, without the dust of binary fractions.
        let number = format!("{number:.11e}").parse().unwrap_or(number);
        let value = if self.is_text {
            Value::Text {
                text: format!("{number} {}", self.unit).trim_end().to_owned(),
                content_start: None,
            }
        } else if number.fract() == 0.0 && number.abs() < 1e15 {
            Value::Integer(Some(number as i64))
        } else {
            Value::Float(Some(number))
        };
        Node {
            place: self.node.place.clone(),
            value,
        }
    }
}

/// "0.2 K" → (0.2, "K"); `None`: no number in front, or more than one.
fn number_and_unit(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | '−')))
        .unwrap_or(text.len());
    let number = text[..end].replace('−', "-").parse().ok()?;
    let unit = text[end..].trim();
    // "2 h 30 min" has no one unit; "m2" and "W/m²" have.
    let further = unit.split_whitespace().skip(1);
    let many = further
        .into_iter()
        .any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    (!many).then_some((number, unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_one_number_and_one_unit() {
        assert_eq!(number_and_unit("0.2 K"), Some((0.2, "K")));
        assert_eq!(number_and_unit("-3 °C"), Some((-3.0, "°C")));
        assert_eq!(number_and_unit("1500 L/h"), Some((1500.0, "L/h")));
        assert_eq!(number_and_unit("0.5 m² K/W"), Some((0.5, "m² K/W")));
        assert_eq!(number_and_unit("7"), Some((7.0, "")));
        assert_eq!(number_and_unit("2 h 30 min"), None);
        assert_eq!(number_and_unit("warm"), None);
        assert_eq!(number_and_unit("18:30"), Some((18.0, ":30")));
    }
}
