//! Strategy files and inline strategies: a name of the registry with its parameters.

use tepid_sim::quantity::Kind;
use tepid_sim::strategy::StrategyRecipe;
use tepid_strategies::parameter::{Param, ParamError, ParamKind};
use tepid_strategies::values::Value as ParamValue;
use tepid_strategies::{Entry, registry};

use crate::fields::{Field, strategy};
use crate::mistakes::{looks_absolute, temperature_for_difference};
use crate::nearest::nearest;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;
use crate::source::Place;

/// A strategy with its parameters.
#[derive(Debug)]
pub struct StrategyFile {
    /// Short name for tables: the file's `name`, else its file name, else the strategy's own.
    pub name: String,
    /// Which strategy.
    pub strategy: &'static str,
    /// Makes it.
    pub recipe: Box<dyn StrategyRecipe>,
}

/// A strategy of the registry with all its defaults; `None`: there is none of that name.
pub(crate) fn built_in(name: &str) -> Option<Result<StrategyFile, ParamError>> {
    let entry = tepid_strategies::find(name)?;
    let made = (entry.build)(&entry.defaults());
    Some(made.map(|recipe| StrategyFile {
        name: entry.name.to_owned(),
        strategy: entry.name,
        recipe,
    }))
}

/// Reads a table with a `strategy` key.
pub(crate) fn read(
    table: &Table,
    own_name: Option<&str>,
    problems: &Problems,
) -> Result<StrategyFile, Reported> {
    let head = strategy::head();
    let only_name = Table {
        place: table.place.clone(),
        entries: table
            .entries
            .iter()
            .filter(|entry| entry.key == "strategy")
            .cloned()
            .collect(),
    };
    let reader = Reader::open_fields(&only_name, &head, "strategy", problems);
    let wanted = reader.text("strategy")?;
    let Some(entry) = tepid_strategies::find(&wanted) else {
        return Err(problems.add(unknown_strategy(&wanted, reader.place_of("strategy"))));
    };
    let fields = strategy::fields(entry);
    let reader = Reader::open_fields(table, &fields, entry.name, problems);
    let name = reader.optional_text("name");
    let values = values(entry, &fields, &reader);
    let name = name?
        .or_else(|| own_name.map(str::to_owned))
        .unwrap_or_else(|| entry.name.to_owned());
    let recipe = (entry.build)(&values?)
        .map_err(|error| reader.report(parameter_problem(&error, reader.place_of(error.param()), entry)))?;
    Ok(StrategyFile {
        name,
        strategy: entry.name,
        recipe,
    })
}

fn values(
    entry: &Entry,
    fields: &[Field],
    reader: &Reader<'_>,
) -> Result<tepid_strategies::values::Values, Reported> {
    let mut values = entry.defaults();
    let mut result = Ok(());
    for param in entry.params {
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
            ParamKind::Choice(_) => reader
                .optional_choice(param.name)
                .map(|word| word.map(|word| ParamValue::Text(word.to_owned()))),
            ParamKind::ProbeName => reader
                .optional_text(param.name)
                .map(|text| text.map(ParamValue::Text)),
            ParamKind::ContactNames => reader.optional_texts(param.name).map(|texts| {
                texts.map(|texts| ParamValue::Names(texts.into_iter().map(|(text, _)| text).collect()))
            }),
        };
        match value {
            Ok(Some(value)) => {
                if let Err(error) = values.set(param.name, value) {
                    result = Err(reader.report(refused(&error, param, node, entry)));
                }
            }
            Ok(None) => {}
            Err(reported) => result = Err(reported),
        }
    }
    debug_assert!(
        entry
            .params
            .iter()
            .all(|param| fields.iter().any(|field| field.name == param.name))
    );
    result.map(|()| values)
}

/// A value that the parameter refuses.
fn refused(error: &ParamError, param: &Param, node: &Node, entry: &Entry) -> Problem {
    match (&node.value, param.kind, error) {
        (Value::Text { text, .. }, ParamKind::Quantity(kind), ParamError::OutOfRange { range, .. })
            if looks_absolute(kind, text) =>
        {
            let expected = format!("{} such as \"{}\", {range}", kind.words(), kind.example());
            temperature_for_difference(param.name, text, &node.place)
                .found(text.clone())
                .expected(expected)
        }
        _ => parameter_problem(error, &node.place, entry),
    }
}

fn parameter_problem(error: &ParamError, place: &Place, entry: &Entry) -> Problem {
    let problem = Problem::new("parameter", place, error.to_string()).found(place.text());
    match entry.param(error.param()) {
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

/// A name that is no strategy.
pub(crate) fn unknown_strategy(name: &str, place: &Place) -> Problem {
    let known: Vec<&str> = registry().iter().map(|entry| entry.name).collect();
    let near = nearest(name, known.iter().copied());
    Problem::new(
        "unknown-strategy",
        place,
        format!("no strategy is named `{name}`"),
    )
    .label("no such strategy")
    .found(name)
    .expected(format!("one of {}", known.join(", ")))
    .nearest(near)
}
