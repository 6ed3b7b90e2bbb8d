//! Records as JSON, their published form.

use serde::Serialize;

/// A record could not be written as JSON.
#[derive(Debug, thiserror::Error)]
#[error("could not write the result as JSON: {0}")]
pub struct JsonError(#[from] serde_json::Error);

/// The record, indented, with a newline at the end. What is missing, or no number, is `null`.
///
/// # Errors
/// [`JsonError`] if the record cannot be represented; the records of this crate always can.
pub fn json(record: &impl Serialize) -> Result<String, JsonError> {
    let mut text = serde_json::to_string_pretty(record)?;
    text.push('\n');
    Ok(text)
}
