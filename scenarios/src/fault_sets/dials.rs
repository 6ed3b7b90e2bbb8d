//! Built-in faults of thermostats' dials.

use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{ContactKind, Effect, FaultCase, Happening, Scenario};

use super::switching::contacts;
use super::{alone, fault};

/// How wrong the built-in dial is: as far off as neglected dials are found. Common practice, no source.
const OFF_K: f64 = 4.0;
/// How fast the built-in dial drifts, K/d: fast enough to show within a followed fault. An assumption, no source.
const DRIFT_K_PER_DAY: f64 = 1.0;
/// What somebody typed who thought of °F: 78 °F is 25.6 °C.
const TYPED_C: f64 = 78.0;

fn dials(
    scenario: &Scenario,
    what: &str,
    state: &str,
    effect: impl Fn(ContactId) -> Effect,
) -> Vec<FaultCase> {
    let thermostats = contacts(scenario, |_, contact| contact.kind == ContactKind::Thermostat);
    alone(thermostats.map(|(id, contact)| Happening {
        name: format!("{} {state}", contact.name),
        ..fault(what, &contact.name, effect(id))
    }))
}

pub(super) fn off(scenario: &Scenario) -> Vec<FaultCase> {
    dials(scenario, "dial off", "4 K off", |contact| Effect::DialOff {
        contact,
        by_k: OFF_K,
    })
}

pub(super) fn drifting(scenario: &Scenario) -> Vec<FaultCase> {
    dials(scenario, "dial drifts", "drifts by 1 K a day", |contact| {
        Effect::DialDrifts {
            contact,
            k_per_day: DRIFT_K_PER_DAY,
        }
    })
}

pub(super) fn at_78(scenario: &Scenario) -> Vec<FaultCase> {
    dials(scenario, "dial set", "set to 78 °C for 78 °F", |contact| {
        Effect::DialSet {
            contact,
            opens_above_c: TYPED_C,
        }
    })
}
