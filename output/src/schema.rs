//! JSON Schema of published records, made from the records themselves.

use schemars::Schema;
use schemars::generate::SchemaSettings;

use crate::records::{FORMAT_VERSION, RecordKind, StudyResult};

/// The schema of a [`StudyResult`], draft 2020-12: what readers may rely on at [`FORMAT_VERSION`].
#[must_use]
pub fn study_result() -> Schema {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let mut schema = settings.into_generator().into_root_schema_for::<StudyResult>();
    // A document of another kind or version is not valid here, whatever else it holds.
    if let Some(properties) = schema.get_mut("properties") {
        properties["format"] = serde_json::json!({
            "description": "Which record this is.",
            "const": RecordKind::Study,
        });
        properties["version"] = serde_json::json!({
            "description": "Version of the published formats.",
            "const": FORMAT_VERSION,
        });
    }
    // Of no use to readers once `format` is this one kind.
    if let Some(definitions) = schema.get_mut("$defs").and_then(|one| one.as_object_mut()) {
        definitions.remove("RecordKind");
    }
    schema
}
