//! Warm-back: on-off that takes cold water back to the setpoint slowly, after an outage or whenever it finds it cold.
//!
//! # Law
//! A switch as in `on-off`, centred on a working setpoint w of at most s. Mostly w = s. At the first reading, at the first
//! after a silence or a jump of the clock, and whenever the reading is below w by more than `cold`, w is set so that the
//! reading is at the lower edge of the deadband (never above s); from there it climbs to s at `ramp`. A reading
//! above the upper edge takes w along.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Every heating contact alike, at each decision.
//!
//! # Memory and reset
//! The commanded state and the working setpoint; after an outage the latter begins at what the probe then reads.
//!
//! # Parameters
//! - `ramp`: K/h, default 0.5, sensible 0.2 to 1: slow is gentle on animals that have cooled with their water, and leaves
//!   them longer in the cold.
//! - `cold`: K, default 0.5, sensible 0.4 to 2, at least the deadband: a larger fall of the water itself (a water change) is
//!   made good slowly too.
//! - `deadband`: K, default 0.4: as `on-off`.
//! - `setpoint`, `probe`, `contacts`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `on-off`.
//!
//! # Known weakness
//! Within the deadband the water rises as fast as the heaters can: the ramp bounds the climb over hours, not over minutes. It
//! stays in the cold longer than it must, which may cost more than a fast return; nobody knows for most animals. A probe that
//! reads too low starts a ramp without need, one wild high reading ends one.
//!
//! # Source
//! Setpoint ramp after a loss of heating, common practice, no source; nor for the defaults.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::Kind;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    BindError, Commands, Readings, Rest, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::{Millis, seconds};

use crate::control_loop::{
    ControlLoop, HEATING_CONTACTS, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, WithoutReading, contacts,
    reading_c,
};
use crate::decision_clock::{DecisionClock, Tick};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::rate::rate_param;
use crate::registry::Entry;
use crate::switch::{Switch, SwitchPoints, rest};
use crate::values::Values;
use crate::wording::{difference_text, rate_text};

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "warm-back",
    summary: "on-off that takes cold water back to the setpoint slowly",
    params: &[
        SETPOINT,
        DEADBAND,
        RAMP,
        COLD,
        PROBE,
        HEATING_CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("warm_back.rs"),
    build,
};

const DEADBAND: Param = Param {
    name: "deadband",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.4),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "full width between closing and opening, centred on the working setpoint",
    trade: Some("wider: fewer closings and a wider swing"),
};

const RAMP: Param = rate_param("ramp", 0.5, "how fast the working setpoint climbs")
    .trading("faster: back sooner after an outage, harder on animals that have grown cold");

const COLD: Param = Param {
    name: "cold",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.5),
    range: Some(ParamRange { from: 0.01, to: 10.0 }),
    doc: "how far below the working setpoint the water starts a climb; at least the deadband",
    trade: Some("larger: fewer slow climbs on ordinary days, a faster one after a short outage"),
};

#[derive(Debug, Clone)]
struct WarmBack {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    deadband_k: f64,
    ramp_k_per_s: f64,
    cold_k: f64,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    let (deadband_k, cold_k) = (values.get_number(DEADBAND.name)?, values.get_number(COLD.name)?);
    if cold_k < deadband_k {
        return Err(ParamError::DoesNotFit {
            param: COLD.name,
            wrong: format!(
                "is {}, less than the `deadband` of {}: every cycle would start a climb",
                difference_text(cold_k),
                difference_text(deadband_k)
            ),
        });
    }
    Ok(Box::new(WarmBack {
        control: ControlLoop::from_values(values)?,
        contacts: values.given_names(HEATING_CONTACTS.name).map(<[String]>::to_vec),
        deadband_k,
        ramp_k_per_s: values.get_number(RAMP.name)?,
        cold_k,
    }))
}

impl StrategyRecipe for WarmBack {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "{} deadband, centred on {}, back there at {} if {} too cold{}",
            difference_text(self.deadband_k),
            self.control.setpoint_text(),
            rate_text(self.ramp_k_per_s),
            difference_text(self.cold_k),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let setpoint_c = self.control.setpoint_c(wiring);
        let highest = SwitchPoints::heating(setpoint_c, self.deadband_k);
        Ok(Box::new(Bound {
            probe: self.control.probe(wiring)?,
            contacts: contacts(wiring, Role::Heat, self.contacts.as_deref())?,
            without: self.control.without_reading,
            highest,
            closes_c: None,
            deadband_k: self.deadband_k,
            ramp_k_per_s: self.ramp_k_per_s,
            // From the lower edge, which is half a deadband below the working setpoint.
            cold_k: self.cold_k - self.deadband_k / 2.0,
            clock: DecisionClock::new(self.control.interval_ms),
            switch: Switch::new(highest),
        }))
    }
}

#[derive(Clone)]
struct Bound {
    probe: ProbeId,
    contacts: Vec<ContactId>,
    without: WithoutReading,
    /// Where it works in the end.
    highest: SwitchPoints,
    /// Lower edge around the working setpoint, °C; `None`: it begins at the next reading.
    closes_c: Option<f64>,
    deadband_k: f64,
    ramp_k_per_s: f64,
    cold_k: f64,
    clock: DecisionClock,
    switch: Switch,
}

impl Bound {
    fn climb(&mut self, temp_c: f64, elapsed_s: f64) {
        let climbed_c = match self.closes_c {
            Some(closes_c) if temp_c >= closes_c - self.cold_k => closes_c + self.ramp_k_per_s * elapsed_s,
            _ => temp_c,
        };
        // A reading above the upper edge takes it along: one wild low reading must not leave the heaters off for days.
        let closes_c = climbed_c.max(temp_c - self.deadband_k).min(self.highest.closes_c);
        self.closes_c = Some(closes_c);
        self.switch.move_to(if closes_c < self.highest.closes_c {
            SwitchPoints {
                closes_c,
                opens_c: closes_c + self.deadband_k,
            }
        } else {
            self.highest
        });
    }
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let tick = self.clock.tick(seen.now_ms);
        let elapsed_s = match tick {
            Tick::After(elapsed_ms) => seconds(elapsed_ms),
            Tick::First | Tick::Jumped => {
                self.closes_c = None;
                0.0
            }
        };
        let reading_c = reading_c(seen, self.probe);
        match reading_c {
            Some(temp_c) => self.climb(temp_c, elapsed_s),
            None => self.closes_c = None,
        }
        let state = self.switch.decide(seen.now_ms, tick, reading_c, self.without);
        for contact in &self.contacts {
            commands.set(*contact, state);
        }
        Ok(())
    }

    fn rests(&self) -> Option<Rest> {
        if self.closes_c != Some(self.highest.closes_c) {
            return None;
        }
        let stays = rest(self.probe, [&self.switch]);
        Some(Rest {
            above_c: stays.above_c.max(self.highest.closes_c - self.cold_k),
            ..stays
        })
    }

    fn rested(&mut self, last_ms: Millis) {
        self.clock.rested(last_ms);
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
