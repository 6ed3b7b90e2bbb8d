//! What an alert needs on its way out: the one place that says what is alive.

use super::electricity::Electricity;
use super::supply::Supply;
use crate::scenario::{Effect, Happening, Load, Need, Scenario};
use crate::time::Millis;

/// What is alive at present.
#[derive(Debug, Clone)]
pub(super) struct Lifelines {
    controller: Electricity,
    router: Electricity,
    /// By circuit.
    circuits: Vec<Electricity>,
    controller_hung: bool,
    network_down: bool,
    muted: bool,
}

impl Lifelines {
    pub(super) fn new(scenario: &Scenario) -> Self {
        Self {
            controller: Electricity::default(),
            router: Electricity::default(),
            circuits: vec![Electricity::default(); scenario.circuits.len()],
            controller_hung: false,
            network_down: false,
            muted: false,
        }
    }

    /// Recomputes what is alive from electricity, controller and the set of active happenings.
    pub(super) fn apply<'a>(
        &mut self,
        now_ms: Millis,
        supply: &Supply,
        controller_hung: bool,
        active: impl Iterator<Item = &'a Happening>,
    ) {
        self.controller.set(now_ms, supply.powers(Load::Controller));
        self.router.set(now_ms, supply.powers(Load::Router));
        for (index, circuit) in self.circuits.iter_mut().enumerate() {
            circuit.set(now_ms, supply.circuit_on(index));
        }
        self.controller_hung = controller_hung;
        self.network_down = false;
        self.muted = false;
        for happening in active {
            match happening.effect {
                Effect::NetworkDown => self.network_down = true,
                Effect::AlertsMuted => self.muted = true,
                _ => {}
            }
        }
    }

    /// Whether somebody muted the alerts.
    pub(super) fn muted(&self) -> bool {
        self.muted
    }

    /// Whether all of these are alive, with batteries that last this long.
    pub(super) fn alive(&self, now_ms: Millis, needs: &[Need], battery_ms: Millis) -> bool {
        let lasts = |electricity: Electricity| electricity.lasts(now_ms, battery_ms);
        needs.iter().all(|need| match need {
            Need::Power => lasts(self.controller) && lasts(self.router),
            Need::Router => lasts(self.router),
            Need::Network => !self.network_down,
            Need::Controller => lasts(self.controller) && !self.controller_hung,
            Need::Circuit(circuit) => lasts(self.circuits[circuit.0]),
        })
    }
}
