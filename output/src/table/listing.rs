//! What there is to choose from.

use super::{Column, grid};
use crate::records::{Listed, Listing};

/// Scenarios, strategies and fault sets with a line each.
#[must_use]
pub fn listing(record: &Listing) -> String {
    let part = |head: &'static str, listed: &[Listed]| {
        grid(
            &[Column::words(head, 28), Column::words("", 20)],
            listed
                .iter()
                .map(|one| vec![one.name.clone(), one.summary.clone()])
                .collect(),
        )
    };
    [
        part("Scenarios", &record.scenarios),
        part("Strategies", &record.strategies),
        part("Faults", &record.faults),
    ]
    .join("\n")
}
