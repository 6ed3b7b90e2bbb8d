//! PI: proportional, and patient until it rests on the setpoint.
//!
//! # Law
//! u = K e + I and dI/dt = (K / Ti) e, with e = setpoint − reading, gain K = 1/`band` (1/K) and integral time Ti;
//! duty = u held between 0 and 1, as closed time of a cycle in the pulses of `proportional`. While u is beyond what the heaters can give
//! (saturation), the integral is kept in check by one of:
//! - `back-calculation`: dI/dt = (K / Ti) e + (duty − u) / Ti: the integral is driven back by what was not given;
//! - `freeze`: dI/dt = 0 while e drives u further beyond;
//! - `clamp`: I held between 0 and 1;
//! - `none`: nothing, to see what windup does.
//!
//! The integral is summed at each decision by the rectangle rule. What is given is at most `most`, and moves by no more than the time since the
//! last decision over `full_travel`.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Every heating contact alike: closed now and open after the rest of the on time, given again at each decision.
//!
//! # Memory and reset
//! The integral, at first 0, the last duty, and the cycle. Over a silence of the probe or a jump of the clock the integral is
//! kept and nothing is added, so it goes on without a bump; after a jump a new cycle begins.
//!
//! # Parameters
//! - `band`: K, default 0.5: the error that alone asks for full power; narrow answers harder.
//! - `integral_time`: default 2 h, sensible 30 min to 6 h: short rests sooner and overshoots more.
//! - `anti_windup`: see the law; default `back-calculation`.
//! - `most`: default 1: the highest duty.
//! - `full_travel`: default 0 s, no limit: the shortest time from no power to full.
//! - `cycle`: default 5 min, sensible 2 to 15 min for a relay.
//! - `shortest_pulse`: as `proportional`.
//! - `setpoint`, `probe`, `contacts`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `proportional`.
//!
//! # Known weakness
//! After a long cold spell (outage, water change) it overshoots: warming a tank of the tests from 18 °C by 3.2 K
//! without anti-windup, 0.20 K with `clamp` or `back-calculation`, 0.01 K with `freeze`. It cannot cool: a room warmer than the setpoint winds the integral down. Closings as
//! `proportional`.
//!
//! # Source
//! PI control with back-calculation (tracking time = Ti) and conditional integration, textbook matter; from
//! memory. Defaults by reckoning: a heater that warms its tank by 0.8 K/h (300 W on 1.41 MJ/K) makes, loss left
//! out, a loop of damping ½ √(0.8 K/h × 2 h / 0.5 K) = 0.9.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Commands, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring};
use tepid_sim::time::{Millis, seconds};

use crate::control_loop::{
    ControlLoop, HEATING_CONTACTS, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, WithoutReading, contacts,
    reading_c,
};
use crate::decision_clock::{DecisionClock, Tick};
use crate::duty_cycle::{CYCLE, DutyCycle, Pulses, SHORTEST_PULSE};
use crate::output_limits::{FULL_TRAVEL, MOST, OutputLimits};
use crate::parameter::ParamError;
use crate::pi_action::{ANTI_WINDUP, BAND, INTEGRAL_TIME, PiAction, PiTuning};
use crate::registry::Entry;
use crate::values::Values;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "pi",
    summary: "proportional, with an integral that takes it to the setpoint",
    params: &[
        SETPOINT,
        BAND,
        INTEGRAL_TIME,
        MOST,
        FULL_TRAVEL,
        ANTI_WINDUP,
        CYCLE,
        SHORTEST_PULSE,
        PROBE,
        HEATING_CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("pi.rs"),
    build,
};

#[derive(Debug, Clone)]
struct Pi {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    tuning: PiTuning,
    limits: OutputLimits,
    pulses: Pulses,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    let control = ControlLoop::from_values(values)?;
    Ok(Box::new(Pi {
        tuning: PiTuning::from_values(values, control.interval_ms)?,
        control,
        contacts: values.given_names(HEATING_CONTACTS.name).map(<[String]>::to_vec),
        limits: OutputLimits::from_values(values)?,
        pulses: Pulses::from_values(values)?,
    }))
}

impl StrategyRecipe for Pi {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "{} band at {}, {}, {}{}{}{}",
            self.tuning.band_text(),
            self.control.setpoint_text(),
            self.tuning.integral_text(),
            self.pulses.settings_text(),
            self.limits.settings_text(),
            self.tuning.windup_text(),
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
            setpoint_c: self.control.setpoint_c(wiring),
            limits: self.limits,
            action: PiAction::new(self.tuning),
            last_duty_frac: 0.0,
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
    setpoint_c: f64,
    limits: OutputLimits,
    action: PiAction,
    last_duty_frac: f64,
    clock: DecisionClock,
    output: DutyCycle,
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let now_ms = seen.now_ms;
        let tick = self.clock.tick(now_ms);
        match reading_c(seen, self.probe) {
            Some(temp_c) => {
                let elapsed_s = match tick {
                    Tick::After(elapsed_ms) => seconds(elapsed_ms),
                    Tick::First | Tick::Jumped => 0.0,
                };
                let most_frac = self.limits.most_frac();
                let wanted_frac = self
                    .action
                    .duty_frac(self.setpoint_c - temp_c, 0.0, elapsed_s, most_frac);
                self.last_duty_frac = self
                    .limits
                    .reached_frac(wanted_frac, self.last_duty_frac, elapsed_s);
                self.output
                    .drive(now_ms, tick, self.last_duty_frac, &self.contacts, commands);
            }
            None => {
                if self.without == WithoutReading::Off {
                    self.last_duty_frac = 0.0;
                }
                self.output
                    .drive_blind(now_ms, tick, self.without, &self.contacts, commands);
            }
        }
        Ok(())
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
