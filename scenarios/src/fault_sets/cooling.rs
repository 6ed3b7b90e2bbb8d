//! Built-in faults of fans and chillers.

use tepid_sim::ids::{ChillerId, FanId};
use tepid_sim::scenario::{Effect, FaultCase, Role, Scenario};

use super::switching::contacts;
use super::{alone, fault};

/// Share of a blocked chiller's capacity that is left. An assumption, no source.
const LEFT_FRAC: f64 = 0.3;

pub(super) fn dead(scenario: &Scenario) -> Vec<FaultCase> {
    let stuck = contacts(scenario, |_, contact| contact.role == Some(Role::Cool))
        .map(|(id, contact)| fault("contact stuck open", &contact.name, Effect::ContactStuckOpen(id)));
    let fans = scenario.fans.iter().enumerate();
    let fans = fans.map(|(at, fan)| fault("fan stopped", &fan.name, Effect::FanStopped(FanId(at))));
    let chillers = scenario.chillers.iter().enumerate();
    let chillers = chillers
        .map(|(at, chiller)| fault("chiller dead", &chiller.name, Effect::ChillerDead(ChillerId(at))));
    alone(stuck.chain(fans).chain(chillers))
}

pub(super) fn blocked(scenario: &Scenario) -> Vec<FaultCase> {
    let chillers = scenario.chillers.iter().enumerate();
    alone(chillers.map(|(at, chiller)| {
        let effect = Effect::ChillerBlocked {
            chiller: ChillerId(at),
            left_frac: LEFT_FRAC,
        };
        fault("chiller blocked", &chiller.name, effect)
    }))
}
