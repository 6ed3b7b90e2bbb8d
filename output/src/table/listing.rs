//! What there is to choose from.

use super::{Column, grid};
use crate::records::{Listed, Listing};

/// Scenarios, strategies, guards and fault sets with a line each.
#[must_use]
pub fn listing(record: &Listing) -> String {
    [
        ("Scenarios", &record.scenarios),
        ("Strategies", &record.strategies),
        ("Guards", &record.guards),
        ("Faults", &record.faults),
    ]
    .into_iter()
    .filter(|(_, listed)| !listed.is_empty())
    .map(|(head, listed)| part(head, listed))
    .collect::<Vec<_>>()
    .join("\n")
}

fn part(head: &'static str, listed: &[Listed]) -> String {
    grid(
        &[Column::words(head, 28), Column::words("", 20)],
        listed
            .iter()
            .map(|one| vec![one.name.clone(), one.summary.clone()])
            .collect(),
    )
}
