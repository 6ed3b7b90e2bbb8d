//! What there is to choose from.

use tepid_output::records::{Listed, Listing};
use tepid_scenarios::{BUILT_IN_FAULT_SETS, library};
use tepid_strategies::guard::guards;

/// Scenarios of the library, built-in strategies, guards and fault sets.
#[must_use]
pub fn listing() -> Listing {
    let listed = |name: &str, summary: &str| Listed {
        name: name.to_owned(),
        summary: summary.to_owned(),
    };
    Listing {
        scenarios: library::names()
            .map(|name| listed(name, &library::summary(name).unwrap_or_default()))
            .collect(),
        strategies: tepid_strategies::registry()
            .iter()
            .map(|entry| listed(entry.name, entry.summary))
            .collect(),
        guards: guards()
            .iter()
            .map(|entry| listed(entry.name, entry.summary))
            .collect(),
        faults: BUILT_IN_FAULT_SETS
            .iter()
            .map(|set| listed(set.name, set.summary))
            .collect(),
    }
}
