//! What a script or an outside program wants of its contacts, as commands: a state at once, or a duty as pulses.

use tepid_sim::ids::ContactId;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Commands, ContactState, Wiring};
use tepid_sim::time::Millis;

use crate::control_loop::contacts_param;
use crate::decision_clock::Tick;
use crate::duty_cycle::{DutyCycle, Pulses};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind};
use crate::values::Values;

/// What it switches, by role.
pub(crate) const SWITCHES: Param = Param {
    name: "switches",
    kind: ParamKind::Choice(&["heat", "cool", "both"]),
    default: ParamDefault::Word("heat"),
    range: None,
    doc: "which contacts it switches: those that heat, those that cool, or both",
    trade: None,
};

/// What it switches, by name.
pub(crate) const CONTACTS: Param = contacts_param(
    "contacts",
    "all contacts of the kind in `switches`",
    "what it switches",
);

/// What a script or program answers for one contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Drive {
    /// This state, from now on.
    State(ContactState),
    /// Closed for this share of the time, 0..=1.
    Duty(f64),
}

impl Drive {
    /// A duty, if it is one.
    pub(crate) fn duty(number: f64) -> Result<Self, String> {
        if (0.0..=1.0).contains(&number) {
            return Ok(Self::Duty(number));
        }
        let shown = if number.is_nan() {
            "no number".to_owned()
        } else {
            number.to_string()
        };
        let advice = if number.is_nan() {
            ""
        } else {
            "; hold it there, in a script by clamp(duty, 0.0, 1.0)"
        };
        Err(format!(
            "a duty of {shown}; it must be between 0 (never closed) and 1 (always closed){advice}"
        ))
    }
}

/// Which contacts, as values say.
#[derive(Debug, Clone)]
pub(crate) struct Chosen {
    names: Option<Vec<String>>,
    roles: &'static [Role],
}

impl Chosen {
    /// From [`SWITCHES`] and [`CONTACTS`].
    pub(crate) fn from_values(values: &Values) -> Result<Self, ParamError> {
        Ok(Self {
            names: values.given_names(CONTACTS.name).map(<[String]>::to_vec),
            roles: match values.get_word(SWITCHES.name)? {
                "cool" => &[Role::Cool],
                "both" => &[Role::Heat, Role::Cool],
                _ => &[Role::Heat],
            },
        })
    }

    fn bind(&self, wiring: &Wiring) -> Result<Vec<ContactId>, BindError> {
        if let Some(names) = &self.names {
            return names.iter().map(|name| wiring.contact(name)).collect();
        }
        let mut found = Vec::new();
        for role in self.roles {
            found.extend(wiring.contacts_with(*role)?);
        }
        Ok(found)
    }
}

/// A contact that may be commanded.
#[derive(Debug)]
pub(crate) struct Output {
    pub(crate) name: String,
    pub(crate) role: Role,
    pub(crate) power_w: f64,
    contact: ContactId,
    pulses: DutyCycle,
}

/// All contacts that may be commanded.
#[derive(Debug)]
pub(crate) struct Outputs {
    pub(crate) list: Vec<Output>,
    unused: DutyCycle,
}

impl Outputs {
    pub(crate) fn bind(
        chosen: &Chosen,
        wiring: &Wiring,
        pulses: Pulses,
        interval_ms: Millis,
    ) -> Result<Self, BindError> {
        let unused = DutyCycle::new(pulses, interval_ms);
        let list = chosen
            .bind(wiring)?
            .into_iter()
            .filter_map(|contact| {
                let wired = &wiring.contacts[contact.0];
                Some(Output {
                    name: wired.name.clone(),
                    role: wired.role?,
                    power_w: wired.power_w,
                    contact,
                    pulses: unused.clone(),
                })
            })
            .collect();
        Ok(Self { list, unused })
    }

    /// Gives one contact what is said.
    pub(crate) fn give(
        &mut self,
        which: usize,
        drive: Drive,
        now_ms: Millis,
        tick: Tick,
        commands: &mut Commands,
    ) {
        let Some(output) = self.list.get_mut(which) else {
            return;
        };
        match drive {
            Drive::State(state) => {
                // A cycle that was cut short is forgotten: the next duty begins one of its own.
                output.pulses.clone_from(&self.unused);
                commands.set(output.contact, state);
            }
            Drive::Duty(duty_frac) => {
                output
                    .pulses
                    .drive(now_ms, tick, duty_frac, &[output.contact], commands);
            }
        }
    }

    /// The contact of that name; an error names those there are.
    pub(crate) fn named(&self, name: &str) -> Result<usize, String> {
        self.list
            .iter()
            .position(|output| output.name == name)
            .ok_or_else(|| {
                let known: Vec<&str> = self.list.iter().map(|output| output.name.as_str()).collect();
                format!(
                    "`{name}` is no contact that it switches; these are: {}",
                    known.join(", ")
                )
            })
    }
}
