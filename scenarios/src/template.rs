//! The commented file that `tepid new` writes: which sections and values it shows stands here, everything said about
//! them comes from the field tables. Fields that may be left out are shown as comments.

use std::fmt::Write;

use tepid_strategies::Entry;
use tepid_strategies::guard::guards;

use crate::fields::scenario::{SCENARIO, VARIANT};
use crate::fields::study::STUDY;
use crate::fields::{Field, FieldKind, Presence, Section, act, happening, strategy};
use crate::load::FileKind;

/// Column where comments start.
const COMMENT_COLUMN: usize = 44;

/// Marks what is said about the line above and never becomes a line of the file.
const HINT: &str = "##   ";

/// Longest line with what holds where a field is left out.
const LONGEST_LINE: usize = 140;

/// The sections of the scenario that are live, in order, each with values other than the fields' examples.
const SHOWN: &[(&str, &[(&str, &str)])] = &[
    (
        "water",
        &[
            ("salinity", "\"35 g/kg\""),
            ("band", "[\"25.0 °C\", \"26.0 °C\"]"),
        ],
    ),
    (
        "livestock",
        &[("danger_hot", ""), ("danger_cold", ""), ("fastest", "")],
    ),
    ("tank", &[("inside", ""), ("water_height", ""), ("cover", "")]),
    (
        "room",
        &[
            (
                "temperature",
                "{ mean = \"20 °C\", swing = \"3 K\", warmest = \"16:00\" }",
            ),
            ("humidity", ""),
            ("year", ""),
        ],
    ),
    ("pump", &[("name", "\"filter\""), ("power", "\"15 W\"")]),
    (
        "heater",
        &[
            ("power", "\"200 W\""),
            ("chain", "[\"relay left\", \"dial left\"]"),
        ],
    ),
    ("contact", &[]),
    (
        "contact",
        &[
            ("name", "\"dial left\""),
            ("kind", "\"thermostat\""),
            ("opens_above", ""),
        ],
    ),
    ("probe", &[]),
    ("event", &[("daily", ""), ("lasts", "")]),
    ("cost", &[]),
];

/// A commented file of a kind. A strategy's is that of the first in the registry.
#[must_use]
pub fn template(kind: FileKind) -> String {
    match kind {
        FileKind::Scenario => scenario(),
        FileKind::Strategy => tepid_strategies::registry()
            .first()
            .map_or_else(String::new, strategy_template),
        FileKind::Study => study(),
    }
}

/// A commented strategy file with all parameters of a strategy and of all guards.
#[must_use]
pub fn strategy_template(entry: &Entry) -> String {
    let mut out = format!("# {}\n", entry.summary);
    let fields = strategy::fields(entry);
    for field in fields
        .iter()
        .filter(|field| !matches!(field.kind, FieldKind::Guards))
    {
        let name = format!("\"{}\"", entry.name);
        let value = if field.name == "strategy" {
            name
        } else {
            field.example.to_string()
        };
        let shown = matches!(field.presence, Presence::Required);
        line(&mut out, field, &value, shown);
    }
    out += "\n## A law of your own: strategy = \"script\" and file = \"mine.rhai\" (tepid new strategy --script mine.rhai),\n\
            ## or strategy = \"program\" and command = [\"python3\", \"mine.py\"].\n";
    out += "\n## Guards stand around the strategy, the first one innermost: take the marks away from those you want.\n";
    for guard in guards() {
        written_header(&mut out, "# [[guard]]", guard.summary);
        for field in strategy::guard_fields(guard) {
            let name = format!("\"{}\"", guard.name);
            let value = if field.name == "guard" {
                &name
            } else {
                field.example.as_ref()
            };
            line(&mut out, &field, value, false);
        }
    }
    out
}

fn scenario() -> String {
    let mut out = String::from(
        "# What this scenario is about.\n# What somebody may learn from it.\n\n# Every quantity carries its unit: L, gal, cm, in, °C, °F, K (differences), W, L/h, gal/h, min, h, d.\n# Lines that start with # are optional and show what could stand there; those with ## say what the line above may say.\n",
    );
    out += "## In place of all below, a file may be another one with changes:\n";
    for field in VARIANT.fields {
        explained(
            &mut out,
            field,
            &format!("{HINT}{} = {}", field.name, field.example),
        );
    }
    out.push('\n');
    for field in SCENARIO.fields.iter().filter(|field| !is_table(field)) {
        let value = if field.name == "title" {
            "\"My tank\""
        } else {
            field.example.as_ref()
        };
        line(
            &mut out,
            field,
            value,
            matches!(field.presence, Presence::Required),
        );
    }
    for field in SCENARIO.fields.iter().filter(|field| is_table(field)) {
        let Some(section) = field.kind.section() else {
            continue;
        };
        let live: Vec<_> = SHOWN.iter().filter(|(name, _)| *name == field.name).collect();
        let Some((first, more)) = live.split_first() else {
            dead_section(&mut out, field, section);
            continue;
        };
        header(&mut out, field, section, "");
        for inner in section.fields {
            let own = first.1.iter().find(|(name, _)| *name == inner.name);
            let shown = own.is_some() || matches!(inner.presence, Presence::Required);
            line(&mut out, inner, value(inner, own), shown);
        }
        for (_, values) in more {
            header(&mut out, field, section, "");
            for inner in section.fields {
                let own = values.iter().find(|(name, _)| *name == inner.name);
                if own.is_some() || matches!(inner.presence, Presence::Required) {
                    line(&mut out, inner, value(inner, own), true);
                }
            }
        }
    }
    out
}

