//! Alert rules and what people do about them.

use crate::ids::ProbeId;
use crate::time::Millis;

/// An alert rule on a reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Watch {
    /// For people.
    pub name: String,
    /// The probe it reads.
    pub probe: ProbeId,
    /// When it alerts.
    pub rule: WatchRule,
    /// The rule must hold for this long first, ms.
    pub lasting_ms: Millis,
    /// The alert does not get out while the power is out.
    pub needs_power: bool,
    /// Whom it reaches, for people.
    pub reaches: Vec<String>,
    /// What is done about it; `None`: nobody acts.
    pub acts: Option<Act>,
}

/// When a watch alerts.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum WatchRule {
    /// Reading above this, °C.
    Above(f64),
    /// Reading below this, °C.
    Below(f64),
    /// No reading.
    NoReading,
}

/// What a person does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Act {
    /// Unplugs all heaters, for good.
    UnplugHeaters {
        /// This long after the alert got out, ms.
        after_ms: Millis,
    },
}
