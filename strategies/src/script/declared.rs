//! The parameters of a script: those it declares, and those every script has.

use rhai::{AST, Dynamic, Engine, FLOAT, INT, Map};
use tepid_sim::quantity::{Kind, parse, parse_millis, parse_time_of_day};

use super::arguments::Argument;
use super::problem::ScriptProblem;
use super::{PARAMETERS, engine};
use crate::control_loop::{INTERVAL, PROBE, SETPOINT};
use crate::duty_cycle::{CYCLE, SHORTEST_PULSE};
use crate::outputs::{CONTACTS, SWITCHES};
use crate::parameter::{Param, ParamDefault, ParamKind, ParamRange};
use crate::values::Value;

/// What every script has.
pub const STANDARD: [Param; 7] = [
    SETPOINT,
    CYCLE,
    SHORTEST_PULSE,
    PROBE,
    SWITCHES,
    CONTACTS,
    INTERVAL,
];

/// Keys of a script file beside its parameters.
const TAKEN: [&str; 3] = ["strategy", "file", "name"];

/// All parameters of a script.
pub(super) fn params(engine: &Engine, ast: &AST, text: &str) -> Result<&'static [Param], ScriptProblem> {
    let mut own = Vec::new();
    let mut standard = STANDARD;
    if ast.iter_functions().any(|function| function.name == PARAMETERS) {
        let wrong = |key: &str, message: String| ScriptProblem::at(text, key, message);
        let declared = engine::call_bare(engine, ast, text, PARAMETERS)?;
        let found = declared.type_name();
        let Some(declared) = declared.try_cast::<Map>() else {
            return Err(wrong(
                "fn parameters",
                format!(
                    "`{PARAMETERS}` returns {found}; expected an object map such as #{{ deadband: #{{ value: \"0.4 K\" }} }}"
                ),
            ));
        };
        for (name, declaration) in declared {
            let at = |message: String| wrong(&name, format!("parameter `{name}`: {message}"));
            if let Some(known) = standard.iter_mut().find(|param| param.name == name.as_str()) {
                known.default = redeclared(known, &declaration).map_err(at)?;
            } else if Argument::is_reading(&name) || TAKEN.contains(&name.as_str()) {
                return Err(at("this name is taken".to_owned()));
            } else {
                own.push(param(&name, declaration).map_err(at)?);
            }
        }
    }
    own.extend(standard);
    Ok(own.leak())
}

/// Another default of a parameter that every script has.
fn redeclared(param: &Param, declaration: &Dynamic) -> Result<ParamDefault, String> {
    let Some(text) = text_of(declaration) else {
        return Err(format!(
            "every script has this one; give its default alone, as a text such as \"{}\"",
            param.default_text()
        ));
    };
    let (default, value) = match param.kind {
        ParamKind::Quantity(Kind::Time) => {
            let length_ms = parse_millis(&text).map_err(|error| error.to_string())?;
            (ParamDefault::Time(length_ms), Value::Time(length_ms))
        }
        ParamKind::TimeOfDay => {
            let time_ms = parse_time_of_day(&text).map_err(|error| error.to_string())?;
            (ParamDefault::Time(time_ms), Value::Time(time_ms))
        }
        ParamKind::Quantity(kind) => {
            let number = parse(kind, &text).map_err(|error| error.to_string())?;
            (ParamDefault::Number(number), Value::Number(number))
        }
        ParamKind::Choice(words) => match words.iter().find(|word| **word == text) {
            Some(word) => (ParamDefault::Word(word), Value::Text(text)),
            None => return Err(format!("`{text}` is none of {}", words.join(", "))),
        },
        ParamKind::ProbeName | ParamKind::ProbeNames | ParamKind::ContactNames | ParamKind::EventNames => {
            return Err("a name belongs into the strategy file, not into the script".to_owned());
        }
    };
    param.check(&value).map_err(|error| error.to_string())?;
    Ok(default)
}

