//! Proportional: the colder, the longer on within each cycle.
//!
//! # Law
//! duty = (s + b/2 − T) / b, held between 0 and 1, with setpoint s, band b and reading T: full power at and below
//! s − b/2, half at the setpoint, none at and above s + b/2. Each cycle the contacts are closed for duty × cycle,
//! then open; a cycle's duty is fixed when it begins. A pulse or a pause below `shortest_pulse` is left out and carried
//! over to the next cycle, so that the mean duty holds.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Every heating contact alike: closed now and open after the rest of the on time, given again at each decision.
//!
//! # Memory and reset
//! When the cycle began, its on time, and what is owed of pulses left out. After a jump of the clock a new cycle begins.
//!
//! # Parameters
//! - `band`: K, default 1, sensible 0.3 to 2: narrow holds closer to the setpoint and ends in on-off.
//! - `cycle`: default 5 min, sensible 2 to 15 min for a relay: short ripples less and closes the contact more often.
//! - `shortest_pulse`: default 1 s, sensible 1 to 10 s for a relay, 0 s: none is left out; at most the cycle.
//! - `setpoint`, `probe`, `contacts`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! `off` opens everything at once, within the cycle. `hold` leaves the contacts as they are at that moment: closed
//! ones heat for as long as the silence lasts. `last duty` goes on cycling with the last cycle's duty; before
//! there was one, it opens.
//!
//! # Known weakness
//! Rests off the setpoint: on it only where half the power covers the loss, by up to b/2 above or below else.
//! Within a cycle it does not look again. It closes the contact once a cycle where the duty is small, some 288 times a
//! day at 5 min: hard on relays.
//!
//! # Source
//! Proportional control with time-proportioned output, textbook matter; from memory. The defaults are common
//! practice, no source.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::Kind;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    BindError, Commands, Readings, Rest, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::Millis;

use crate::control_loop::{
    ControlLoop, HEATING_CONTACTS, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, WithoutReading, contacts,
    reading_c,
};
use crate::decision_clock::DecisionClock;
use crate::duty_cycle::{CYCLE, DutyCycle, Pulses, SHORTEST_PULSE};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::registry::Entry;
use crate::values::Values;
use crate::wording::difference_text;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "proportional",
    summary: "heats the longer in each cycle the colder the water is",
    params: &[
        SETPOINT,
        BAND,
        CYCLE,
        SHORTEST_PULSE,
        PROBE,
        HEATING_CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("proportional.rs"),
    build,
};

const BAND: Param = Param {
    name: "band",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(1.0),
    range: Some(ParamRange { from: 0.01, to: 10.0 }),
    doc: "from full power to none, centred on the setpoint",
    trade: Some("wider: calmer, and it rests further below the setpoint; narrower: works like on-off"),
};

#[derive(Debug, Clone)]
struct Proportional {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    band_k: f64,
    pulses: Pulses,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    Ok(Box::new(Proportional {
        control: ControlLoop::from_values(values)?,
        contacts: values.given_names(HEATING_CONTACTS.name).map(<[String]>::to_vec),
        band_k: values.get_number(BAND.name)?,
        pulses: Pulses::from_values(values)?,
    }))
}

impl StrategyRecipe for Proportional {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "{} band, centred on {}, {}{}",
            difference_text(self.band_k),
            self.control.setpoint_text(),
            self.pulses.settings_text(),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(Bound {
            probe: self.control.probe(wiring)?,
            contacts: contacts(wiring, Role::Heat, self.contacts.as_deref())?,
            without: self.control.without_reading,
            no_power_c: self.control.setpoint_c(wiring) + self.band_k / 2.0,
            band_k: self.band_k,
            clock: DecisionClock::new(self.control.interval_ms),
            output: DutyCycle::new(self.pulses, self.control.interval_ms),
        }))
    }
}

#[derive(Clone)]
struct Bound {
    probe: ProbeId,
    contacts: Vec<ContactId>,
    without: WithoutReading,
    no_power_c: f64,
    band_k: f64,
    clock: DecisionClock,
    output: DutyCycle,
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let now_ms = seen.now_ms;
        let tick = self.clock.tick(now_ms);
        match reading_c(seen, self.probe) {
            Some(temp_c) => {
                let duty_frac = ((self.no_power_c - temp_c) / self.band_k).clamp(0.0, 1.0);
                self.output
                    .drive(now_ms, tick, duty_frac, &self.contacts, commands);
            }
            None => self
                .output
                .drive_blind(now_ms, tick, self.without, &self.contacts, commands),
        }
        Ok(())
    }

    fn rests(&self) -> Option<Rest> {
        self.output.rest(Some(self.probe))
    }

    fn rested(&mut self, last_ms: Millis) {
        self.clock.rested(last_ms);
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
