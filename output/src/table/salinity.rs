//! Salinity beside temperature, where a range is wanted.

use super::list;
use crate::records::FaultOutcome;
use crate::wording::{salinity_lost, salinity_wanted};

/// "Salinity leaves the range wanted": a line per fault; nothing where none takes it out.
pub(super) fn salinity<'a>(outcomes: impl Iterator<Item = &'a FaultOutcome> + Clone) -> String {
    let told = salinity_lost(outcomes.clone());
    let wanted = salinity_wanted(outcomes).unwrap_or_default();
    list(
        &format!("Salinity leaves the range wanted, {wanted}; farthest of all rooms"),
        told.iter().map(String::as_str),
    )
}
