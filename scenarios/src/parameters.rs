//! Values of the parameters of a strategy or guard, read from its table.

use tepid_sim::quantity::Kind;
use tepid_strategies::parameter::{Param, ParamError, ParamKind};
use tepid_strategies::values::{Value as ParamValue, Values};

use crate::mistakes::{looks_absolute, temperature_for_difference};
use crate::node::{Node, Value};
use crate::problem::{Problem, Reported};
use crate::reader::Reader;
use crate::source::Place;

/// Reads what is given of `params`; all mistakes are reported.
pub(crate) fn values(params: &'static [Param], reader: &Reader<'_>) -> Result<Values, Reported> {
    let mut values = Values::new(params);
    let mut result = Ok(());
    for param in params {
        let Some(node) = reader.node(param.name) else {
            continue;
        };
        let value = match param.kind {
            ParamKind::Quantity(Kind::Time) => reader
                .optional_millis(param.name)
                .map(|time| time.map(ParamValue::Time)),
            ParamKind::Quantity(_) => reader
                .optional_quantity(param.name)
                .map(|number| number.map(ParamValue::Number)),
            ParamKind::TimeOfDay => reader
                .optional_time_of_day(param.name)
                .map(|time| time.map(ParamValue::Time)),
            ParamKind::Choice(_) => reader
                .optional_choice(param.name)
                .map(|word| word.map(|word| ParamValue::Text(word.to_owned()))),
            ParamKind::ProbeName => reader
                .optional_text(param.name)
                .map(|text| text.map(ParamValue::Text)),
            ParamKind::ProbeNames | ParamKind::ContactNames | ParamKind::EventNames => {
                reader.optional_texts(param.name).map(|texts| {
                    texts.map(|texts| ParamValue::Names(texts.into_iter().map(|(text, _)| text).collect()))
                })
            }
        };
        match value {
            Ok(Some(value)) => {
                if let Err(error) = values.set(param.name, value) {
                    result = Err(reader.report(refused(&error, param, node, params)));
                }
            }
            Ok(None) => {}
            Err(reported) => result = Err(reported),
        }
    }
    result.map(|()| values)
}

/// A value that the parameter refuses.
fn refused(error: &ParamError, param: &Param, node: &Node, params: &[Param]) -> Problem {
    match (&node.value, param.kind, error) {
        (Value::Text { text, .. }, ParamKind::Quantity(kind), ParamError::OutOfRange { range, .. })
            if looks_absolute(kind, text) =>
        {
            let expected = format!("{} such as \"{}\", {range}", kind.words(), kind.example());
            temperature_for_difference(param.name, text, &node.place)
                .found(text.clone())
                .expected(expected)
        }
        _ => problem(error, &node.place, params),
    }
}

/// Values that do not stand, as a problem.
pub(crate) fn problem(error: &ParamError, place: &Place, params: &[Param]) -> Problem {
    let problem = Problem::new("parameter", place, error.to_string()).found(place.text());
    match params.iter().find(|param| param.name == error.param()) {
        Some(param) => {
            let default = param.default_text();
            let range = param
                .range_text()
                .map_or_else(String::new, |range| format!(", {range}"));
            problem
                .label("refused")
                .expected(format!("{}{range}; left out it is {default}", param.kind))
        }
        None => problem,
    }
}
