//! Built-in faults of the controller.

use tepid_sim::scenario::{Effect, FaultCase, Happening, Lasts, Outputs, Restart, Scenario};
use tepid_sim::time::{HOUR, MINUTE, Millis};

use super::{alone, fault};

/// How long a controller takes to be started again. An assumption, no source.
const AWAY_MS: Millis = 10 * MINUTE;
/// How old a saved state is. An assumption, no source.
const STATE_AGE_MS: Millis = 6 * HOUR;

/// Whether there is anything that takes commands.
fn commands_anything(scenario: &Scenario) -> bool {
    scenario.contacts.iter().any(|contact| contact.role.is_some())
}

fn cases(scenario: &Scenario, cases: [(&str, Outputs, Restart); 2], lasts: Lasts) -> Vec<FaultCase> {
    let cases = cases.into_iter().filter(|_| commands_anything(scenario));
    alone(cases.map(|(name, outputs, restart)| Happening {
        name: name.to_owned(),
        lasts,
        ..fault("controller hung", "", Effect::ControllerHung { outputs, restart })
    }))
}

pub(super) fn hung(scenario: &Scenario) -> Vec<FaultCase> {
    let hangs = [
        ("controller hung, contacts hold", Outputs::Hold, Restart::Kept),
        ("controller hung, contacts open", Outputs::Drop, Restart::Kept),
    ];
    cases(scenario, hangs, Lasts::ToTheEnd)
}

pub(super) fn restarted(scenario: &Scenario) -> Vec<FaultCase> {
    let restarts = [
        ("controller restarted, state lost", Outputs::Drop, Restart::Lost),
        (
            "controller restarted, state 6 h old",
            Outputs::Drop,
            Restart::Stale(STATE_AGE_MS),
        ),
    ];
    cases(scenario, restarts, Lasts::For(AWAY_MS))
}
