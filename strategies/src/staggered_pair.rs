//! Staggered pair: the lead heater holds the setpoint, the second helps when the water falls further.
//!
//! # Law
//! Each heating contact is an on-off switch of its own, all with the same deadband d, centred; the first (the
//! lead) at the setpoint s, the second at s − o with the offset o, a third at s − 2 o, and so on. A contact closes
//! at or below its centre − d/2 and opens at or above its centre + d/2.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Each heating contact by itself, at each decision.
//!
//! # Memory and reset
//! The commanded state of each contact; kept over a power outage.
//!
//! # Parameters
//! - `deadband`: K, default 0.4, sensible 0.1 to 1.
//! - `offset`: K, default 0.3, sensible 0.2 to 1: small lets the second work often, large lets the water fall
//!   further before it helps.
//! - `contacts`: lead first, at least two; default: all contacts that heat, in file order.
//! - `setpoint`, `probe`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `on-off`, for each contact by itself.
//!
//! # Known weakness
//! The lead does nearly all the switching and wears out first. A dead lead shows only as colder water: by the
//! offset, if the second alone is strong enough. One probe decides for both.
//!
//! # Source
//! Common practice of splitting the power over two heaters, no source; nor for the defaults.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::Kind;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    BindError, Commands, Readings, Rest, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::Millis;

use crate::control_loop::{
    ControlLoop, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, WithoutReading, contacts, contacts_param,
    reading_c,
};
use crate::decision_clock::DecisionClock;
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::registry::Entry;
use crate::switch::{Switch, SwitchPoints, rest};
use crate::values::Values;
use crate::wording::difference_text;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "staggered-pair",
    summary: "one heater holds the setpoint, a second helps when the water falls further",
    params: &[
        SETPOINT,
        DEADBAND,
        OFFSET,
        PROBE,
        CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("staggered_pair.rs"),
    build,
};

const DEADBAND: Param = Param {
    name: "deadband",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.4),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "full width between closing and opening of each contact",
    trade: Some("wider: fewer closings and a wider swing"),
};

const OFFSET: Param = Param {
    name: "offset",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.3),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "how much lower each further contact works",
    trade: Some("larger: the second heater rests and stays new, and the water is lower before it helps"),
};

const CONTACTS: Param = contacts_param(
    "contacts",
    "all contacts that heat",
    "what it switches, lead first, at least two",
);

#[derive(Debug, Clone)]
struct StaggeredPair {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    deadband_k: f64,
    offset_k: f64,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    let contacts = values.given_names(CONTACTS.name).map(<[String]>::to_vec);
    if let Some([only]) = contacts.as_deref() {
        let wrong = format!("names only `{only}`: a staggered pair needs two");
        return Err(ParamError::BadList {
            param: CONTACTS.name,
            wrong,
        });
    }
    Ok(Box::new(StaggeredPair {
        control: ControlLoop::from_values(values)?,
        contacts,
        deadband_k: values.get_number(DEADBAND.name)?,
        offset_k: values.get_number(OFFSET.name)?,
    }))
}

impl StrategyRecipe for StaggeredPair {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "{} deadband, lead centred on {}, the next {} lower{}",
            difference_text(self.deadband_k),
            self.control.setpoint_text(),
            difference_text(self.offset_k),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let probe = self.control.probe(wiring)?;
        let contacts = contacts(wiring, Role::Heat, self.contacts.as_deref())?;
        if contacts.len() < 2 {
            return Err(BindError::DoesNotApply {
                missing: "only one heat contact".to_owned(),
            });
        }
        let setpoint_c = self.control.setpoint_c(wiring);
        let outputs = contacts
            .into_iter()
            .enumerate()
            .map(|(place, contact)| {
                let centre_c = setpoint_c - place as f64 * self.offset_k;
                let points = SwitchPoints {
                    closes_c: centre_c - self.deadband_k / 2.0,
                    opens_c: centre_c + self.deadband_k / 2.0,
                };
                (contact, Switch::new(points))
            })
            .collect();
        Ok(Box::new(Bound {
            probe,
            without: self.control.without_reading,
            clock: DecisionClock::new(self.control.interval_ms),
            outputs,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    probe: ProbeId,
    without: WithoutReading,
    clock: DecisionClock,
    outputs: Vec<(ContactId, Switch)>,
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let tick = self.clock.tick(seen.now_ms);
        let reading_c = reading_c(seen, self.probe);
        for (contact, switch) in &mut self.outputs {
            commands.set(
                *contact,
                switch.decide(seen.now_ms, tick, reading_c, self.without),
            );
        }
        Ok(())
    }

    fn rests(&self) -> Option<Rest> {
        Some(rest(self.probe, self.outputs.iter().map(|(_, switch)| switch)))
    }

    fn rested(&mut self, last_ms: Millis) {
        self.clock.rested(last_ms);
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
