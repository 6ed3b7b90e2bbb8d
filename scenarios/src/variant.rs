//! Scenarios that are others with changes: `base`, `remove` and `set`.

use std::path::{Path as FilePath, PathBuf};
use std::sync::Arc;

use crate::fields::scenario::{SCENARIO, VARIANT};
use crate::law::is_script;
use crate::library;
use crate::nearest::nearest;
use crate::node::{Entry, Node, Table, Value, parse};
use crate::path::{Path, put};
use crate::problem::{Problem, Problems, Reported};
use crate::read::Titles;
use crate::reader::Reader;
use crate::removal::remove;
use crate::source::{Place, Source};
use crate::text_file;

/// Bases of bases: far more than anybody needs, and an end to circles.
const DEEPEST: usize = 16;

/// A whole tree, with its bases' fields and all changes in it.
#[derive(Debug, Clone)]
pub(crate) struct Tree {
    pub root: Table,
    pub titles: Titles,
}

/// Where relative paths of a file start from.
#[derive(Clone, Copy)]
pub(crate) struct Around<'a> {
    pub folder: &'a FilePath,
    pub depth: usize,
}

/// The tree of a source; a variant's base is loaded and changed.
pub(crate) fn tree(source: &Arc<Source>, around: Around<'_>, problems: &Problems) -> Result<Tree, Reported> {
    let root = parse_document(source, problems)?;
    let titles = Titles {
        name: short_name(&source.name),
        teaches: library::comment_on_top(&source.text),
    };
    for (key, kind) in [("strategy", "a strategy"), ("scenarios", "a study")] {
        if let Some(entry) = root.entries.iter().find(|entry| entry.key == key) {
            let problem = Problem::new("other-kind", &entry.key_place, format!("this file is {kind}"))
                .label("no scenario has this")
                .expected("a scenario");
            return Err(problems.add(problem));
        }
    }
    if root.get("base").is_none() {
        return Ok(Tree { root, titles });
    }
    variant(&root, titles, around, problems)
}

/// Reads a text; an empty one is a mistake of its own.
pub(crate) fn parse_document(source: &Arc<Source>, problems: &Problems) -> Result<Table, Reported> {
    let root = parse(source, problems);
    if root.entries.is_empty() && problems.is_empty() {
        let place = Place::new(source, 0..source.text.len().min(1));
        let problem = Problem::new("empty", &place, "the file says nothing")
            .label("nothing here")
            .expected("a scenario, a strategy or a study")
            .fix("title = \"My tank\"");
        return Err(problems.add(problem));
    }
    Ok(root)
}

/// A variant's table (a file, or an entry of a study): base, then changes.
pub(crate) fn variant(
    table: &Table,
    own: Titles,
    around: Around<'_>,
    problems: &Problems,
) -> Result<Tree, Reported> {
    let reader = Reader::open(table, &VARIANT, problems);
    let (base, name) = (reader.text("base"), reader.optional_text("name"));
    let (title, teaches) = (reader.optional_text("title"), reader.optional_text("teaches"));
    let base_place = reader.place_of("base");
    let mut tree = named(&base?, base_place, around, problems)?;
    for (path, node) in reader.optional_texts("remove")?.unwrap_or_default() {
        // What is wrong is written down; the rest is tried all the same.
        let _reported = Path::read(&node.part(0..path.len()), problems)
            .and_then(|path| remove(&mut tree.root, &path, problems));
    }
    if let Some(settings) = reader.optional_table("set")? {
        for entry in &settings.entries {
            let _reported = apply(&mut tree.root, &entry.key_place, entry.node.clone(), problems);
        }
    }
    for key in ADDED {
        if let Some(entry) = table.entries.iter().find(|entry| entry.key == key) {
            add(&mut tree.root, entry, problems)?;
        }
    }
    for key in ["title", "teaches"] {
        if let Some(entry) = table.entries.iter().find(|entry| entry.key == key) {
            tree.root.put(key, &entry.key_place, entry.node.clone());
        }
    }
    title?;
    if teaches?.is_none() && !own.teaches.is_empty() {
        tree.titles.teaches = own.teaches;
    }
    tree.titles.name = name?.unwrap_or(own.name);
    tree.root.entries.retain(|entry| entry.key != "name");
    Ok(tree)
}

