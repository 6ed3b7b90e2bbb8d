//! Taking things out of a tree by path: "heater.right", "watch.too warm", "tank.display.rock", "cost".

use crate::fields::scenario::SCENARIO;
use crate::fields::{FieldKind, Presence, Section};
use crate::mistakes::unknown_key;
use crate::names::name_of;
use crate::node::{Node, Table, Value};
use crate::path::{Path, no_such_thing};
use crate::problem::{Problem, Problems, Reported};
use crate::source::Place;

/// Takes out what stands at a path: a thing by its name, or a field that may be left out.
pub(crate) fn remove(root: &mut Table, path: &Path, problems: &Problems) -> Result<(), Reported> {
    take(root, &SCENARIO, &path.parts, problems)
}

fn take(
    table: &mut Table,
    section: &'static Section,
    path: &[(String, Place)],
    problems: &Problems,
) -> Result<(), Reported> {
    let Some(((key, place), rest)) = path.split_first() else {
        return Ok(());
    };
    let Some(field) = section.fields.iter().find(|field| field.name == key) else {
        return Err(problems.add(unknown_key(key, place, section.fields, section.name)));
    };
    let is_there = table.get(key).is_some();
    match (field.kind, rest) {
        (_, []) if matches!(field.presence, Presence::Required) => {
            let problem = Problem::new("path", place, format!("`{key}` cannot be taken away"))
                .label("it must be there")
                .expected("a thing by its name, or a field that may be left out");
            Err(problems.add(problem))
        }
        (_, []) if is_there => {
            table.entries.retain(|entry| entry.key != *key);
            Ok(())
        }
        (FieldKind::Tables(inner), [(name, name_place), rest @ ..]) => {
            take_of_list(table, inner, (key, name, name_place), rest, problems)
        }
        (kind, rest) => {
            let child = table.get_mut(key).map(|node| &mut node.value);
            match (child, kind.section()) {
                (Some(Value::Table(child)), Some(inner)) => take(child, inner, rest, problems),
                (Some(_), _) => {
                    let problem = Problem::new("path", place, format!("`{key}` has nothing inside it"))
                        .label("the path ends here in the base")
                        .expected(format!("a path that ends with `{key}`"));
                    Err(problems.add(problem))
                }
                (None, _) => {
                    let problem =
                        Problem::new("path", place, format!("`{key}` is not there to be taken away"))
                            .label("not in the base")
                            .expected("something that the base has");
                    Err(problems.add(problem))
                }
            }
        }
    }
}

/// A thing of a list, or something inside it.
fn take_of_list(
    table: &mut Table,
    section: &'static Section,
    (key, name, name_place): (&str, &str, &Place),
    rest: &[(String, Place)],
    problems: &Problems,
) -> Result<(), Reported> {
    let mut none = Vec::new();
    let items = match table.get_mut(key).map(|node| &mut node.value) {
        Some(Value::List(items)) => items,
        _ => &mut none,
    };
    let known: Vec<String> = items.iter().filter_map(item_name).map(str::to_owned).collect();
    let found = items.iter_mut().find(|item| item_name(item) == Some(name));
    match found.map(|item| &mut item.value) {
        Some(Value::Table(_)) if rest.is_empty() => {
            items.retain(|item| item_name(item) != Some(name));
            Ok(())
        }
        Some(Value::Table(item)) => take(item, section, rest, problems),
        _ => Err(problems.add(no_such_thing(key, name, name_place, &known))),
    }
}

fn item_name(item: &Node) -> Option<&str> {
    match &item.value {
        Value::Table(item) => name_of(item),
        _ => None,
    }
}