fn value<'a>(field: &'a Field, own: Option<&(&str, &'a str)>) -> &'a str {
    match own {
        Some((_, value)) if !value.is_empty() => value,
        _ => &field.example,
    }
}

/// Fields of a study that a file to start from leaves out.
const LEFT_OUT_OF_A_STUDY: &[&str] = &["title", "reference", "duration", "scored_from"];

/// The three ways to vary a field, each with the fields that belong to it.
const WAYS_TO_VARY: &[&[&str]] = &[
    &["path", "values"],
    &["path", "from", "to", "steps"],
    &["path", "distribution", "low", "likely", "high", "mean", "spread"],
];

/// The fields of the gate that is live.
const LIVE_IN_GATE: &[&str] = &["score", "under", "at_most"];

fn study() -> String {
    let mut out = String::from("# What is compared, and what must hold.\n");
    for field in STUDY.fields.iter().filter(|field| !is_table(field)) {
        let shown = !LEFT_OUT_OF_A_STUDY.contains(&field.name);
        line(&mut out, field, &field.example, shown);
    }
    for field in STUDY.fields.iter().filter(|field| is_table(field)) {
        let Some(section) = field.kind.section() else {
            continue;
        };
        match field.name {
            "vary" => {
                for way in WAYS_TO_VARY {
                    header(&mut out, field, section, "# ");
                    for inner in section.fields.iter().filter(|inner| way.contains(&inner.name)) {
                        line(&mut out, inner, &inner.example, false);
                    }
                }
            }
            "gate" => {
                header(&mut out, field, section, "");
                for inner in section.fields {
                    line(
                        &mut out,
                        inner,
                        &inner.example,
                        LIVE_IN_GATE.contains(&inner.name),
                    );
                }
            }
            _ => dead_section(&mut out, field, section),
        }
    }
    out
}

/// A section as comments only.
fn dead_section(out: &mut String, field: &Field, section: &Section) {
    header(out, field, section, "# ");
    for inner in section.fields {
        line(out, inner, &inner.example, false);
    }
}

fn header(out: &mut String, field: &Field, section: &Section, mark: &str) {
    let written = match field.kind {
        FieldKind::Tables(_) => format!("{mark}[[{}]]", field.name),
        _ => format!("{mark}[{}]", field.name),
    };
    written_header(out, &written, section.doc);
}

fn written_header(out: &mut String, written: &str, doc: &str) {
    // Writing to a string cannot fail.
    let _ = writeln!(out, "\n{written:<COMMENT_COLUMN$}# {doc}");
}

fn line(out: &mut String, field: &Field, value: &str, shown: bool) {
    let mark = if shown { "" } else { "# " };
    explained(out, field, &format!("{mark}{} = {value}", field.name));
    hints(out, field, HINT);
}

/// A line with what its field is for.
fn explained(out: &mut String, field: &Field, written: &str) {
    let otherwise = match &field.presence {
        Presence::Required => String::new(),
        Presence::Default(default) => format!("; left out: {default}"),
        Presence::Otherwise(otherwise) => format!("; left out: {otherwise}"),
    };
    let start = written.chars().count().max(COMMENT_COLUMN - 1);
    // What would run off the screen is left to `explain`.
    let fits = start + field.doc.chars().count() + otherwise.chars().count() <= LONGEST_LINE;
    let otherwise = if fits { otherwise } else { String::new() };
    let _ = writeln!(
        out,
        "{written:<width$} # {}{otherwise}",
        field.doc,
        width = COMMENT_COLUMN - 1
    );
}

/// What a field may say beside its example: its words, and the fields of a table in it, with theirs.
fn hints(out: &mut String, field: &Field, mark: &str) {
    match field.kind {
        FieldKind::Choice(words) | FieldKind::Choices(words) | FieldKind::ChoiceOrQuantity(words, _) => {
            let used_by: fn(&str) -> &'static [&'static str] = match field.name {
                "what" => happening::used_by,
                "does" => act::used_by,
                _ => |_| &[],
            };
            let words = words.iter().map(|word| match used_by(word) {
                [] => format!("\"{word}\""),
                fields => format!("\"{word}\" ({})", fields.join(", ")),
            });
            wrapped(out, mark, "one of ", &words.collect::<Vec<_>>());
        }
        FieldKind::FaultTime | FieldKind::Moment => {
            let _ = writeln!(out, "{mark}{}", field.kind.words());
        }
        _ => {}
    }
    let Some(section) = field.kind.section() else {
        return;
    };
    for inner in section.fields {
        explained(out, inner, &format!("{mark}{} = {}", inner.name, inner.example));
        hints(out, inner, &format!("{mark}  "));
    }
}

/// Words in lines that stay on the screen.
fn wrapped(out: &mut String, mark: &str, first: &str, words: &[String]) {
    let mut line = format!("{mark}{first}");
    for (at, word) in words.iter().enumerate() {
        let last = at + 1 == words.len();
        let word = if last { word.clone() } else { format!("{word}, ") };
        if line.chars().count() + word.trim_end().chars().count() > LONGEST_LINE {
            let _ = writeln!(out, "{}", line.trim_end());
            line = format!("{mark}{:width$}", "", width = first.chars().count());
        }
        line += &word;
    }
    let _ = writeln!(out, "{line}");
}

/// Fields that stand below a header of their own.
fn is_table(field: &Field) -> bool {
    matches!(
        field.kind,
        FieldKind::Table(_) | FieldKind::Tables(_) | FieldKind::WordOrTable(..)
    )
}
