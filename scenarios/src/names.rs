//! Names of the things of a scenario, gathered before anything refers to them.

use crate::fields::{Field, FieldKind, Of};
use crate::nearest::nearest;
use crate::node::{Table, Value};
use crate::problem::{Problem, Problems};
use crate::source::Place;

/// Names of one list, by position; a thing whose name could not be read has none.
pub(crate) struct Names {
    of: Of,
    names: Vec<Option<String>>,
    /// A name stands twice.
    twice: bool,
}

impl Names {
    /// Gathers the names of a list's tables; a name that stands twice is reported.
    pub fn gather(of: Of, tables: &[&Table], problems: &Problems) -> Self {
        let names: Vec<Option<String>> = tables
            .iter()
            .map(|table| name_of(table).map(str::to_owned))
            .collect();
        let twice = report_twice(of.word(), tables, problems);
        Self { of, names, twice }
    }

    /// The boxes that contacts sit in, each once, in the order in which they first stand in the file.
    pub fn of_boxes(contact_tables: &[&Table]) -> Self {
        let mut names: Vec<Option<String>> = Vec::new();
        for table in contact_tables {
            if let Some(Value::Text { text, .. }) = table.get("box").map(|node| &node.value)
                && !names.iter().flatten().any(|known| known == text)
            {
                names.push(Some(text.clone()));
            }
        }
        Self {
            of: Of::Box,
            names,
            twice: false,
        }
    }

    /// What makes one of these where there is none.
    fn how_to_add(&self) -> String {
        match self.of {
            Of::Box => "give contacts a `box`".to_owned(),
            of => format!("add a [[{}]]", of.word()),
        }
    }

    /// Whether a name stands twice, which is reported.
    pub fn twice(&self) -> bool {
        self.twice
    }

    pub fn find(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|known| known.as_deref() == Some(name))
    }

    pub fn len(&self) -> usize {
        self.names.len()
    }

    /// "contact `relay left`".
    pub fn described(&self, position: usize) -> String {
        let name = self.names.get(position).and_then(Option::as_deref).unwrap_or("?");
        format!("{} `{name}`", self.of.word())
    }

    pub fn known(&self) -> impl Iterator<Item = &str> {
        self.names.iter().flatten().map(String::as_str)
    }

    /// Adds to a mistake of a field that names something what there is to name, and a line that names one of them.
    pub fn advise(&self, problem: Problem, field: &Field, expected: &str) -> Problem {
        let known: Vec<&str> = self.known().collect();
        let Some(first) = known.first() else {
            return problem.expected(format!("{expected}; there is none: {}", self.how_to_add()));
        };
        let value = match field.kind {
            FieldKind::References(_) => format!("[\"{first}\"]"),
            _ => format!("\"{first}\""),
        };
        problem
            .expected(format!("{expected}; there are: {}", known.join(", ")))
            .fix(format!("{} = {value}", field.name))
    }

    /// A name that is not there.
    pub fn unknown(&self, name: &str, place: &Place, field: &str) -> Problem {
        let word = self.of.word();
        let known: Vec<&str> = self.known().collect();
        let expected = if known.is_empty() {
            format!("the name of a {word}, but there is none: {}", self.how_to_add())
        } else {
            format!("the name of a {word}: {}", known.join(", "))
        };
        let near = nearest(name, known.iter().copied());
        let mut problem = Problem::new(
            "unknown-name",
            place,
            format!("`{field}` names no {word} of this scenario: `{name}`"),
        )
        .label(format!("no such {word}"))
        .found(name)
        .expected(expected)
        .nearest(near);
        if near.is_none() && self.of == Of::Contact {
            problem = problem.fix(format!("[[contact]]\nname = \"{name}\"\nkind = \"relay\""));
        }
        problem
    }
}

/// The name of a table, if it has one that is a text.
pub(crate) fn name_of(table: &Table) -> Option<&str> {
    match table.get("name").map(|node| &node.value) {
        Some(Value::Text { text, .. }) => Some(text),
        _ => None,
    }
}

/// Reports names that stand twice in a list, and tells whether there are any.
pub(crate) fn report_twice(word: &str, tables: &[&Table], problems: &Problems) -> bool {
    let mut twice = false;
    for (position, table) in tables.iter().enumerate() {
        let (Some(name), Some(node)) = (name_of(table), table.get("name")) else {
            continue;
        };
        if let Some(first) = tables[..position]
            .iter()
            .find(|earlier| name_of(earlier) == Some(name))
        {
            let line = first.get("name").map_or(0, |node| node.place.line_and_column().0);
            let message = format!("two {word}s are named `{name}`");
            let problem = Problem::new("duplicate-name", &node.place, message)
                .label(format!("also in line {line}"))
                .found(name)
                .expected("a name of its own")
                .fix(format!("name = \"{name} 2\""));
            problems.add(problem);
            twice = true;
        }
    }
    twice
}
