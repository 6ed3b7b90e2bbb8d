//! Happenings: events and faults, one type for both.
//!
//! A component's state is recomputed from the *set* of active happenings, so overlaps need no order.

use crate::ids::{
    BackupId, BoxId, ChillerId, CircuitId, ContactId, FanId, HeaterId, LightId, ProbeId, PumpId, TankId,
};
use crate::scenario::{Cover, Hazard};
use crate::time::{DAY, Millis, day_index};

/// Something that happens to the tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Happening {
    /// For people: "feeding pause", "relay left welded".
    pub name: String,
    /// When it starts.
    pub when: When,
    /// How long it lasts.
    pub lasts: Lasts,
    /// What it does.
    pub effect: Effect,
    /// Planned, or a failure.
    pub origin: Origin,
}

/// When a happening starts.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum When {
    /// At a time, ms.
    At(Millis),
    /// Every day at this time of day, ms after midnight, from the start of the warm-up on for events and from
    /// time zero on for faults.
    Daily(Millis),
    /// At the n-th time from some instant on (1 = the next) that this contact closes.
    Closing {
        /// The contact.
        contact: ContactId,
        /// Which closing, 1 = the first.
        nth: u32,
        /// Counted from here on, ms, ≥ 0.
        from_ms: Millis,
    },
    /// At the n-th time from some instant on that this contact opens; a weld then keeps it closed.
    Opening {
        /// The contact.
        contact: ContactId,
        /// Which opening, 1 = the first.
        nth: u32,
        /// Counted from here on, ms, ≥ 0.
        from_ms: Millis,
    },
    /// At the worst of the instants that the study tries (see the score "stuck exposure"). A study resolves it to
    /// `At` before a run; a run refuses it.
    WorstPhase,
    /// When somebody does it about an alert.
    Acted,
    /// When a life is over, drawn for each seed and replicate at the start of a run.
    Hazard(Hazard),
}

/// How long a happening lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lasts {
    /// For this long, ms, > 0.
    For(Millis),
    /// Until the end of the run.
    ToTheEnd,
}

