//! `[[vary]]`: fields that take several values.

use super::{Known, list};
use crate::fields::study::VARY;
use crate::fields::{FieldKind, strategy as strategy_fields};
use crate::nearest::nearest;
use crate::node::{Node, Table, Value};
use crate::path::Path;
use crate::problem::{Problem, Reported};
use crate::read;
use crate::reader::Reader;
use crate::source::Place;

/// A field that takes several values.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Vary {
    /// What it is a field of.
    pub of: VaryOf,
    /// Its path, without a leading `strategy.`.
    pub path: String,
    /// Its values, as a file would write them (without quotes).
    pub values: Vec<String>,
}

/// What a varied field belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VaryOf {
    /// The scenarios.
    Scenario,
    /// The strategies that have such a parameter.
    Strategy,
}

pub(super) fn vary(table: &Table, known: &Known<'_>) -> Result<Vary, Reported> {
    let reader = Reader::open(table, &VARY, known.problems);
    let path = reader.text("path");
    let Some(items) = list(&reader, "values")? else {
        return Err(reader.missing("values"));
    };
    let path = path?;
    let path_place = reader
        .node("path")
        .map_or_else(|| reader.place().clone(), |node| node.part(0..path.len()));
    if let Some(parameter) = path.strip_prefix("strategy.") {
        check_parameter(&reader, parameter, &path_place, items, known)?;
        return Ok(Vary {
            of: VaryOf::Strategy,
            path: parameter.to_owned(),
            values: written(items),
        });
    }
    let mut result = Ok(());
    for item in items {
        for scenario in known.scenarios.unwrap_or(&[]) {
            let mut root = scenario.tree.root.clone();
            let path = Path::read(&path_place, known.problems)?;
            let put = crate::path::put(
                &mut root,
                &crate::fields::scenario::SCENARIO,
                &path.parts,
                item.clone(),
                known.problems,
            );
            result = result.and(
                put.and_then(|()| read::scenario(&root, &scenario.tree.titles, known.problems).map(|_| ())),
            );
        }
    }
    result.map(|()| Vary {
        of: VaryOf::Scenario,
        path,
        values: written(items),
    })
}

fn written(items: &[Node]) -> Vec<String> {
    items
        .iter()
        .map(|item| match &item.value {
            Value::Text { text, .. } => text.clone(),
            _ => item.place.text().to_owned(),
        })
        .collect()
}

/// A parameter that at least one strategy has, and values that all of those accept.
fn check_parameter(
    reader: &Reader<'_>,
    parameter: &str,
    place: &Place,
    items: &[Node],
    known: &Known<'_>,
) -> Result<(), Reported> {
    let Some(strategies) = known.strategies else {
        return Ok(());
    };
    let entries: Vec<_> = tepid_strategies::registry()
        .iter()
        .filter(|entry| strategies.is_empty() || strategies.iter().any(|file| file.strategy == entry.name))
        .collect();
    let with_it: Vec<_> = entries
        .iter()
        .filter(|entry| entry.param(parameter).is_some())
        .collect();
    if with_it.is_empty() {
        let mut names: Vec<&str> = entries
            .iter()
            .flat_map(|entry| entry.params)
            .map(|param| param.name)
            .collect();
        names.sort_unstable();
        names.dedup();
        let problem = Problem::new(
            "path",
            place,
            format!("no strategy of this study has a parameter `{parameter}`"),
        )
        .label("no such parameter")
        .found(parameter)
        .expected(format!("one of {}", names.join(", ")))
        .nearest(nearest(parameter, names.iter().copied()));
        return Err(reader.report(problem));
    }
    let mut result = Ok(());
    for item in items {
        for entry in &with_it {
            let fields = strategy_fields::fields(entry);
            let entries = vec![crate::node::Entry {
                key: parameter.to_owned(),
                key_place: place.clone(),
                node: item.clone(),
            }];
            let one = Table {
                place: place.clone(),
                entries,
            };
            let reader = Reader::open_fields(&one, &fields, entry.name, known.problems);
            let field = fields
                .iter()
                .find(|field| field.name == parameter)
                .map(|field| field.kind);
            let read = match field {
                Some(FieldKind::Quantity(_)) => reader.quantity(parameter).map(|_| ()),
                Some(FieldKind::Choice(_)) => reader.choice(parameter).map(|_| ()),
                _ => Ok(()),
            };
            result = result.and(read);
        }
    }
    result
}
