//! What there is to choose from.

use super::{CsvError, finished};
use crate::records::Listing;

/// One line per scenario, strategy, guard and fault set: `kind,name,summary`.
///
/// # Errors
/// [`CsvError`] if the text cannot be built.
pub fn listing(record: &Listing) -> Result<String, CsvError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["kind", "name", "summary"])?;
    for (kind, listed) in [
        ("scenario", &record.scenarios),
        ("strategy", &record.strategies),
        ("guard", &record.guards),
        ("fault", &record.faults),
    ] {
        for one in listed {
            writer.write_record([kind, &one.name, &one.summary])?;
        }
    }
    finished(writer)
}
