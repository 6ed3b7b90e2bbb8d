//! Fan by stages: the first fan above the setpoint, the next the warmer it gets, chillers last. Cools only.
//!
//! # Law
//! Each cooling contact is a stage with a switch of its own, all with the same deadband d: stage k (0, 1, …) closes when the
//! reading is at or above s + k · `step` + d and opens when it is at or below s + k · `step`, with setpoint s. A stage with
//! chillers behind it alone stays open for `rest` once it opened, and after a start or an outage.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Each cooling contact by itself, at each decision. Heating contacts are left open.
//!
//! # Memory and reset
//! The commanded state of each contact, kept over an outage, after which a chiller's rest begins anew.
//!
//! # Parameters
//! - `deadband`: K, default 0.3, sensible 0.2 to 1.
//! - `step`: K, default 0.5, sensible 0.3 to 1: small brings the next stage soon, large spares water and noise.
//! - `rest`: as `chiller`.
//! - `contacts`: the first stage first, at least two; default: all contacts that cool, those of fans before those of
//!   chillers, else in file order.
//! - `setpoint`, `probe`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `fan-cooling`, for each stage by itself.
//!
//! # Known weakness
//! As `fan-cooling`. The first stage does most of the work and wears out first; the last may stand for months, and nobody
//! knows whether it still turns.
//!
//! # Source
//! Staged cooling, common practice, no source; nor for the defaults.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::Kind;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    BindError, Commands, Readings, Rest, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::Millis;

use crate::chiller::REST;
use crate::control_loop::{
    ControlLoop, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, WithoutReading, contacts, contacts_param,
    reading_c,
};
use crate::decision_clock::{DecisionClock, Tick};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::registry::Entry;
use crate::switch::{Switch, SwitchPoints, rest};
use crate::values::Values;
use crate::wording::difference_text;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "fan-stages",
    summary: "one fan above the setpoint, more the warmer it gets, a chiller last; does not heat",
    params: &[
        SETPOINT,
        DEADBAND,
        STEP,
        REST,
        PROBE,
        CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("fan_stages.rs"),
    build,
};

const DEADBAND: Param = Param {
    name: "deadband",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.3),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "full width between closing and opening of each stage",
    trade: Some("wider: fewer starts and a wider swing"),
};

const STEP: Param = Param {
    name: "step",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.5),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "how much higher each further stage works",
    trade: Some("larger: later stages rest, and the water is warmer before they help"),
};

const CONTACTS: Param = contacts_param(
    "contacts",
    "all contacts that cool, chillers last",
    "its stages, the first first, at least two",
);

#[derive(Debug, Clone)]
struct FanStages {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    deadband_k: f64,
    step_k: f64,
    rest_ms: Millis,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    let contacts = values.given_names(CONTACTS.name).map(<[String]>::to_vec);
    if let Some([only]) = contacts.as_deref() {
        return Err(ParamError::BadList {
            param: CONTACTS.name,
            wrong: format!("names only `{only}`: stages are at least two"),
        });
    }
    Ok(Box::new(FanStages {
        control: ControlLoop::from_values(values)?,
        contacts,
        deadband_k: values.get_number(DEADBAND.name)?,
        step_k: values.get_number(STEP.name)?,
        rest_ms: values.get_time_ms(REST.name)?,
    }))
}

impl StrategyRecipe for FanStages {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "{} deadband above {}, the next {} higher{}",
            difference_text(self.deadband_k),
            self.control.setpoint_text(),
            difference_text(self.step_k),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let probe = self.control.probe(wiring)?;
        let mut contacts = contacts(wiring, Role::Cool, self.contacts.as_deref())?;
        if contacts.len() < 2 {
            return Err(BindError::DoesNotApply {
                missing: "only one contact that cools".to_owned(),
            });
        }
        let chills = |contact: &ContactId| wiring.contacts[contact.0].only_chillers;
        if self.contacts.is_none() {
            contacts.sort_by_key(chills);
        }
        let setpoint_c = self.control.setpoint_c(wiring);
        let stages = contacts
            .into_iter()
            .enumerate()
            .map(|(place, contact)| {
                let opens_c = setpoint_c + place as f64 * self.step_k;
                let points = SwitchPoints {
                    closes_c: opens_c + self.deadband_k,
                    opens_c,
                };
                let rests = chills(&contact);
                let rest_ms = if rests { self.rest_ms } else { 0 };
                Stage {
                    contact,
                    rests,
                    switch: Switch::new(points).with_minimum_times(0, rest_ms),
                }
            })
            .collect();
        Ok(Box::new(Bound {
            probe,
            without: self.control.without_reading,
            clock: DecisionClock::new(self.control.interval_ms),
            stages,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    probe: ProbeId,
    without: WithoutReading,
    clock: DecisionClock,
    stages: Vec<Stage>,
}

#[derive(Clone)]
struct Stage {
    contact: ContactId,
    rests: bool,
    switch: Switch,
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let tick = self.clock.tick(seen.now_ms);
        let reading_c = reading_c(seen, self.probe);
        for stage in &mut self.stages {
            if stage.rests && matches!(tick, Tick::First | Tick::Jumped) {
                stage.switch.open_anew(seen.now_ms);
            }
            commands.set(
                stage.contact,
                stage.switch.decide(seen.now_ms, tick, reading_c, self.without),
            );
        }
        Ok(())
    }

    fn rests(&self) -> Option<Rest> {
        Some(rest(self.probe, self.stages.iter().map(|stage| &stage.switch)))
    }

    fn rested(&mut self, last_ms: Millis) {
        self.clock.rested(last_ms);
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
