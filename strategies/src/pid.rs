//! PID: as PI, and it lets go early while the water is already rising fast.
//!
//! # Law
//! u = K e + I + D with e = setpoint − reading, gain K = 1/`band` (1/K), dI/dt = (K / Ti) e as in `pi`, and
//! D = −K Td dT/dt on the reading alone, so that a changed setpoint gives no kick, through a filter of the first order,
//! Tf dD/dt = −K Td dT/dt − D. duty = u held between 0 and `most`, and moved by no more than its full travel in
//! `full_travel`; it becomes pulses as in `proportional`. What saturation holds back is kept out of the integral as in `pi`.
//! It starts without a bump: at its first reading, and at the first after a silence or a jump of the clock, the integral
//! is set to what goes on from the last duty (none at first and after a jump), held between 0 and 1, and D starts at 0.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Every heating contact alike: closed now and open after the rest of the on time, given again at each decision.
//!
//! # Memory and reset
//! The integral, the filtered slope, the last reading and the last duty; see the law for what a gap leaves of them.
//!
//! # Parameters
//! - `band`: K, default 0.5: as `pi`.
//! - `integral_time`: default 2 h: as `pi`.
//! - `derivative_time`: default 5 min, sensible 0 to 20 min: 0 is a PI without kicks; long damps the overshoot that a lagging
//!   probe makes, and answers noise with wear.
//! - `derivative_filter`: default 5 min, sensible a third of `derivative_time` to all of it: long hears less noise and acts
//!   later.
//! - `most`: default 100 %: less heats gently and recovers slowly.
//! - `full_travel`: default 0 s: no limit; longer spares the animals steps of power and overshoots more.
//! - `anti_windup`, `cycle`, `shortest_pulse`: as `pi`.
//! - `setpoint`, `probe`, `contacts`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `proportional`.
//!
//! # Known weakness
//! Water in a tank is slow and a probe coarse: a step of 0.1 K in one interval of 10 s is, unfiltered, a slope of 36 K/h. So
//! the derivative adds little but noise unless it is filtered well, and then it is late. It heats only: a room warmer
//! than the setpoint is beyond it.
//!
//! # Source
//! PID control with the derivative on the measurement, first-order filter, back-calculation and bumpless transfer: textbook
//! matter, from memory. The times of the derivative are a choice, no source: the lag of probe and heater tube, some minutes.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Commands, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring};
use tepid_sim::time::{HOUR, MINUTE, Millis, seconds};

use crate::control_loop::{
    ControlLoop, HEATING_CONTACTS, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, WithoutReading, contacts,
    reading_c,
};
use crate::decision_clock::{DecisionClock, Tick};
use crate::duty_cycle::{CYCLE, DutyCycle, Pulses, SHORTEST_PULSE};
use crate::output_limits::{FULL_TRAVEL, MOST, OutputLimits};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::pi_action::{ANTI_WINDUP, BAND, INTEGRAL_TIME, PiAction, PiTuning};
use crate::registry::Entry;
use crate::values::Values;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "pid",
    summary: "as pi, and lets go early while the water already rises fast",
    params: &[
        SETPOINT,
        BAND,
        INTEGRAL_TIME,
        DERIVATIVE_TIME,
        DERIVATIVE_FILTER,
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
    page: own_page!("pid.rs"),
    build,
};

const DERIVATIVE_TIME: Param = up_to_an_hour(
    "derivative_time",
    5 * MINUTE,
    "how far ahead the slope is taken; 0 s: not at all",
)
.trading("longer: less overshoot, and noise of the probe becomes noise of the duty");

const DERIVATIVE_FILTER: Param = up_to_an_hour(
    "derivative_filter",
    5 * MINUTE,
    "time constant of the slope's filter",
)
.trading("longer: quieter, and later to brake");

const fn up_to_an_hour(name: &'static str, default_ms: Millis, doc: &'static str) -> Param {
    Param {
        name,
        kind: ParamKind::Quantity(Kind::Time),
        default: ParamDefault::Time(default_ms),
        range: Some(ParamRange {
            from: 0.0,
            to: HOUR as f64,
        }),
        doc,
        trade: None,
    }
}

#[derive(Debug, Clone)]
struct Pid {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    tuning: PiTuning,
    derivative_time_ms: Millis,
    derivative_filter_ms: Millis,
    limits: OutputLimits,
    pulses: Pulses,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    let control = ControlLoop::from_values(values)?;
    Ok(Box::new(Pid {
        tuning: PiTuning::from_values(values, control.interval_ms)?,
        control,
        contacts: values.given_names(HEATING_CONTACTS.name).map(<[String]>::to_vec),
        derivative_time_ms: values.get_time_ms(DERIVATIVE_TIME.name)?,
        derivative_filter_ms: values.get_time_ms(DERIVATIVE_FILTER.name)?,
        limits: OutputLimits::from_values(values)?,
        pulses: Pulses::from_values(values)?,
    }))
}

impl StrategyRecipe for Pid {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "{} band at {}, {}, {} derivative time, {}{}{}{}",
            self.tuning.band_text(),
            self.control.setpoint_text(),
            self.tuning.integral_text(),
            print_millis(self.derivative_time_ms),
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
            derivative_time_s: seconds(self.derivative_time_ms),
            derivative_filter_s: seconds(self.derivative_filter_ms),
            limits: self.limits,
            action: PiAction::new(self.tuning),
            derivative_frac: 0.0,
            last_c: None,
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
    derivative_time_s: f64,
    derivative_filter_s: f64,
    limits: OutputLimits,
    action: PiAction,
    derivative_frac: f64,
    /// The reading of the decision before; `None`: there was none, or a gap since.
    last_c: Option<f64>,
    last_duty_frac: f64,
    clock: DecisionClock,
    output: DutyCycle,
}

impl Bound {
    fn duty_frac(&mut self, temp_c: f64, elapsed_s: f64) -> f64 {
        let error_k = self.setpoint_c - temp_c;
        match self.last_c.replace(temp_c) {
            Some(last_c) if elapsed_s > 0.0 => {
                let kick_frac = -self.action.gain_per_k() * self.derivative_time_s * (temp_c - last_c);
                self.derivative_frac = (self.derivative_filter_s * self.derivative_frac + kick_frac)
                    / (self.derivative_filter_s + elapsed_s);
            }
            _ => {
                self.derivative_frac = 0.0;
                self.action.go_on_from(self.last_duty_frac, error_k, 0.0);
            }
        }
        let most_frac = self.limits.most_frac();
        let wanted_frac = self
            .action
            .duty_frac(error_k, self.derivative_frac, elapsed_s, most_frac);
        self.limits
            .reached_frac(wanted_frac, self.last_duty_frac, elapsed_s)
    }
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let now_ms = seen.now_ms;
        let tick = self.clock.tick(now_ms);
        let elapsed_s = match tick {
            Tick::After(elapsed_ms) => seconds(elapsed_ms),
            Tick::First | Tick::Jumped => {
                (self.last_c, self.last_duty_frac) = (None, 0.0);
                0.0
            }
        };
        match reading_c(seen, self.probe) {
            Some(temp_c) => {
                self.last_duty_frac = self.duty_frac(temp_c, elapsed_s);
                self.output
                    .drive(now_ms, tick, self.last_duty_frac, &self.contacts, commands);
            }
            None => {
                self.last_c = None;
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
