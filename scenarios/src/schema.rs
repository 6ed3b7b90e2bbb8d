//! JSON Schema of the three kinds of file, for editors, generated from the field tables.

use serde_json::{Map, Value, json};
use tepid_strategies::guard::guards;
use tepid_strategies::registry;

use crate::fields::scenario::{SCENARIO, VARIANT};
use crate::fields::score::SCORES;
use crate::fields::study::STUDY;
use crate::fields::{Field, FieldKind, Presence, Section, strategy};
use crate::law;
use crate::load::FileKind;

/// The JSON Schema (draft 2020-12) of a kind of file.
#[must_use]
pub fn schema(kind: FileKind) -> Value {
    let (title, mut body) = match kind {
        FileKind::Scenario => (
            "scenario",
            json!({ "oneOf": [section(&SCENARIO), section(&VARIANT)] }),
        ),
        FileKind::Strategy => ("strategy", json!({ "oneOf": strategies() })),
        FileKind::Study => ("study", section(&STUDY)),
    };
    if let Some(body) = body.as_object_mut() {
        body.insert(
            "$schema".to_owned(),
            json!("https://json-schema.org/draft/2020-12/schema"),
        );
        body.insert("title".to_owned(), json!(title));
        if kind != FileKind::Scenario {
            // Each strategy may have each guard: stated once.
            body.insert(
                "$defs".to_owned(),
                json!({ "guard": { "oneOf": guard_objects() } }),
            );
        }
    }
    body
}

fn section(section: &Section) -> Value {
    object(section.doc, section.fields)
}

fn object(doc: &str, fields: &[Field]) -> Value {
    let properties: Map<String, Value> = fields
        .iter()
        .map(|field| (field.name.to_owned(), property(field)))
        .collect();
    let required: Vec<&str> = fields
        .iter()
        .filter(|field| matches!(field.presence, Presence::Required))
        .map(|field| field.name)
        .collect();
    json!({
        "type": "object",
        "description": doc,
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

fn property(field: &Field) -> Value {
    let mut value = kind(field.kind);
    if let Some(value) = value.as_object_mut() {
        value.insert("description".to_owned(), json!(description(field)));
        if let (
            Presence::Default(default),
            FieldKind::Quantity(_) | FieldKind::Choice(_) | FieldKind::TimeOfDay,
        ) = (&field.presence, field.kind)
        {
            value.insert("default".to_owned(), json!(default));
        }
    }
    value
}

/// Doc line, range and what holds without it.
fn description(field: &Field) -> String {
    let mut text = field.doc.to_owned();
    if let Some(limits) = field.limits.words() {
        text.push_str(&format!("; {limits}"));
    }
    match &field.presence {
        Presence::Required => {}
        Presence::Default(default) => text.push_str(&format!("; left out: {default}")),
        Presence::Otherwise(otherwise) => text.push_str(&format!("; left out: {otherwise}")),
    }
    text
}

fn kind(kind: FieldKind) -> Value {
    let text = json!({ "type": "string" });
    match kind {
        FieldKind::Quantity(quantity) => json!({ "type": "string", "examples": [quantity.example()] }),
        FieldKind::Quantities(_, count) => {
            json!({ "type": "array", "items": text, "minItems": count, "maxItems": count })
        }
        FieldKind::Number => json!({ "type": "number" }),
        FieldKind::Whole => json!({ "type": "integer" }),
        FieldKind::Flag => json!({ "type": "boolean" }),
        FieldKind::Texts | FieldKind::References(_) | FieldKind::Paths => {
            json!({ "type": "array", "items": text })
        }
        FieldKind::Choice(words) => json!({ "type": "string", "enum": words }),
        FieldKind::Choices(words) => json!({ "type": "array", "items": { "type": "string", "enum": words } }),
        FieldKind::Text
        | FieldKind::ChoiceOrQuantity(..)
        | FieldKind::Reference(_)
        | FieldKind::TimeOfDay
        | FieldKind::Moment
        | FieldKind::FaultTime
        | FieldKind::DayOfYear
        | FieldKind::Date => text,
        FieldKind::DangerLines => {
            let row = json!({ "type": "array", "items": text, "minItems": 1, "maxItems": 2 });
            json!({ "type": "array", "items": { "anyOf": [text, row] } })
        }
        FieldKind::Course => {
            let row = json!({ "type": "array", "items": text, "minItems": 2, "maxItems": 2 });
            json!({ "type": "array", "items": row, "minItems": 1 })
        }
        FieldKind::Table(inner) => section(inner),
        FieldKind::Tables(inner) => json!({ "type": "array", "items": section(inner) }),
        FieldKind::TableOrTables(inner) => {
            json!({ "anyOf": [section(inner), { "type": "array", "items": section(inner) }] })
        }
        FieldKind::QuantityOrTable(_, inner) => json!({ "anyOf": [text, section(inner)] }),
        FieldKind::FlagOrTable(inner) => json!({ "anyOf": [{ "type": "boolean" }, section(inner)] }),
        FieldKind::WordOrTable(word, inner) => json!({ "anyOf": [{ "const": word }, section(inner)] }),
        FieldKind::Settings => json!({ "type": "object" }),
        FieldKind::Scenarios => {
            json!({ "type": "array", "items": { "anyOf": [text, section(&VARIANT)] }, "minItems": 1 })
        }
        FieldKind::Strategies => {
            let mut items = strategies();
            items.push(text);
            json!({ "type": "array", "items": { "anyOf": items }, "minItems": 1 })
        }
        FieldKind::Guards => json!({ "type": "array", "items": { "$ref": "#/$defs/guard" } }),
        FieldKind::Score => {
            json!({ "type": "string", "enum": SCORES.iter().map(|score| score.name).collect::<Vec<_>>() })
        }
        FieldKind::Bound | FieldKind::Value => json!({ "type": ["string", "number"] }),
        FieldKind::Values => json!({ "type": "array", "minItems": 1 }),
    }
}

/// One object per strategy of the registry, one for scripts and one for outside programs.
fn strategies() -> Vec<Value> {
    let built_in = registry()
        .iter()
        .map(|entry| named_object("strategy", entry.name, entry.summary, &strategy::fields(entry)));
    let mut script = named_object(
        "strategy",
        law::SCRIPT,
        "a script and its parameters",
        &strategy::script_fields(&tepid_strategies::script::STANDARD),
    );
    // A script declares parameters of its own.
    script["additionalProperties"] = json!(true);
    let program = named_object(
        "strategy",
        law::PROGRAM,
        "an outside program",
        &strategy::program_fields(),
    );
    built_in.chain([script, program]).collect()
}

/// One object per guard.
fn guard_objects() -> Vec<Value> {
    guards()
        .iter()
        .map(|entry| named_object("guard", entry.name, entry.summary, &strategy::guard_fields(entry)))
        .collect()
}

/// An object whose `key` is one name.
fn named_object(key: &str, name: &str, doc: &str, fields: &[Field]) -> Value {
    let mut value = object(doc, fields);
    if let Some(own) = value.pointer_mut(&format!("/properties/{key}")) {
        *own = json!({ "const": name });
    }
    value
}
