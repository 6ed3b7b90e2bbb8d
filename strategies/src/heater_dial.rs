//! The heaters' own dials alone: every contact before them is kept closed.
//!
//! # Law
//! Each heating contact is closed at every decision, whatever any probe says; the thermostats built into the heaters do
//! the rest. A contact counts only if every heater behind it has a thermostat of its own.
//!
//! # Reads
//! Nothing.
//!
//! # Commands
//! Every such heating contact alike, at each decision. Heating contacts with a heater without a dial behind them are left
//! open.
//!
//! # Memory and reset
//! None.
//!
//! # Parameters
//! - `contacts`: default: all contacts that heat and have only heaters with a dial behind them.
//! - `interval`: default 10 s: after an outage the heaters are back with the next decision.
//!
//! # When the probe is silent
//! It reads none: a lost probe changes nothing.
//!
//! # Known weakness
//! The dial is the only thing between the heater and the water: nothing stands behind one that welds. It stands at what
//! its scale says, which may be a kelvin off, and holds the heater's surroundings, not the tank the fish are in. Dials that
//! stand apart make one heater do all the work.
//!
//! # Source
//! How a heater is run that is plugged into the wall: common practice, no source.

use tepid_sim::ids::ContactId;
use tepid_sim::quantity::print_millis;
use tepid_sim::scenario::{ContactKind, Role};
use tepid_sim::strategy::{
    BindError, Commands, ContactState, Readings, Rest, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::Millis;

use crate::control_loop::{INTERVAL, contacts, contacts_param};
use crate::parameter::{Param, ParamDefault, ParamError};
use crate::registry::Entry;
use crate::values::Values;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "heater-dial",
    summary: "keeps the heaters' contacts closed and leaves it to their own dials",
    params: &[CONTACTS, INTERVAL],
    page: own_page!("heater_dial.rs"),
    build,
};

const CONTACTS: Param = contacts_param(
    "contacts",
    "all contacts that heat by heaters with a dial",
    "what it keeps closed",
);

#[derive(Debug, Clone)]
struct HeaterDial {
    contacts: Option<Vec<String>>,
    interval_ms: Millis,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    Ok(Box::new(HeaterDial {
        contacts: values.given_names(CONTACTS.name).map(<[String]>::to_vec),
        interval_ms: values.get_time_ms(INTERVAL.name)?,
    }))
}

impl StrategyRecipe for HeaterDial {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        if INTERVAL.default == ParamDefault::Time(self.interval_ms) {
            return "contacts always closed".to_owned();
        }
        format!(
            "contacts always closed, decides every {}",
            print_millis(self.interval_ms)
        )
    }

    fn interval_ms(&self) -> Millis {
        self.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let mut contacts = contacts(wiring, Role::Heat, self.contacts.as_deref())?;
        if self.contacts.is_some() {
            if let Some(bare) = contacts.iter().find(|contact| !has_dials(wiring, **contact)) {
                return Err(BindError::Unknown {
                    what: "contact that heats by heaters with a dial of their own",
                    name: wiring.contacts[bare.0].name.clone(),
                    known: wiring
                        .contacts_with(Role::Heat)?
                        .into_iter()
                        .filter(|contact| has_dials(wiring, *contact))
                        .map(|contact| wiring.contacts[contact.0].name.clone())
                        .collect(),
                });
            }
        } else {
            contacts.retain(|contact| has_dials(wiring, *contact));
        }
        if contacts.is_empty() {
            return Err(BindError::DoesNotApply {
                missing: "no heater with a dial of its own".to_owned(),
            });
        }
        Ok(Box::new(Bound { contacts }))
    }
}

/// Whether every heater behind a contact, and there is one, has a thermostat of its own.
fn has_dials(wiring: &Wiring, contact: ContactId) -> bool {
    let mut behind = wiring
        .heaters
        .iter()
        .filter(|heater| heater.chain.contains(&contact))
        .peekable();
    behind.peek().is_some()
        && behind.all(|heater| {
            heater
                .chain
                .iter()
                .any(|other| wiring.contacts[other.0].kind == ContactKind::Thermostat)
        })
}

#[derive(Clone)]
struct Bound {
    contacts: Vec<ContactId>,
}

impl Strategy for Bound {
    fn decide(&mut self, _: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        for contact in &self.contacts {
            commands.set(*contact, ContactState::Closed);
        }
        Ok(())
    }

    fn rests(&self) -> Option<Rest> {
        Some(Rest {
            probe: None,
            above_c: f64::NEG_INFINITY,
            below_c: f64::INFINITY,
            until_ms: Millis::MAX,
        })
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