/// What a happening does to the plant, a chain, the controller or a probe. Whoever matches on it says something of every one: a new one is
/// not forgotten.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Effect {
    /// The contact cannot open.
    ContactWelded(ContactId),
    /// The contact cannot close.
    ContactStuckOpen(ContactId),
    /// A box fails as a whole: none of its contacts can open.
    BoxWelded(BoxId),
    /// A box fails as a whole: none of its contacts can close.
    BoxStuckOpen(BoxId),
    /// The contact parts and closes again and again while it should be closed: closed for the first half of every period.
    ContactChatters {
        /// The contact.
        contact: ContactId,
        /// Length of one opening and closing, ms, ≥ 2.
        period_ms: Millis,
    },
    /// The heater's element is open: it draws nothing.
    HeaterDead(HeaterId),
    /// A self-acting contact switches this many kelvin too high (both temperatures).
    DialOff {
        /// The thermostat or cut-out.
        contact: ContactId,
        /// Too high by, K.
        by_k: f64,
    },
    /// A self-acting contact switches ever higher (lower if negative), from nothing at the start on (both temperatures).
    DialDrifts {
        /// The thermostat or cut-out.
        contact: ContactId,
        /// K/d.
        k_per_day: f64,
    },
    /// Somebody set a dial to another temperature: a 78 typed into a °C dial.
    DialSet {
        /// The thermostat or cut-out.
        contact: ContactId,
        /// Opens above this, °C; it closes as far below as before.
        opens_above_c: f64,
    },
    /// The controller does nothing any more.
    ControllerHung {
        /// What its contacts do meanwhile.
        outputs: Outputs,
        /// In which state it comes back at the end.
        restart: Restart,
    },
    /// No electricity: heaters, pumps, fans, lights and controllers stand still; commanded contacts are open.
    PowerOut,
    /// The mains' voltage is this share of its nominal one: heaters give its square.
    MainsVoltage {
        /// 0.5..1.5.
        of_nominal_frac: f64,
    },
    /// A circuit's breaker or residual-current device has tripped and nobody resets it.
    CircuitTripped(CircuitId),
    /// A backup does not come on: its battery is worn out, or its fuel stale. Nobody notices before it is needed.
    BackupDead(BackupId),
    /// A pump stands still (feeding pause, maintenance, failure).
    PumpStopped(PumpId),
    /// The probe hangs in room air.
    ProbeOutOfWater(ProbeId),
    /// The probe gives no reading.
    ProbeSilent(ProbeId),
    /// The probe reads too high (too low if negative).
    ProbeOffset {
        /// The probe.
        probe: ProbeId,
        /// K.
        by_k: f64,
    },
    /// The probe reads ever higher (lower if negative), from nothing at the start on.
    ProbeDrifts {
        /// The probe.
        probe: ProbeId,
        /// K/d.
        k_per_day: f64,
    },
    /// The probe repeats its last reading.
    ProbeStuck(ProbeId),
    /// The probe gives this reading whatever the water does; for the length of one sample it is a single wild one.
    ProbeReads {
        /// The probe.
        probe: ProbeId,
        /// °C.
        reading_c: f64,
    },
    /// The probe's noise is larger by this.
    ProbeNoisy {
        /// The probe.
        probe: ProbeId,
        /// Standard deviation that joins its own, K.
        noise_k: f64,
    },
    /// The probe hangs in another tank.
    ProbeInTank {
        /// The probe.
        probe: ProbeId,
        /// The tank it should not be in.
        tank: TankId,
    },
    /// A fan does not turn.
    FanStopped(FanId),
    /// A chiller does not cool and draws nothing.
    ChillerDead(ChillerId),
    /// A chiller cannot get rid of its heat: it draws as much as ever and takes less out of the water.
    ChillerBlocked {
        /// The chiller.
        chiller: ChillerId,
        /// Share of its capacity that is left, 0..1.
        left_frac: f64,
    },
    /// A light stays dark.
    LightOut(LightId),
    /// A light stays on, whatever its hours.
    LightLeftOn(LightId),
    /// The tank has another cover.
    Covered {
        /// The tank.
        tank: TankId,
        /// The cover while it lasts.
        cover: Cover,
    },
    /// All heaters are unplugged.
    HeatersUnplugged,
    /// One heater is unplugged.
    HeaterUnplugged(HeaterId),
    /// Heaters are held off while the pumps stand still (a feeding pause that takes care of them).
    HeatersHeldOff,
    /// Water runs out of a tank until its level falls below a height.
    Leak {
        /// The tank.
        tank: TankId,
        /// kg/s.
        rate_kg_per_s: f64,
        /// Height of the hole above the bottom, m.
        height_m: f64,
    },
    /// Nobody and nothing tops off.
    TopOffStopped,
    /// The top-off runs without end.
    TopOffStuckOn {
        /// kg/s.
        rate_kg_per_s: f64,
    },
    /// Part of the water is let out and replaced, in two stretches of equal length over the happening's time.
    WaterChange {
        /// The tank.
        tank: TankId,
        /// Share of that tank's water, 0..1.
        share_frac: f64,
        /// Temperature of the new water, °C.
        temp_c: f64,
        /// Absolute salinity of the new water, g/kg.
        salinity_g_per_kg: f64,
    },
    /// A device of a lumped room does not work.
    RoomDeviceOff(RoomDevice),
    /// A device of a lumped room works without end.
    RoomDeviceStuckOn(RoomDevice),
    /// The room is warmer by this (colder if negative).
    RoomShift {
        /// K.
        by_k: f64,
    },
    /// The room is cooled bit by bit; at the end it is as warm as before at once.
    RoomCooled {
        /// At most by this, K.
        by_k: f64,
        /// K/h.
        k_per_h: f64,
    },
    /// Sealed ice hangs in a tank, no more than cools the tank by itself, full as it was built, at this rate.
    SealedIce {
        /// The tank.
        tank: TankId,
        /// K/h.
        k_per_h: f64,
    },
    /// The sides of a tank are wrapped.
    SidesWrapped {
        /// The tank.
        tank: TankId,
        /// Thermal resistance of the wrap, m² K/W; of several the warmest counts.
        extra_m2_k_per_w: f64,
    },
    /// Somebody has started a generator: it feeds while it is wanted.
    BackupStarted(BackupId),
    /// The line out of the house is dead.
    NetworkDown,
    /// Somebody muted the alerts of the box and forgot it.
    AlertsMuted,
}

impl Happening {
    /// Whether it is under way at an instant, ms, by what it says of its times itself: `false` for one that waits for something else.
    #[must_use]
    pub fn holds_at(&self, at_ms: Millis) -> bool {
        let began_ms = match self.when {
            When::At(began_ms) => began_ms,
            When::Daily(of_day_ms) => {
                let today_ms = day_index(at_ms) * DAY + of_day_ms;
                if today_ms <= at_ms {
                    today_ms
                } else {
                    today_ms - DAY
                }
            }
            _ => return false,
        };
        match self.lasts {
            Lasts::For(length_ms) => (began_ms..began_ms + length_ms).contains(&at_ms),
            Lasts::ToTheEnd => began_ms <= at_ms,
        }
    }
}

/// What the contacts of a hung controller do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outputs {
    /// They stay as they are.
    Hold,
    /// They open.
    Drop,
}

/// In which state a controller starts again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Restart {
    /// As it was when it stopped.
    Kept,
    /// As if it had just been bought.
    Lost,
    /// As it was this long before it stopped, ms: it had saved its state then.
    Stale(Millis),
}

impl Restart {
    /// As files and outside strategies call it: "kept".
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Kept => "kept",
            Self::Lost => "lost",
            Self::Stale(_) => "stale",
        }
    }
}

/// Whether somebody planned it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Planned; a strategy may know of it beforehand.
    Event,
    /// A failure; nobody knows beforehand. It never happens in the warm-up.
    Fault,
    /// What somebody does about an alert.
    Act,
}

/// A device of a lumped room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoomDevice {
    /// Its heating.
    Heating,
    /// Its cooling.
    Cooling,
}
