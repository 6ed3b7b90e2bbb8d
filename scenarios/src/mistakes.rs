//! Mistakes of fields in words: unknown keys, wrong units, temperatures for differences.

use tepid_sim::quantity::{Kind, QuantityError, QuantityProblem, Unit};

use crate::fields::{Field, FieldKind};
use crate::nearest::nearest;
use crate::node::{Node, Value};
use crate::problem::Problem;
use crate::source::Place;

/// A key that is no field here.
pub(crate) fn unknown_key(key: &str, place: &Place, fields: &[Field], what: &str) -> Problem {
    let near = nearest(key, fields.iter().map(|field| field.name));
    let known = fields
        .iter()
        .map(|field| field.name)
        .collect::<Vec<_>>()
        .join(", ");
    Problem::new(
        "unknown-key",
        place,
        format!("{what} has no field `{}`", shortened(key)),
    )
    .label("unknown field")
    .found(shortened(key))
    .expected(format!("one of {known}"))
    .nearest(near)
}

/// A mistake inside the text of a quantity.
pub(crate) fn quantity_problem(field: &Field, node: &Node, error: &QuantityError) -> Problem {
    let place = node.part(error.span.clone());
    let units: Vec<&str> = error.kind.units().iter().map(|unit| unit.name).collect();
    let spellings = || error.kind.units().iter().flat_map(Unit::spellings);
    let problem = Problem::new(code(&error.problem), &place, format!("`{}`: {error}", field.name))
        .found(shortened(place.text()))
        .expected(field.expected());
    let line = |value: String| format!("{} = \"{value}\"", field.name);
    let single = matches!(field.kind, FieldKind::Quantity(_));
    match &error.problem {
        QuantityProblem::NoUnit { number } => {
            let unit = units.first().copied().unwrap_or("");
            let problem = problem.label("no unit");
            if single {
                problem.fix(line(format!("{number} {unit}")))
            } else {
                problem
            }
        }
        QuantityProblem::UnknownUnit { number, found } => {
            let near = nearest(found, spellings());
            let expected = format!("{} in {}", error.kind.words(), units.join(", "));
            let problem = problem.label("unknown unit").expected(expected).nearest(near);
            match near {
                Some(near) if single => problem.fix(line(format!("{number} {near}"))),
                _ => problem,
            }
        }
        QuantityProblem::WrongKind { other, .. } => {
            let problem = problem.label(format!("{} belongs here", error.kind.words()));
            let difference = *other == Kind::TemperatureDifference && error.kind == Kind::Temperature;
            if difference {
                problem.expected(format!("{}; K is for differences", field.expected()))
            } else {
                problem
            }
        }
        QuantityProblem::Comma { found } if found.matches(',').count() == 1 => {
            let Value::Text { text, .. } = &node.value else {
                return problem;
            };
            problem.label("a comma").fix(line(text.replacen(',', ".", 1)))
        }
        _ => problem,
    }
}

fn code(problem: &QuantityProblem) -> &'static str {
    match problem {
        QuantityProblem::NoUnit { .. } => "no-unit",
        QuantityProblem::UnknownUnit { .. } => "unknown-unit",
        QuantityProblem::WrongKind { .. } => "wrong-kind-of-unit",
        QuantityProblem::NotFinite { .. } => "not-finite",
        _ => "not-a-quantity",
    }
}

/// A line to paste for a field: its example.
pub(crate) fn fix_line(field: &Field) -> String {
    if field.example.starts_with("[[") && !field.example.contains('"') || is_header(&field.example) {
        field.example.to_string()
    } else {
        format!("{} = {}", field.name, field.example)
    }
}

fn is_header(example: &str) -> bool {
    example.starts_with('[') && example.ends_with(']') && !example.contains(['"', ',', ' '])
}

/// At most 60 characters of a text.
pub(crate) fn shortened(text: &str) -> String {
    const LONGEST: usize = 60;
    if text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    text.chars().take(LONGEST).chain("…".chars()).collect()
}

/// Whether a text that stands for a difference was meant as a temperature.
pub(crate) fn looks_absolute(kind: Kind, found: &str) -> bool {
    kind == Kind::TemperatureDifference && !found.trim_end().ends_with('K')
}

/// A temperature where a difference belongs.
pub(crate) fn temperature_for_difference(field: &str, found: &str, place: &Place) -> Problem {
    let message = format!("`{field}` is `{found}`, which looks like a temperature");
    Problem::new("temperature-for-difference", place, message).label("a difference belongs here")
}
