//! Built-in faults of pumps.

use tepid_sim::ids::PumpId;
use tepid_sim::scenario::{Effect, FaultCase, Happening, Lasts, Scenario};
use tepid_sim::time::{MINUTE, Millis};

use super::{alone, fault};

/// How long the built-in feeding pause lasts. Common practice, no source.
const PAUSE_MS: Millis = 12 * MINUTE;

/// One case per pump that drives a flow: happenings of a set are cases of their own.
pub(super) fn feeding_pause(scenario: &Scenario) -> Vec<FaultCase> {
    let mut pumps: Vec<_> = scenario.flows.iter().filter_map(|flow| flow.pump).collect();
    pumps.sort_unstable();
    pumps.dedup();
    alone(pumps.into_iter().map(|pump| Happening {
        lasts: Lasts::For(PAUSE_MS),
        ..fault("feeding pause", "", Effect::PumpStopped(pump))
    }))
}

pub(super) fn stopped(scenario: &Scenario) -> Vec<FaultCase> {
    let pumps = scenario.pumps.iter().enumerate();
    alone(pumps.map(|(at, pump)| fault("pump stopped", &pump.name, Effect::PumpStopped(PumpId(at)))))
}
