//! What the electricity of a run costs where the price hangs on the hour: each stretch between two changes of price is paid at its own.

use super::devices::Devices;
use crate::scenario::{Scenario, Tariff};
use crate::scores::J_PER_KWH;
use crate::time::Millis;

/// The bill of one run; none where one price holds at all hours, for then the energy at the end is enough.
#[derive(Debug, Clone)]
pub(super) struct Bill<'a> {
    tariff: &'a Tariff,
    since_ms: Millis,
    paid_j: f64,
    cost: f64,
    /// The next change of price, ms.
    pub(super) next_ms: Millis,
}

impl<'a> Bill<'a> {
    pub(super) fn new(scenario: &'a Scenario, start_ms: Millis) -> Option<Self> {
        let tariff = scenario.tariff.as_ref()?;
        Some(Self {
            tariff,
            since_ms: start_ms,
            paid_j: 0.0,
            cost: 0.0,
            next_ms: tariff.next_change_ms(start_ms)?,
        })
    }

    /// Pays what was drawn since the last change at the price that held, and goes on at that of now.
    pub(super) fn settle(&mut self, now_ms: Millis, devices: &mut Devices) {
        let drawn_j = devices.energy_j(now_ms);
        self.cost += self.tariff.per_kwh_at(self.since_ms) * (drawn_j - self.paid_j) / J_PER_KWH;
        self.paid_j = drawn_j;
        self.since_ms = now_ms;
        self.next_ms = self.tariff.next_change_ms(now_ms).unwrap_or(self.next_ms);
    }

    /// In all, in the scenario's currency.
    pub(super) fn cost(&self) -> f64 {
        self.cost
    }
}
