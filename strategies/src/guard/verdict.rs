//! What a guard says about each contact, up to the next decision.

use tepid_sim::ids::ContactId;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::Wiring;
use tepid_sim::time::Millis;

/// Which contacts a guard holds, and its alerts.
#[derive(Debug, Clone)]
pub struct Verdict {
    holds: Vec<Option<Hold>>,
    cools: Vec<bool>,
    alerts: Vec<String>,
}

/// How a contact is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hold {
    /// Open between two delays, ms.
    Open { from_ms: Millis, until_ms: Millis },
    /// Closed.
    Closed,
}

impl Verdict {
    pub(super) fn new(wiring: &Wiring) -> Self {
        Self {
            holds: vec![None; wiring.contacts.len()],
            cools: wiring
                .contacts
                .iter()
                .map(|contact| contact.role == Some(Role::Cool))
                .collect(),
            alerts: Vec::new(),
        }
    }

    pub(super) fn clear(&mut self) {
        self.holds.fill(None);
        self.alerts.clear();
    }

    /// Holds a contact open until the next decision.
    pub fn hold_open(&mut self, contact: ContactId) {
        self.hold_open_between(contact, 0, Millis::MAX);
    }

    /// Holds a contact open from one delay to another, ms from this decision on.
    pub fn hold_open_between(&mut self, contact: ContactId, from_ms: Millis, until_ms: Millis) {
        self.holds[contact.0] = Some(Hold::Open { from_ms, until_ms });
    }

    /// Holds a contact that cools closed until the next decision; another one is left alone.
    pub fn hold_closed(&mut self, contact: ContactId) {
        if self.cools[contact.0] {
            self.holds[contact.0] = Some(Hold::Closed);
        }
    }

    /// Raises an alert.
    pub fn raise(&mut self, alert: String) {
        self.alerts.push(alert);
    }

    pub(super) fn hold_of(&self, contact: ContactId) -> Option<Hold> {
        self.holds.get(contact.0).copied().flatten()
    }

    pub(super) fn alerts(&self) -> &[String] {
        &self.alerts
    }
}
