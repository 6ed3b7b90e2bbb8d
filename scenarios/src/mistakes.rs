//! Mistakes of fields in words: unknown keys, wrong units, temperatures for differences.

use tepid_sim::quantity::{Kind, QuantityError, QuantityProblem, Unit, parse};

use crate::fields::{Field, FieldKind};
use crate::nearest::nearest;
use crate::node::{Node, Value};
use crate::problem::Problem;
use crate::source::Place;

/// Words for one thing under which people look for it, each with fields that may be meant.
const OTHER_WORDS: [(&str, &[&str]); 5] = [
    ("at", &["when"]),
    ("daily", &["when"]),
    ("when", &["at"]),
    ("effect", &["what"]),
    ("kind", &["what"]),
];

/// The field that an unknown key most likely means.
pub(crate) fn meant<'f>(key: &str, fields: &'f [Field]) -> Option<&'f str> {
    let names = || fields.iter().map(|field| field.name);
    let of_word = OTHER_WORDS.iter().find(|(word, _)| *word == key);
    let by_word = of_word.and_then(|(_, meant)| names().find(|name| meant.contains(name)));
    by_word.or_else(|| nearest(key, names()))
}

/// A key that is no field here.
pub(crate) fn unknown_key(key: &str, place: &Place, fields: &[Field], what: &str) -> Problem {
    if what == "scenario" && key == "strategy" {
        return Problem::new("unknown-key", place, "a scenario has no strategy in it")
            .label("not part of a scenario")
            .found(key)
            .expected("a strategy file for settings of a strategy: `tepid new strategy my-strategy.toml` writes one, `--strategy my-strategy.toml` takes it");
    }
    let near = meant(key, fields);
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
    let spellings = || error.kind.units().iter().flat_map(Unit::spellings);
    let problem = Problem::new(code(&error.problem), &place, format!("`{}`: {error}", field.name))
        .found(shortened(place.text()))
        .expected(match error.problem {
            QuantityProblem::NoUnit { .. }
            | QuantityProblem::UnknownUnit { .. }
            | QuantityProblem::WrongKind { .. }
            | QuantityProblem::SpecificGravity { .. } => expected_of(field, error.kind),
            _ => field.expected(),
        });
    let line = |value: String| format!("{} = \"{value}\"", field.name);
    let single = matches!(field.kind, FieldKind::Quantity(_));
    match &error.problem {
        QuantityProblem::NoUnit { number } => {
            let problem = problem.label("no unit");
            if single {
                problem.fix(line(with_a_unit(field, error.kind, number)))
            } else {
                problem
            }
        }
        QuantityProblem::UnknownUnit { number, found } => {
            let near = nearest(found, spellings());
            let problem = problem.label("unknown unit").nearest(near);
            match near {
                _ if single && is_specific_gravity(error.kind, number) => {
                    problem.fix(line(with_a_unit(field, error.kind, number)))
                }
                Some(near) if single => problem.fix(line(format!("{number} {near}"))),
                _ => problem,
            }
        }
        QuantityProblem::WrongKind { other, .. } => {
            let problem = problem.label(format!("{} belongs here", error.kind.words()));
            let difference = *other == Kind::TemperatureDifference && error.kind == Kind::Temperature;
            if difference {
                problem.expected(format!(
                    "{}; K is for differences",
                    expected_of(field, error.kind)
                ))
            } else {
                problem
            }
        }
        QuantityProblem::SpecificGravity { .. } => {
            problem.fix(line(with_a_unit(field, error.kind, &gravity_in(node))))
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

/// What belongs in a field, and every unit its quantity may have.
pub(crate) fn expected_of(field: &Field, kind: Kind) -> String {
    let expected = field.expected();
    if kind == Kind::Salinity {
        return format!(
            "{expected}; units: g/kg, ppt, ‰; or a specific gravity such as \"{SPECIFIC_GRAVITY}\""
        );
    }
    let units: Vec<&str> = kind.units().iter().map(|unit| unit.name).collect();
    match units.as_slice() {
        [] => expected,
        units => format!("{expected}; units: {}", units.join(", ")),
    }
}

/// A specific gravity as a file writes it: the temperature of the water measured and of the fresh water it is compared with.
const SPECIFIC_GRAVITY: &str = "sg 1.025 at 25/25 °C";

/// Whether a bare number for a salinity is a specific gravity: as a salinity it would be nearly fresh water.
fn is_specific_gravity(kind: Kind, number: &str) -> bool {
    let gravities = 0.99..=1.04;
    kind == Kind::Salinity
        && number
            .parse()
            .is_ok_and(|number: f64| gravities.contains(&number))
}

/// The unit of the field's own example: "s" of `"30 s"`.
fn usual_unit(field: &Field) -> Option<&str> {
    let text = field.example.strip_prefix('"')?.strip_suffix('"')?;
    let unit = text.trim_start_matches(|c: char| c.is_ascii_digit() || ".+- ".contains(c));
    let single = !unit.is_empty() && !unit.contains(|c: char| c.is_ascii_digit() || c == ' ');
    single.then_some(unit)
}

/// A quantity that is out of range only for its sign, without it.
pub(crate) fn without_sign(field: &Field, kind: Kind, found: &str) -> Option<String> {
    let positive = found.trim().strip_prefix(['-', '−'])?.trim_start();
    let value = parse(kind, positive).ok()?;
    field.limits.hold(kind, value).then(|| positive.to_owned())
}

/// A bare number as the quantity it is most likely meant to be: in the unit of the field's example, else in the first unit
/// in which the field takes it.
pub(crate) fn with_a_unit(field: &Field, kind: Kind, number: &str) -> String {
    if is_specific_gravity(kind, number) {
        return SPECIFIC_GRAVITY.replace("1.025", number);
    }
    let usual = usual_unit(field);
    let units = usual
        .iter()
        .copied()
        .chain(kind.units().iter().map(|unit| unit.name));
    let mut written = units.map(|unit| format!("{number} {unit}"));
    let first = written.clone().next();
    written
        .find(|text| parse(kind, text).is_ok_and(|value| field.limits.hold(kind, value)))
        .or(first)
        .unwrap_or_else(|| number.to_owned())
}

/// The number in a specific gravity that could not be read whole, else a usual one.
fn gravity_in(node: &Node) -> String {
    let text = match &node.value {
        Value::Text { text, .. } => text.as_str(),
        _ => "",
    };
    text.split(|c: char| !c.is_ascii_digit() && c != '.')
        .find(|part| is_specific_gravity(Kind::Salinity, part))
        .unwrap_or("1.025")
        .to_owned()
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

/// Whether a difference is written as a temperature that water or a room could have: "20 °C", "78 °F". Nobody means a
/// difference as large; smaller ones in degrees are read as differences.
pub(crate) fn could_be_temperature(kind: Kind, found: &str) -> bool {
    let plausible_c = 15.0..=60.0;
    looks_absolute(kind, found)
        && parse(Kind::Temperature, found).is_ok_and(|temp_c| plausible_c.contains(&temp_c))
}

/// A temperature where a difference belongs.
pub(crate) fn temperature_for_difference(field: &str, found: &str, place: &Place) -> Problem {
    let message = format!("`{field}` is `{found}`, which looks like a temperature");
    Problem::new("temperature-for-difference", place, message).label("a difference belongs here")
}
