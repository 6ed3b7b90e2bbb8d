//! A scenario as one text that needs no other file: its bases' fields, changes and lists, written out. Of its comments the one on top stays, as what it teaches.

use std::path::Path as FilePath;

use crate::library;
use crate::load::{Setting, finish, read_source, scenario_tree};
use crate::node::{Node, Table, Value, parse};
use crate::problem::{Problem, Problems, Report, Reported};
use crate::source::Source;
use crate::variant::{self, Around, Tree};

/// The scenario of a library name or a path, with changes by path, written out.
///
/// # Errors
/// [`Report`] with every mistake of files and changes; a scenario that names a weather file needs that file and cannot be written out.
pub fn written_out(name_or_path: &str, settings: &[Setting]) -> Result<String, Report> {
    let problems = Problems::default();
    let tree = scenario_tree(name_or_path, settings, &problems)?;
    finish(tree.and_then(|tree| text_of(&tree, &problems)), problems)
}

/// A scenario's text with changes by path and more entries of its lists (`[[event]]`, `[[fault]]`, as TOML), written out.
///
/// # Errors
/// As [`written_out`].
pub fn text_written_out(
    name: &str,
    text: &str,
    settings: &[Setting],
    entries: &str,
) -> Result<String, Report> {
    let problems = Problems::default();
    let source = Source::new(name, text);
    let around = Around {
        folder: FilePath::new(""),
        depth: 0,
    };
    let written = variant::tree(&source, around, &problems).and_then(|mut tree| {
        for setting in settings {
            crate::load::apply_setting(&mut tree, setting, &problems)?;
        }
        variant::add_entries(&mut tree.root, &Source::new("entries", entries), &problems)?;
        text_of(&tree, &problems)
    });
    finish(written, problems)
}

/// The text of a scenario that goes alone: as it stands in its file where that needs no other file and nothing is changed, else written out.
///
/// # Errors
/// As [`written_out`].
pub fn carried(name_or_path: &str, settings: &[Setting]) -> Result<String, Report> {
    let written = written_out(name_or_path, settings)?;
    let stated = match library::text(name_or_path) {
        Some(text) => text.to_owned(),
        None => read_source(FilePath::new(name_or_path))?.text.clone(),
    };
    let root = parse(&Source::new(name_or_path, &stated), &Problems::default());
    let alone = match root.get("base").map(|node| &node.value) {
        None => true,
        Some(Value::Text { text, .. }) => library::text(text).is_some(),
        Some(_) => false,
    };
    Ok(if alone && settings.is_empty() {
        stated
    } else {
        written
    })
}

fn text_of(tree: &Tree, problems: &Problems) -> Result<String, Reported> {
    if let Some(file) = file_named(&tree.root) {
        let problem = Problem::new("needs-a-file", &file.place, "this names another file")
            .label("stays behind where the scenario goes alone")
            .expected("a room of figures, such as temperature = \"21 °C\"");
        return Err(problems.add(problem));
    }
    let mut text = String::new();
    if tree.root.get("teaches").is_none() && !tree.titles.teaches.is_empty() {
        text += &format!("teaches = {}\n", quoted(&tree.titles.teaches));
    }
    // Whatever stands below a head belongs to it, so that heads come last.
    let (heads, lines): (Vec<_>, Vec<_>) = tree
        .root
        .entries
        .iter()
        .partition(|entry| has_a_head(&entry.node));
    for entry in lines {
        text += &line(&entry.key, &entry.node);
    }
    for entry in heads {
        match &entry.node.value {
            Value::Table(table) => text += &format!("\n[{}]\n{}", key(&entry.key), lines_of(table)),
            Value::List(items) => {
                for item in items {
                    if let Value::Table(table) = &item.value {
                        text += &format!("\n[[{}]]\n{}", key(&entry.key), lines_of(table));
                    }
                }
            }
            _ => {}
        }
    }
    Ok(text)
}

/// The first other file that is named.
fn file_named(table: &Table) -> Option<&Node> {
    table.entries.iter().find_map(|entry| match &entry.node.value {
        Value::Text { .. } if entry.key == "file" => Some(&entry.node),
        Value::Table(inner) => file_named(inner),
        Value::List(items) => items.iter().find_map(|item| match &item.value {
            Value::Table(inner) => file_named(inner),
            _ => None,
        }),
        _ => None,
    })
}

/// Tables, and lists of nothing but tables.
fn has_a_head(node: &Node) -> bool {
    match &node.value {
        Value::Table(_) => true,
        Value::List(items) => {
            !items.is_empty() && items.iter().all(|item| matches!(item.value, Value::Table(_)))
        }
        _ => false,
    }
}

fn lines_of(table: &Table) -> String {
    table
        .entries
        .iter()
        .map(|entry| line(&entry.key, &entry.node))
        .collect()
}

fn line(name: &str, node: &Node) -> String {
    format!("{} = {}\n", key(name), value(node))
}

fn key(name: &str) -> String {
    let is_bare = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    if !name.is_empty() && name.chars().all(is_bare) {
        name.to_owned()
    } else {
        quoted(name)
    }
}

fn value(node: &Node) -> String {
    match &node.value {
        Value::Text { text, .. } => quoted(text),
        Value::List(items) => {
            let items: Vec<String> = items.iter().map(value).collect();
            format!("[{}]", items.join(", "))
        }
        Value::Table(table) => {
            let entries = table.entries.iter();
            let entries: Vec<String> = entries
                .map(|entry| format!("{} = {}", key(&entry.key), value(&entry.node)))
                .collect();
            if entries.is_empty() {
                "{}".to_owned()
            } else {
                format!("{{ {} }}", entries.join(", "))
            }
        }
        // Numbers, dates and flags as they were written.
        Value::Integer(_) | Value::Float(_) | Value::Flag(_) | Value::Date(_) => node.place.text().to_owned(),
    }
}

/// A text as TOML writes it.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            c if c.is_control() => out += &format!("\\u{:04X}", u32::from(c)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
