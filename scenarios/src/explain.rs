//! What a field means, by its path.

use std::fmt;

use tepid_strategies::registry;

use crate::fields::scenario::SCENARIO;
use crate::fields::{Field, FieldKind, Presence, strategy};

/// What a field means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Explanation {
    /// Its path.
    pub path: String,
    /// What it is, one line.
    pub doc: String,
    /// What belongs there.
    pub expected: String,
    /// What holds where it is left out; `None`: it may not be.
    pub left_out: Option<String>,
    /// A line to paste.
    pub example: String,
    /// Fields inside it, if it is a table.
    pub inside: Vec<&'static str>,
}

/// Explains a field of a scenario ("heater.power", "heater.left.power", "room.temperature.swing") or of the strategies
/// ("strategy.deadband"); `None`: there is no such field.
#[must_use]
pub fn explain(path: &str) -> Option<Explanation> {
    if let Some(parameter) = path.strip_prefix("strategy.") {
        let entry = registry().iter().find(|entry| entry.param(parameter).is_some())?;
        let fields = strategy::fields(entry);
        return fields
            .iter()
            .find(|field| field.name == parameter)
            .map(|field| of_field(path, field));
    }
    let mut section = &SCENARIO;
    let mut found: Option<&Field> = None;
    let mut name_may_follow = false;
    let mut parts = path.split('.').peekable();
    while let Some(part) = parts.next() {
        match section.fields.iter().find(|field| field.name == part) {
            Some(field) => {
                name_may_follow = matches!(field.kind, FieldKind::Tables(_));
                found = Some(field);
                match field.kind.section() {
                    Some(inner) => section = inner,
                    None if parts.peek().is_some() => return None,
                    None => {}
                }
            }
            // The name of one of several: heater.left.power.
            None if name_may_follow && parts.peek().is_some() => name_may_follow = false,
            None => return None,
        }
    }
    found.map(|field| of_field(path, field))
}

fn of_field(path: &str, field: &Field) -> Explanation {
    Explanation {
        path: path.to_owned(),
        doc: field.doc.to_owned(),
        expected: field.expected(),
        left_out: match &field.presence {
            Presence::Required => None,
            Presence::Default(text) | Presence::Otherwise(text) => Some(text.to_string()),
        },
        example: crate::mistakes::fix_line(field),
        inside: field
            .kind
            .section()
            .map(|section| section.fields.iter().map(|field| field.name).collect())
            .unwrap_or_default(),
    }
}

impl fmt::Display for Explanation {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(formatter, "{}: {}", self.path, self.doc)?;
        writeln!(formatter, "  takes    {}", self.expected)?;
        match &self.left_out {
            Some(left_out) => writeln!(formatter, "  left out {left_out}")?,
            None => writeln!(formatter, "  must be there")?,
        }
        if !self.inside.is_empty() {
            writeln!(formatter, "  inside   {}", self.inside.join(", "))?;
        }
        write!(formatter, "  example  {}", self.example)
    }
}
