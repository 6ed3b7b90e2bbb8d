//! The names of fault sets that the scenarios of a study know, as far as can be told while some of them have mistakes.

use crate::fault_sets::BUILT_IN;
use crate::nearest::nearest;
use crate::node::{Node, Value};
use crate::problem::{Problem, Reported};
use crate::reader::Reader;
use crate::source::Place;
use crate::variant::{Tree, looks_like_path};

/// Names of fault sets.
pub(super) struct KnownFaults {
    names: Vec<String>,
    /// Whether there can be no others: false where a file that may define some could not be read.
    complete: bool,
}

impl KnownFaults {
    /// The sets every scenario has.
    pub(super) fn built_in() -> Self {
        Self {
            names: BUILT_IN.iter().map(|built_in| built_in.name.to_owned()).collect(),
            complete: true,
        }
    }

    /// Adds those that a scenario defines, whether or not all else of it is right.
    pub(super) fn add(&mut self, item: &Node, tree: Result<&Tree, Reported>) {
        match tree {
            Ok(tree) => {
                for name in defined(tree) {
                    if !self.names.iter().any(|known| known == name) {
                        self.names.push(name.to_owned());
                    }
                }
            }
            // A name of the library that is wrong defines nothing.
            Err(_) => self.complete &= !refers_to_a_file(item),
        }
    }
}

fn refers_to_a_file(item: &Node) -> bool {
    match &item.value {
        Value::Text { text, .. } => looks_like_path(text),
        Value::Table(table) => table.get("base").is_some_and(refers_to_a_file),
        _ => false,
    }
}

fn defined(tree: &Tree) -> impl Iterator<Item = &str> {
    let faults = match tree.root.get("fault").map(|node| &node.value) {
        Some(Value::List(faults)) => faults.as_slice(),
        _ => &[],
    };
    faults.iter().filter_map(|fault| match &fault.value {
        Value::Table(table) => match table.get("set").map(|node| &node.value) {
            Some(Value::Text { text, .. }) => Some(text.as_str()),
            _ => None,
        },
        _ => None,
    })
}

/// Refuses a name that no scenario of the study knows.
pub(super) fn known_fault(
    reader: &Reader<'_>,
    name: &str,
    place: &Place,
    known: &KnownFaults,
) -> Result<(), Reported> {
    if !known.complete || known.names.iter().any(|one| one == name) {
        return Ok(());
    }
    Err(reader.report(unknown_fault_set(name, "", &known.names, place)))
}

/// A fault set that is not there; `whose`: " of NAME", where it helps.
pub(crate) fn unknown_fault_set(name: &str, whose: &str, known: &[String], place: &Place) -> Problem {
    let message = format!("no fault set{whose} is named `{name}`");
    Problem::new("unknown-fault-set", place, message)
        .label("no such fault set")
        .found(name)
        .expected(expected(known))
        .nearest(nearest(name, known.iter().map(String::as_str)))
}

/// What may be named, in words: the list of those every scenario has, which come first, is too long for a line.
fn expected(known: &[String]) -> String {
    let own: Vec<&str> = known.iter().skip(BUILT_IN.len()).map(String::as_str).collect();
    if own.is_empty() {
        "a fault set that `tepid list` names".to_owned()
    } else {
        format!("a fault set that `tepid list` names, or {}", own.join(", "))
    }
}
