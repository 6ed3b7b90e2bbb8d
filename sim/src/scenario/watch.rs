//! Alert rules, the way an alert takes, and what is done about it.

use crate::ids::{CircuitId, HeaterId, PersonId, ProbeId};
use crate::scenario::Happening;
use crate::time::Millis;

/// An alert rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Watch {
    /// For people.
    pub name: String,
    /// When it alerts.
    pub rule: WatchRule,
    /// The rule must hold for this long first, ms.
    pub lasting_ms: Millis,
    /// What must be alive for the alert to get out, all of it; empty: nothing. For [`WatchRule::NoSignOfLife`] what must be alive for the box
    /// to report.
    pub needs: Vec<Need>,
    /// The way the alert takes goes on this long without electricity, on batteries of its own, ms.
    pub battery_ms: Millis,
    /// Whom it tells, in this order.
    pub reaches: Vec<PersonId>,
    /// The next one is told this long after the one before, ms, unless somebody is already at the tank; `None`: all are told at once.
    pub passed_on_ms: Option<Millis>,
    /// What is done about it; empty: it only alerts.
    pub acts: Vec<WatchAct>,
}

/// When a watch alerts.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum WatchRule {
    /// A reading above a line.
    Above {
        /// The probe.
        probe: ProbeId,
        /// °C.
        line_c: f64,
    },
    /// A reading below a line.
    Below {
        /// The probe.
        probe: ProbeId,
        /// °C.
        line_c: f64,
    },
    /// A reading that rises or falls faster than this, between two readings a stretch apart.
    Faster {
        /// The probe.
        probe: ProbeId,
        /// K/h.
        k_per_h: f64,
        /// The stretch, ms, whole minutes.
        over_ms: Millis,
    },
    /// Two readings further apart than this.
    Disagree {
        /// One probe.
        probe: ProbeId,
        /// The other.
        other: ProbeId,
        /// K.
        by_k: f64,
    },
    /// No reading.
    NoReading {
        /// The probe.
        probe: ProbeId,
    },
    /// A heater draws more than this.
    DrawsAbove {
        /// The heater.
        heater: HeaterId,
        /// W.
        line_w: f64,
    },
    /// A heater draws less than this.
    DrawsBelow {
        /// The heater.
        heater: HeaterId,
        /// W.
        line_w: f64,
    },
    /// A heater draws power though a commanded contact of its chain should be open: one is welded.
    DrawnNotCommanded {
        /// The heater.
        heater: HeaterId,
    },
    /// A heater draws nothing though all commanded contacts of its chain should be closed: element or contact is dead, or a dial or cut-out
    /// holds it off.
    CommandedNotDrawn {
        /// The heater.
        heater: HeaterId,
    },
    /// Something outside the house no longer hears of the box: one of the watch's needs is dead. Its alert needs nothing in the house.
    NoSignOfLife,
}

impl WatchRule {
    /// Whether it looks at this probe.
    #[must_use]
    pub fn reads(self, probe: ProbeId) -> bool {
        match self {
            Self::Above { probe: one, .. }
            | Self::Below { probe: one, .. }
            | Self::Faster { probe: one, .. }
            | Self::NoReading { probe: one } => one == probe,
            Self::Disagree {
                probe: one, other, ..
            } => one == probe || other == probe,
            Self::DrawsAbove { .. }
            | Self::DrawsBelow { .. }
            | Self::DrawnNotCommanded { .. }
            | Self::CommandedNotDrawn { .. }
            | Self::NoSignOfLife => false,
        }
    }
}

/// What an alert may need on its way out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Need {
    /// Electricity for controller and router, from the mains or a backup.
    Power,
    /// The router.
    Router,
    /// The line out of the house.
    Network,
    /// The controller, which must not hang.
    Controller,
    /// A circuit, which has neither tripped nor lost the mains.
    Circuit(CircuitId),
}

/// What is done about an alert.
#[derive(Debug, Clone, PartialEq)]
pub struct WatchAct {
    /// Who does it.
    pub by: ActsBy,
    /// By people: this long after somebody is at the tank; by itself: this long after the rule has held long enough; ms.
    pub after_ms: Millis,
    /// What kind of act it is.
    pub kind: ActKind,
    /// What it does, from [`crate::scenario::When::Acted`] on.
    pub happening: Happening,
}

/// Who acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ActsBy {
    /// The first to come of those whom the alert reaches and who can.
    People,
    /// The watch, through a contact of its own that works, whether or not its alert gets out.
    Itself,
}

/// Kinds of act.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum ActKind {
    /// Unplugs all heaters.
    UnplugHeaters,
    /// Unplugs one heater.
    UnplugHeater,
    /// Hangs sealed ice into the water.
    SealedIce,
    /// Wraps the sides.
    WrapSides,
    /// Lifts the lid.
    LiftLid,
    /// Cools the room.
    CoolRoom,
    /// Starts a generator.
    StartGenerator,
}
