//! Timer: the same share of the time by day and by night, whatever the water does.
//!
//! # Law
//! duty = `night_duty` from `night_from` to `night_to`, else `duty`, as closed time of a cycle in the pulses of
//! `proportional`.
//!
//! # Reads
//! The clock alone.
//!
//! # Commands
//! Every heating contact alike: closed now and open after the rest of the on time, given again at each decision.
//!
//! # Memory and reset
//! As `proportional`.
//!
//! # Parameters
//! - `duty`: default 50 %: right for one room temperature alone, that at which this share of the heaters' power is what the
//!   tank loses.
//! - `night_duty`: default 50 %: more where nights are colder, or where lamps warm the water by day.
//! - `night_from`, `night_to`: default 22:00 and 08:00.
//! - `cycle`: default 5 min; a mechanical timer with its riders has 15 to 30 min: longer ripples more and closes the
//!   contact less often.
//! - `shortest_pulse`: as `proportional`.
//! - `contacts`, `interval`: as for all strategies.
//!
//! # When the probe is silent
//! It reads none: a lost probe changes nothing.
//!
//! # Known weakness
//! It holds no temperature at all: the water stands above the room by duty × power over loss, so that every kelvin of the
//! room is a kelvin in the water. What it gives too much on a warm day nothing takes back; dials behind it may.
//!
//! # Source
//! Open-loop control by a time switch, common practice, no source; nor for the defaults.

use tepid_sim::ids::ContactId;
use tepid_sim::quantity::{Kind, System, print, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    BindError, Commands, Readings, Rest, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::Millis;

use crate::control_loop::{HEATING_CONTACTS, INTERVAL, contacts};
use crate::decision_clock::DecisionClock;
use crate::duty_cycle::{CYCLE, DutyCycle, Pulses, SHORTEST_PULSE};
use crate::night::{NIGHT_FROM, NIGHT_TO, Night};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::registry::Entry;
use crate::values::Values;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "timer",
    summary: "heats the same share of the time whatever the water does, by day and by night",
    params: &[
        DUTY,
        NIGHT_DUTY,
        NIGHT_FROM,
        NIGHT_TO,
        CYCLE,
        SHORTEST_PULSE,
        HEATING_CONTACTS,
        INTERVAL,
    ],
    page: own_page!("timer.rs"),
    build,
};

const DUTY: Param = duty_param("duty", "share of the time on, by day")
    .trading("higher: bears a colder room, and overheats in a warm one; nothing corrects it");
const NIGHT_DUTY: Param = duty_param("night_duty", "share of the time on, by night")
    .trading("higher: bears a colder night, and overheats in a mild one");

const fn duty_param(name: &'static str, doc: &'static str) -> Param {
    Param {
        name,
        kind: ParamKind::Quantity(Kind::Share),
        default: ParamDefault::Number(0.5),
        range: Some(ParamRange { from: 0.0, to: 1.0 }),
        doc,
        trade: None,
    }
}

#[derive(Debug, Clone)]
struct Timer {
    contacts: Option<Vec<String>>,
    interval_ms: Millis,
    duty_frac: f64,
    night_duty_frac: f64,
    night: Night,
    pulses: Pulses,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    Ok(Box::new(Timer {
        contacts: values.given_names(HEATING_CONTACTS.name).map(<[String]>::to_vec),
        interval_ms: values.get_time_ms(INTERVAL.name)?,
        duty_frac: values.get_number(DUTY.name)?,
        night_duty_frac: values.get_number(NIGHT_DUTY.name)?,
        night: Night::from_values(values)?,
        pulses: Pulses::from_values(values)?,
    }))
}

impl StrategyRecipe for Timer {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        let share = |frac| print(Kind::Share, frac, System::Metric);
        let mut text = format!("on {} of the time", share(self.duty_frac));
        if self.night_duty_frac != self.duty_frac {
            text += &format!(", {} from {}", share(self.night_duty_frac), self.night.text());
        }
        text += &format!(", {}", self.pulses.settings_text());
        if INTERVAL.default != ParamDefault::Time(self.interval_ms) {
            text += &format!(", decides every {}", print_millis(self.interval_ms));
        }
        text
    }

    fn interval_ms(&self) -> Millis {
        self.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(Bound {
            contacts: contacts(wiring, Role::Heat, self.contacts.as_deref())?,
            duty_frac: self.duty_frac,
            night_duty_frac: self.night_duty_frac,
            night: self.night,
            clock: DecisionClock::new(self.interval_ms),
            output: DutyCycle::new(self.pulses, self.interval_ms),
        }))
    }
}

#[derive(Clone)]
struct Bound {
    contacts: Vec<ContactId>,
    duty_frac: f64,
    night_duty_frac: f64,
    night: Night,
    clock: DecisionClock,
    output: DutyCycle,
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let tick = self.clock.tick(seen.now_ms);
        let duty_frac = if self.night.is_under_way(seen.now_ms) {
            self.night_duty_frac
        } else {
            self.duty_frac
        };
        self.output
            .drive(seen.now_ms, tick, duty_frac, &self.contacts, commands);
        Ok(())
    }

    fn rests(&self) -> Option<Rest> {
        self.output.rest(None)
    }

    fn rested(&mut self, last_ms: Millis) {
        self.clock.rested(last_ms);
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