/// What a variant's own lists join.
const ADDED: [&str; 2] = ["event", "fault"];

/// Appends the lists of a text to those of a tree.
pub(crate) fn add_entries(
    root: &mut Table,
    entries: &Arc<Source>,
    problems: &Problems,
) -> Result<(), Reported> {
    for entry in &parse(entries, problems).entries {
        add(root, entry, problems)?;
    }
    Ok(())
}

/// Appends a list of tables to that of the base.
fn add(root: &mut Table, own: &Entry, problems: &Problems) -> Result<(), Reported> {
    let Value::List(items) = &own.node.value else {
        let problem = Problem::new("type", &own.node.place, format!("`{}` is no list", own.key))
            .expected(format!("[[{}]]", own.key));
        return Err(problems.add(problem));
    };
    match root.get_mut(&own.key).map(|node| &mut node.value) {
        Some(Value::List(there)) => there.extend(items.iter().cloned()),
        _ => root.put(&own.key, &own.key_place, own.node.clone()),
    }
    Ok(())
}

/// Puts one value in, its path as written at `key_place`.
pub(crate) fn apply(
    root: &mut Table,
    key_place: &Place,
    value: Node,
    problems: &Problems,
) -> Result<(), Reported> {
    let inner = unquoted(key_place);
    let path = Path::read(&inner, problems)?;
    put(root, &SCENARIO, &path.parts, value, problems)
}

/// A quoted key without its quotes: `"heater.left.power"` is a path, not one name.
fn unquoted(place: &Place) -> Place {
    let text = place.text();
    match text.chars().next() {
        Some(quote @ ('"' | '\'')) if text.len() > 2 && text.ends_with(quote) => {
            Place::new(&place.source, place.range.start + 1..place.range.end - 1)
        }
        _ => place.clone(),
    }
}

/// The scenario of a library name or a path.
pub(crate) fn named(
    name: &str,
    place: &Place,
    around: Around<'_>,
    problems: &Problems,
) -> Result<Tree, Reported> {
    if around.depth >= DEEPEST {
        let problem = Problem::new("base-of-itself", place, "bases go round in a circle, or too deep")
            .expected(format!("at most {DEEPEST} bases of bases"));
        return Err(problems.add(problem));
    }
    if let Some(text) = library::text(name) {
        let around = Around {
            depth: around.depth + 1,
            ..around
        };
        return tree(&Source::new(name, text), around, problems);
    }
    if !looks_like_path(name) {
        return Err(problems.add(unknown_scenario(name, place)));
    }
    let path: PathBuf = around.folder.join(name);
    match text_file::read(&path) {
        Ok(source) => {
            let folder = path.parent().unwrap_or(FilePath::new("")).to_owned();
            tree(
                &source,
                Around {
                    folder: &folder,
                    depth: around.depth + 1,
                },
                problems,
            )
        }
        Err(error) => {
            let problem = Problem::new("unreadable", place, format!("`{name}`: {error}"))
                .label("cannot be read")
                .found(name)
                .expected("the path of a scenario file, or a name of the library");
            Err(problems.add(problem))
        }
    }
}

/// Whether a text is meant as a path rather than as a name: it ends in ".toml" or has a slash.
#[must_use]
pub fn looks_like_path(name: &str) -> bool {
    name.ends_with(".toml") || is_script(name) || name.contains(['/', '\\'])
}

pub(crate) fn unknown_scenario(name: &str, place: &Place) -> Problem {
    let known: Vec<&str> = library::names().collect();
    Problem::new(
        "unknown-scenario",
        place,
        format!("no scenario is named `{name}`"),
    )
    .label("no such scenario")
    .found(name)
    .expected(format!(
        "one of {}, or the path of a .toml file",
        known.join(", ")
    ))
    .nearest(nearest(name, known.iter().copied()))
}

/// "my-tank" of "folder/my-tank.toml".
pub(crate) fn short_name(name: &str) -> String {
    let stem = FilePath::new(name).file_stem().and_then(|stem| stem.to_str());
    stem.unwrap_or(name).to_owned()
}
