//! Names in a strategy's file that a scenario does not have. The file by itself cannot know: which probes and contacts there are says the
//! scenario it meets.

use crate::nearest::nearest;
use crate::node::{Table, Value};
use crate::problem::{Problem, Report};
use crate::source::{Place, Source};
use crate::strategy_file::StrategyFile;

/// A text in a strategy's file and where it stands.
#[derive(Debug, Clone)]
pub(crate) struct Word {
    text: String,
    place: Place,
}

/// Every text value of a table, however deep.
pub(crate) fn words(table: &Table) -> Vec<Word> {
    let mut found = Vec::new();
    for entry in &table.entries {
        collect(&entry.node.value, &entry.node.place, &mut found);
    }
    found
}

fn collect(value: &Value, place: &Place, found: &mut Vec<Word>) {
    match value {
        Value::Text { text, .. } => found.push(Word {
            text: text.clone(),
            place: place.clone(),
        }),
        Value::List(items) => items
            .iter()
            .for_each(|item| collect(&item.value, &item.place, found)),
        Value::Table(inner) => found.extend(words(inner)),
        Value::Integer(_) | Value::Float(_) | Value::Flag(_) | Value::Date(_) => {}
    }
}

impl StrategyFile {
    /// A name in this strategy that `scenario` does not have, as a mistake at its place: what [`BindError::Unknown`] tells.
    ///
    /// [`BindError::Unknown`]: tepid_sim::strategy::BindError::Unknown
    #[must_use]
    pub fn misnamed(&self, what: &str, name: &str, known: &[String], scenario: &str) -> Report {
        let place = self.words.iter().find(|word| word.text == name).map_or_else(
            || Place::new(&Source::of_command_line(&self.name, name), 0..name.len()),
            |word| word.place.clone(),
        );
        let problem = Problem::new(
            "unknown-name",
            &place,
            format!("unknown {what} `{name}` in {scenario}"),
        );
        let expected = match known {
            [] => format!("another scenario: this one has no {what}"),
            known => format!("one of {}", known.join(", ")),
        };
        Report::of(
            problem
                .label(format!("no such {what}"))
                .found(name)
                .expected(expected)
                .nearest(nearest(name, known.iter().map(String::as_str))),
        )
    }
}
