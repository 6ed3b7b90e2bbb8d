//! On-off: heat below, stop above.
//!
//! # Law
//! All heating contacts close when the reading is at or below the lower edge of the deadband and open when it is
//! at or above the upper edge; between the edges they stay as they are. With setpoint s and deadband d the edges
//! are s − d/2 and s + d/2 (`centred`), or s − d and s (`below`).
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Every heating contact alike, at each decision.
//!
//! # Memory and reset
//! The commanded state and since when; both are kept over a power outage.
//!
//! # Parameters
//! - `deadband`: K, default 0.4, sensible 0.1 to 1: narrow holds the water closer and closes the contact more often.
//! - `position`: `centred` (default) or `below`: the water never heated past the setpoint, its mean d/2 lower.
//! - `minimum_on`, `minimum_off`: default 0: fewer closings, at the price of a wider swing; the reading may pass
//!   the deadband by what the heater adds in `minimum_on`.
//! - `setpoint`, `probe`, `contacts`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! `off` opens everything at once, whatever `minimum_on` says. `hold` leaves the contacts as they are: closed ones
//! heat for as long as the silence lasts. `last duty` goes on with the lengths of the last complete on and off
//! spells; before there was one of each, it opens.
//!
//! # Known weakness
//! It cannot tell a welded contact from a closed one, believes a probe that reads wrong, and the swing grows with
//! the lag of the probe.
//!
//! # Source
//! Relay control with hysteresis, textbook matter; from memory. The defaults are common practice, no source.

use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, MinimumTimes, Strategy, StrategyRecipe, Wiring};
use tepid_sim::time::{HOUR, Millis};

use crate::control_loop::{
    ControlLoop, HEATING_CONTACTS, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, contacts,
};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::registry::Entry;
use crate::switch::{Switch, SwitchPoints};
use crate::thermostat::Thermostat;
use crate::values::Values;
use crate::wording::difference_text;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "on-off",
    summary: "heats below a deadband around the setpoint and stops above it",
    params: &[
        SETPOINT,
        DEADBAND,
        POSITION,
        MINIMUM_ON,
        MINIMUM_OFF,
        PROBE,
        HEATING_CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("on_off.rs"),
    build,
};

pub(crate) const DEADBAND: Param = Param {
    name: "deadband",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.4),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "full width between closing and opening",
    trade: Some(
        "wider: fewer closings and a wider swing; narrower than a few times the probe's noise: chatter",
    ),
};

const POSITION: Param = Param {
    name: "position",
    kind: ParamKind::Choice(&["centred", "below"]),
    default: ParamDefault::Word("centred"),
    range: None,
    doc: "where the deadband lies: centred on the setpoint, or all of it below",
    trade: Some(
        "`below` never heats past the setpoint of itself, and holds half a deadband lower on average",
    ),
};

const MINIMUM_ON: Param = Param {
    name: "minimum_on",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(0),
    range: Some(ParamRange {
        from: 0.0,
        to: HOUR as f64,
    }),
    doc: "shortest time closed; a silent probe opens sooner",
    trade: Some("longer: fewer closings, and overshoot where the heater is strong for the tank"),
};

const MINIMUM_OFF: Param = Param {
    name: "minimum_off",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(0),
    range: Some(ParamRange {
        from: 0.0,
        to: HOUR as f64,
    }),
    doc: "shortest time open",
    trade: Some("longer: fewer closings, and undershoot in a cold room"),
};

#[derive(Debug, Clone)]
struct OnOff {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    deadband_k: f64,
    below: bool,
    minimum_on_ms: Millis,
    minimum_off_ms: Millis,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    Ok(Box::new(OnOff {
        control: ControlLoop::from_values(values)?,
        contacts: values.given_names(HEATING_CONTACTS.name).map(<[String]>::to_vec),
        deadband_k: values.get_number(DEADBAND.name)?,
        below: values.get_word(POSITION.name)? == "below",
        minimum_on_ms: values.get_time_ms(MINIMUM_ON.name)?,
        minimum_off_ms: values.get_time_ms(MINIMUM_OFF.name)?,
    }))
}

impl StrategyRecipe for OnOff {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        let place = if self.below { "below" } else { "centred on" };
        let mut text = format!(
            "{} deadband, {place} {}",
            difference_text(self.deadband_k),
            self.control.setpoint_text()
        );
        for (least_ms, what) in [(self.minimum_on_ms, "on"), (self.minimum_off_ms, "off")] {
            if least_ms > 0 {
                text += &format!(", at least {} {what}", print_millis(least_ms));
            }
        }
        text + &self.control.settings_text()
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn minimum_times(&self) -> MinimumTimes {
        MinimumTimes {
            closed_ms: self.minimum_on_ms,
            open_ms: self.minimum_off_ms,
        }
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let setpoint_c = self.control.setpoint_c(wiring);
        let opens_c = if self.below {
            setpoint_c
        } else {
            setpoint_c + self.deadband_k / 2.0
        };
        let points = SwitchPoints {
            closes_c: opens_c - self.deadband_k,
            opens_c,
        };
        let switch = Switch::new(points).with_minimum_times(self.minimum_on_ms, self.minimum_off_ms);
        let contacts = contacts(wiring, Role::Heat, self.contacts.as_deref())?;
        Ok(Box::new(Thermostat::new(
            &self.control,
            wiring,
            contacts,
            switch,
        )?))
    }
}
