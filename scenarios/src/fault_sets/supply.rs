//! Built-in faults of the electricity supply.

use tepid_sim::scenario::{Effect, FaultCase, Happening, Lasts, Scenario};
use tepid_sim::time::{HOUR, Millis};

use super::{alone, fault};

/// How long the built-in outage lasts. An assumption, no source.
const OUTAGE_MS: Millis = 12 * HOUR;

pub(super) fn outage(_: &Scenario) -> Vec<FaultCase> {
    alone([Happening {
        lasts: Lasts::For(OUTAGE_MS),
        ..fault("outage", "", Effect::PowerOut)
    }])
}
