//! Changing a tree by path: "heater.left.power", lists of tables by the `name` of their items.

use crate::fields::{Field, FieldKind, Section};
use crate::mistakes::unknown_key;
use crate::names::name_of;
use crate::nearest::nearest;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::source::Place;

/// A path in TOML's grammar of dotted keys, each part with its place.
#[derive(Debug, Clone)]
pub(crate) struct Path {
    pub parts: Vec<(String, Place)>,
}

impl Path {
    /// Reads the path that stands at a place; parts with dots or blanks may stand in quotes, blanks need none.
    pub fn read(place: &Place, problems: &Problems) -> Result<Self, Reported> {
        let text = place.text();
        let mut parts = Vec::new();
        let mut start = 0;
        let mut quote = None;
        let ends = text
            .char_indices()
            .map(|(at, c)| (at, Some(c)))
            .chain([(text.len(), None)]);
        for (at, c) in ends {
            match (quote, c) {
                (Some(open), Some(c)) if c == open => quote = None,
                (Some(_), Some(_)) => {}
                (None, Some(c @ ('"' | '\''))) => quote = Some(c),
                (None, Some('.') | None) => {
                    parts.push(part(place, start, at));
                    start = at + 1;
                }
                (None, Some(_)) => {}
                (Some(_), None) => parts.push(part(place, start, at)),
            }
        }
        if parts.iter().any(|(text, _)| text.is_empty()) || quote.is_some() {
            let problem = Problem::new("path", place, format!("`{text}` is not a path"))
                .expected("names with points between them, such as heater.left.power");
            return Err(problems.add(problem));
        }
        Ok(Self { parts })
    }
}

fn part(place: &Place, start: usize, end: usize) -> (String, Place) {
    let text = &place.text()[start..end];
    let name = text.trim().trim_matches(['"', '\'']).to_owned();
    let from = place.range.start;
    (name, Place::new(&place.source, from + start..from + end))
}

/// Puts `value` at `path` into `table`; tables are merged, everything else is replaced.
pub(crate) fn put(
    table: &mut Table,
    section: &'static Section,
    path: &[(String, Place)],
    value: Node,
    problems: &Problems,
) -> Result<(), Reported> {
    let Some(((key, key_place), rest)) = path.split_first() else {
        return Ok(());
    };
    let Some(field) = section.fields.iter().find(|field| field.name == key) else {
        return Err(problems.add(unknown_key(key, key_place, section.fields, section.name)));
    };
    if let FieldKind::Tables(inner) = field.kind {
        return put_into_list(table, inner, (key, key_place), rest, value, problems);
    }
    if rest.is_empty() && !matches!((&value.value, field.kind.section()), (Value::Table(_), Some(_))) {
        table.put(key, key_place, value);
        return Ok(());
    }
    let Some(inner) = field.kind.section() else {
        let (_, place) = &rest[0];
        let problem = Problem::new("path", place, format!("`{key}` has nothing inside it"))
            .label("the path ends before this")
            .expected(format!("`{key}`: {}", field.expected()));
        return Err(problems.add(problem));
    };
    let child = child_table(table, field, inner, key_place);
    match (rest.is_empty(), value) {
        (
            true,
            Node {
                value: Value::Table(changes),
                ..
            },
        ) => merge(child, inner, changes, problems),
        (_, value) => put(child, inner, rest, value, problems),
    }
}

/// Every entry of `changes` by itself, so that one mistake does not hide another.
fn merge(
    table: &mut Table,
    section: &'static Section,
    changes: Table,
    problems: &Problems,
) -> Result<(), Reported> {
    let mut result = Ok(());
    for entry in changes.entries {
        let one = put(
            table,
            section,
            &[(entry.key, entry.key_place)],
            entry.node,
            problems,
        );
        result = result.and(one);
    }
    result
}

fn put_into_list(
    table: &mut Table,
    section: &'static Section,
    (key, key_place): (&str, &Place),
    rest: &[(String, Place)],
    value: Node,
    problems: &Problems,
) -> Result<(), Reported> {
    let Some(((name, name_place), rest)) = rest.split_first() else {
        return match value {
            // A table of names: { left = { power = "400 W" } }, or a whole new list.
            Node {
                value: Value::Table(by_name),
                ..
            } => {
                let mut result = Ok(());
                for entry in by_name.entries {
                    let path = [(entry.key, entry.key_place)];
                    let one = put_into_list(table, section, (key, key_place), &path, entry.node, problems);
                    result = result.and(one);
                }
                result
            }
            list => {
                table.put(key, key_place, list);
                Ok(())
            }
        };
    };
    let items = match table.get_mut(key).map(|node| &mut node.value) {
        Some(Value::List(items)) => items.as_mut_slice(),
        _ => &mut [],
    };
    let known: Vec<String> = items
        .iter()
        .filter_map(|item| match &item.value {
            Value::Table(item) => name_of(item).map(str::to_owned),
            _ => None,
        })
        .collect();
    let found = items.iter_mut().find_map(|item| match &mut item.value {
        Value::Table(item) if name_of(item) == Some(name) => Some(item),
        _ => None,
    });
    match (found, value) {
        (None, _) => Err(problems.add(no_such_thing(key, name, name_place, &known))),
        (
            Some(item),
            Node {
                value: Value::Table(changes),
                ..
            },
        ) if rest.is_empty() => merge(item, section, changes, problems),
        (Some(_), _) if rest.is_empty() => {
            let problem = Problem::new("path", name_place, format!("`{key}.{name}` is a whole {key}"))
                .label("say which field")
                .expected(format!(
                    "a path on to one of its fields, such as {key}.{name}.{}",
                    section.fields[1].name
                ));
            Err(problems.add(problem))
        }
        (Some(item), value) => put(item, section, rest, value, problems),
    }
}

/// A path names a thing that its list does not have.
pub(crate) fn no_such_thing(key: &str, name: &str, place: &Place, known: &[String]) -> Problem {
    let expected = if known.is_empty() {
        format!("a {key} with a name, but there is none")
    } else {
        format!("the name of a {key}: {}", known.join(", "))
    };
    Problem::new("path", place, format!("no {key} is named `{name}`"))
        .label(format!("no such {key}"))
        .found(name)
        .expected(expected)
        .nearest(nearest(name, known.iter().map(String::as_str)))
}

/// The table of a field, made where it is missing; a single value becomes the first field of its table.
fn child_table<'t>(
    table: &'t mut Table,
    field: &'static Field,
    inner: &'static Section,
    key_place: &Place,
) -> &'t mut Table {
    let is_table = matches!(
        table.get(field.name).map(|node| &node.value),
        Some(Value::Table(_))
    );
    if !is_table {
        let mut made = Table {
            place: key_place.clone(),
            entries: Vec::new(),
        };
        if let (Some(old), FieldKind::QuantityOrTable(..)) = (table.get(field.name), field.kind) {
            made.put(inner.fields[0].name, key_place, old.clone());
        }
        table.put(
            field.name,
            key_place,
            Node {
                place: key_place.clone(),
                value: Value::Table(made),
            },
        );
    }
    match table.get_mut(field.name) {
        Some(Node {
            value: Value::Table(child),
            ..
        }) => child,
        // `put` above just made it a table.
        _ => unreachable!("the field holds a table"),
    }
}
