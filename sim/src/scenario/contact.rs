//! Contacts: what switches, who decides, and what fails together.

use crate::ids::{BoxId, TankId};
use crate::time::Millis;

/// One switch of a chain. Current reaches an element only while every contact of its chain is closed.
#[derive(Debug, Clone, PartialEq)]
pub struct Contact {
    /// Name, unique among contacts; the same contact may stand in several chains.
    pub name: String,
    /// What it is.
    pub kind: ContactKind,
    /// The box it sits in, if one is stated: what shares a box can fail together.
    pub in_box: Option<BoxId>,
    /// What a controller uses it for; only contacts with a role take commands.
    pub role: Option<Role>,
    /// Closings it is rated for at its load, if stated.
    pub life_closings: Option<f64>,
    /// How it senses for itself; present for thermostats and cut-outs.
    pub own_sensing: Option<OwnSensing>,
}

/// Kinds of contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum ContactKind {
    /// Electromechanical relay, commanded.
    Relay,
    /// Solid-state switch, commanded.
    SolidState,
    /// A heater's built-in thermostat.
    Thermostat,
    /// A high-limit cut-out with its own probe.
    CutOut,
    /// Residual-current device (RCD/GFCI): closed unless tripped.
    ResidualCurrent,
    /// Circuit breaker: closed unless tripped.
    Breaker,
}

impl ContactKind {
    /// Whether it has contacts that part, bounce and burn a little each time. A solid-state switch has none: switching does not wear it, it does not
    /// chatter, and when it fails it shorts.
    #[must_use]
    pub fn parts(self) -> bool {
        self != Self::SolidState
    }
}

/// What a commanded contact is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Closing it heats.
    Heat,
    /// Closing it cools.
    Cool,
    /// It stands in the chain of the room's heating: open, it keeps that off; closed, the heating's own thermostat decides. It rests closed:
    /// without a command, and while the controller has no power.
    HeatRoom,
    /// The same for the room's cooling.
    CoolRoom,
}

impl Role {
    /// It acts on the room, and so on every tank in it.
    #[must_use]
    pub fn is_of_room(self) -> bool {
        matches!(self, Self::HeatRoom | Self::CoolRoom)
    }
}

/// A contact that decides for itself, in continuous time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnSensing {
    /// It opens when what it senses rises above this, °C.
    pub opens_above_c: f64,
    /// It closes when what it senses falls below this, °C.
    pub closes_below_c: f64,
    /// What it senses.
    pub sensed_at: SensedAt,
    /// Whether it closes by itself again.
    pub reset: Reset,
    /// Half-width of the uniform error of its scale, K: one draw per contact and run; 0 = exact.
    pub dial_error_k: f64,
}

/// What a self-acting contact senses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SensedAt {
    /// A mixture of what surrounds a heater and of its body, of the heater whose chain it stands in: (1 − s) T_around + s T_body, T_around that of
    /// its tank's water, or of the room's air while the body is in air. That the share is the same in air is an assumption.
    HeaterBody {
        /// Share s of the body, 0..=1.
        body_share_frac: f64,
    },
    /// A bulb of its own in a tank.
    Bulb {
        /// The tank.
        tank: TankId,
        /// First-order lag, ms; 0 = none.
        lag_ms: Millis,
    },
}

/// How an opened cut-out comes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reset {
    /// By itself below its closing temperature.
    Automatic,
    /// Only by hand: it stays open for the rest of the run.
    Manual,
}
