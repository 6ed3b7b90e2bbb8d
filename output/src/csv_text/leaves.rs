//! A record of one run or one budget, one figure per line.

use serde::Serialize;
use serde_json::Value;

use super::{CsvError, finished};

/// Every figure and text of the record: `key,value`, the key being its path in the JSON form
/// (`scores.tanks[0].highest_c`), the value empty where it is missing. Empty lists have no line.
///
/// # Errors
/// [`CsvError`] if the text cannot be built.
pub fn leaves(record: &impl Serialize) -> Result<String, CsvError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["key", "value"])?;
    write(&mut writer, "", &serde_json::to_value(record)?)?;
    finished(writer)
}

fn write(writer: &mut csv::Writer<Vec<u8>>, key: &str, value: &Value) -> Result<(), csv::Error> {
    match value {
        Value::Null => writer.write_record([key, ""]),
        Value::Bool(yes) => writer.write_record([key, if *yes { "true" } else { "false" }]),
        Value::Number(number) => writer.write_record([key, &number.to_string()]),
        Value::String(text) => writer.write_record([key, text]),
        Value::Array(items) => items
            .iter()
            .enumerate()
            .try_for_each(|(index, item)| write(writer, &format!("{key}[{index}]"), item)),
        Value::Object(fields) => fields.iter().try_for_each(|(name, field)| {
            let path = if key.is_empty() {
                name.clone()
            } else {
                format!("{key}.{name}")
            };
            write(writer, &path, field)
        }),
    }
}