/// A parameter of the script's own.
fn param(name: &str, declaration: Dynamic) -> Result<Param, String> {
    let Some(mut fields) = declaration.try_cast::<Map>() else {
        return Err(
            "expected an object map such as #{ value: \"0.4 K\", least: \"0.01 K\", doc: \"…\" }".to_owned(),
        );
    };
    let mut field = |key: &str| fields.remove(key);
    let default = field("value").ok_or("it has no `value`")?;
    let doc = match field("doc") {
        Some(doc) => text_of(&doc).ok_or("its `doc` is no text")?,
        None => String::new(),
    };
    let (words, least, most) = (field("words"), field("least"), field("most"));
    if let Some(more) = fields.keys().next() {
        return Err(format!(
            "unknown field `{more}`; expected value, least, most, words, doc"
        ));
    }
    let (kind, default, range) = match words {
        Some(words) => choice(words, &default)?,
        None => quantity(&default, least.as_ref(), most.as_ref())?,
    };
    Ok(Param {
        name: name.to_owned().leak(),
        kind,
        default,
        range,
        doc: doc.leak(),
        trade: None,
    })
}

type Declared = (ParamKind, ParamDefault, Option<ParamRange>);

fn choice(words: Dynamic, default: &Dynamic) -> Result<Declared, String> {
    let words: Vec<&'static str> = words
        .into_typed_array::<String>()
        .map_err(|_| "its `words` are no list of texts")?
        .into_iter()
        .map(|word| &*word.leak())
        .collect();
    let wanted = text_of(default).ok_or("its `value` is no text")?;
    let words: &'static [&'static str] = words.leak();
    match words.iter().find(|word| **word == wanted) {
        Some(word) => Ok((ParamKind::Choice(words), ParamDefault::Word(word), None)),
        None => Err(format!("its value `{wanted}` is none of its words")),
    }
}

fn quantity(default: &Dynamic, least: Option<&Dynamic>, most: Option<&Dynamic>) -> Result<Declared, String> {
    let written = text_of(default).ok_or("its `value` is neither a text such as \"0.4 K\" nor a number")?;
    if let Ok(time_ms) = parse_time_of_day(&written) {
        return match (least, most) {
            (None, None) => Ok((ParamKind::TimeOfDay, ParamDefault::Time(time_ms), None)),
            _ => Err("a time of day has neither `least` nor `most`".to_owned()),
        };
    }
    let kind = Kind::ALL
        .into_iter()
        .find(|kind| parse(*kind, &written).is_ok())
        .ok_or_else(|| {
            format!("its value \"{written}\" is no quantity, such as \"0.4 K\", \"25 °C\", \"5 min\", \"22:00\" or 1.5")
        })?;
    let inside = |bound: Option<&Dynamic>, otherwise: f64| match bound {
        None => Ok(otherwise),
        Some(bound) => {
            let text = text_of(bound).unwrap_or_default();
            let number = match kind {
                Kind::Time => parse_millis(&text).map(|length_ms| length_ms as f64),
                _ => parse(kind, &text),
            };
            number.map_err(|error| format!("its bound \"{text}\": {error}"))
        }
    };
    let (from, to) = (inside(least, f64::MIN)?, inside(most, f64::MAX)?);
    let default_inside = inside(Some(default), 0.0)?;
    if !(from..=to).contains(&default_inside) {
        return Err(format!("its value \"{written}\" is not within its bounds"));
    }
    let default = match kind {
        Kind::Time => ParamDefault::Time(default_inside as i64),
        _ => ParamDefault::Number(default_inside),
    };
    let range = (least.is_some() && most.is_some()).then_some(ParamRange { from, to });
    if range.is_none() && (least.is_some() || most.is_some()) {
        return Err("give both `least` and `most`, or neither".to_owned());
    }
    Ok((ParamKind::Quantity(kind), default, range))
}

/// A text, or a number as a file would write it.
fn text_of(value: &Dynamic) -> Option<String> {
    if let Some(number) = value.clone().try_cast::<FLOAT>() {
        return Some(number.to_string());
    }
    if let Some(number) = value.clone().try_cast::<INT>() {
        return Some(number.to_string());
    }
    value.clone().into_string().ok()
}
