//! The tree of a TOML text, with the place of every key and value; the values keep their places when a variant
//! puts them into another file's tree.

use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::problem::{Problem, Problems};
use crate::source::{Place, Source};

/// A value and where it stands.
#[derive(Debug, Clone)]
pub(crate) struct Node {
    pub place: Place,
    pub value: Value,
}

#[derive(Debug, Clone)]
pub(crate) enum Value {
    /// A string; with the byte its content starts at, where the content stands in the source as it is.
    Text {
        text: String,
        content_start: Option<usize>,
    },
    Integer(Option<i64>),
    Float(Option<f64>),
    Flag(bool),
    Date(String),
    List(Vec<Node>),
    Table(Table),
}

/// A table, its entries in the order of the file.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    /// Its header, or all of an inline table.
    pub place: Place,
    pub entries: Vec<Entry>,
}

#[derive(Debug, Clone)]
pub(crate) struct Entry {
    pub key: String,
    pub key_place: Place,
    pub node: Node,
}

impl Table {
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entries
            .iter()
            .find(|entry| entry.key == key)
            .map(|entry| &entry.node)
    }

    /// The table with these of its keys alone.
    pub fn with_only(&self, keys: &[&str]) -> Self {
        let of_them = self
            .entries
            .iter()
            .filter(|entry| keys.contains(&entry.key.as_str()));
        Self {
            place: self.place.clone(),
            entries: of_them.cloned().collect(),
        }
    }

    /// The table under a key; `None` where there is none or something else.
    pub fn table(&self, key: &str) -> Option<&Self> {
        match self.get(key).map(|node| &node.value) {
            Some(Value::Table(inner)) => Some(inner),
            _ => None,
        }
    }

    pub fn get_mut(&mut self, key: &str) -> Option<&mut Node> {
        self.entries
            .iter_mut()
            .find(|entry| entry.key == key)
            .map(|entry| &mut entry.node)
    }

    /// Puts a value in, in place of one with that key if there is one.
    pub fn put(&mut self, key: &str, key_place: &Place, node: Node) {
        match self.entries.iter_mut().find(|entry| entry.key == key) {
            Some(entry) => {
                entry.node = node;
                entry.key_place = key_place.clone();
            }
            None => self.entries.push(Entry {
                key: key.to_owned(),
                key_place: key_place.clone(),
                node,
            }),
        }
    }
}

impl Node {
    /// What stands there, in words.
    pub fn what(&self) -> &'static str {
        match self.value {
            Value::Text { .. } => "a text",
            Value::Integer(_) | Value::Float(_) => "a bare number",
            Value::Flag(_) => "true or false",
            Value::Date(_) => "a date",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
        }
    }

    /// A part of a text value, by bytes of the text.
    pub fn part(&self, range: std::ops::Range<usize>) -> Place {
        match self.value {
            Value::Text {
                content_start: Some(start),
                ..
            } if !range.is_empty() => Place::new(&self.place.source, start + range.start..start + range.end),
            _ => self.place.clone(),
        }
    }
}

/// Reads a TOML text; mistakes of its grammar go to `problems`, what could be understood is returned.
pub(crate) fn parse(source: &Arc<Source>, problems: &Problems) -> Table {
    let (document, errors) = DeTable::parse_recoverable(&source.text);
    for error in errors {
        let range = error.span().unwrap_or(0..0);
        problems.add(grammar_problem(source, range, error.message()));
    }
    table(source, document.get_ref(), Place::new(source, 0..0))
}

fn grammar_problem(source: &Arc<Source>, range: std::ops::Range<usize>, message: &str) -> Problem {
    let place = Place::new(source, range);
    let first = message.lines().next().unwrap_or("not understood");
    let problem =
        Problem::new("grammar", &place, format!("this is not TOML: {first}")).label("not understood");
    match unquoted_quantity(&place) {
        Some(fix) => problem.expected("quantities and words in quotes").fix(fix),
        None => problem,
    }
}

/// The line with quotes around its value, if the line is `key = 300 L` without them.
fn unquoted_quantity(place: &Place) -> Option<String> {
    let (line, _) = place.line();
    let (key, value) = line.split_once('=')?;
    let value = value.split('#').next().unwrap_or("").trim();
    let plain = !value.is_empty() && value.len() < 60 && !value.contains(['"', '\'', '[', '{', '=']);
    plain.then(|| format!("{} = \"{value}\"", key.trim()))
}

fn table(source: &Arc<Source>, raw: &DeTable<'_>, place: Place) -> Table {
    let mut entries: Vec<Entry> = raw
        .iter()
        .map(|(key, value)| Entry {
            key: key.get_ref().to_string(),
            key_place: Place::new(source, key.span()),
            node: node(source, value),
        })
        .collect();
    entries.sort_by_key(|entry| entry.key_place.range.start);
    Table { place, entries }
}

fn node(source: &Arc<Source>, raw: &Spanned<DeValue<'_>>) -> Node {
    let place = Place::new(source, raw.span());
    let value = match raw.get_ref() {
        DeValue::String(text) => Value::Text {
            text: text.to_string(),
            content_start: content_start(&place, text),
        },
        DeValue::Integer(number) => Value::Integer(i64::from_str_radix(number.as_str(), number.radix()).ok()),
        DeValue::Float(number) => Value::Float(number.as_str().parse().ok()),
        DeValue::Boolean(flag) => Value::Flag(*flag),
        DeValue::Datetime(date) => Value::Date(date.to_string()),
        DeValue::Array(list) => Value::List(list.iter().map(|item| node(source, item)).collect()),
        DeValue::Table(inner) => Value::Table(table(source, inner, place.clone())),
    };
    Node { place, value }
}

/// Where the content of a string starts, if it stands in the source as it is (no escapes).
fn content_start(place: &Place, text: &str) -> Option<usize> {
    let written = place.text();
    let quotes = if written.starts_with("\"\"\"") || written.starts_with("'''") {
        3
    } else {
        1
    };
    let inner = written.get(quotes..written.len().checked_sub(quotes)?)?;
    (inner == text).then_some(place.range.start + quotes)
}

/// A value as an option gives it: TOML where it reads as something else than a bare word, else the text itself.
pub(crate) fn from_option(source: &Arc<Source>, value_start: usize) -> Node {
    let written = &source.text[value_start..];
    let place = Place::new(source, value_start..source.text.len());
    let toml_like = written.starts_with(['[', '{', '"', '\''])
        || written.parse::<f64>().is_ok()
        || matches!(written, "true" | "false");
    if toml_like {
        // Padded so that every place in the little document is the place in the option.
        let key = "v=";
        let padded = match value_start.checked_sub(key.len()) {
            Some(blanks) => format!("{}{key}{written}", " ".repeat(blanks)),
            None => format!("{key}{written}"),
        };
        if let Ok(document) = DeTable::parse(&padded)
            && let Some((_, value)) = document.get_ref().iter().next()
        {
            return node(source, value);
        }
    }
    Node {
        place,
        value: Value::Text {
            text: written.to_owned(),
            content_start: Some(value_start),
        },
    }
}
