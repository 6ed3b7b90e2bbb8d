//! Fan cooling: blow above, stop below. Cools only.
//!
//! # Law
//! All cooling contacts close when the reading is at or above the upper edge of the deadband and open when it is
//! at or below the lower edge. With setpoint s and deadband d the edges are s and s + d (`above`), or s − d/2 and
//! s + d/2 (`centred`).
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Every cooling contact alike, at each decision. Heating contacts are left open.
//!
//! # Memory and reset
//! The commanded state; kept over a power outage.
//!
//! # Parameters
//! - `deadband`: K, default 0.4, sensible 0.2 to 1.
//! - `position`: `above` (default): never cooled past the setpoint; or `centred`.
//! - `setpoint`, `probe`, `contacts`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `on-off`. `off` stops the fan: safe against over-cooling and evaporation, not against a heat wave.
//!
//! # Known weakness
//! It does not heat: in a tank with heaters it leaves their contacts open, so that in a cold room the water goes
//! down to what the pumps hold (`heat-and-fan` does both). A fan cools by evaporation: in humid air it does
//! little, and it uses up top-off water.
//!
//! # Source
//! Common practice, no source; nor for the defaults.

use tepid_sim::quantity::Kind;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Strategy, StrategyRecipe, Wiring};
use tepid_sim::time::Millis;

use crate::control_loop::{
    COOLING_CONTACTS, ControlLoop, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, contacts,
};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::registry::Entry;
use crate::switch::{Switch, SwitchPoints};
use crate::thermostat::Thermostat;
use crate::values::Values;
use crate::wording::difference_text;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "fan-cooling",
    summary: "blows air over the water above the setpoint; does not heat",
    params: &[
        SETPOINT,
        DEADBAND,
        POSITION,
        PROBE,
        COOLING_CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("fan_cooling.rs"),
    build,
};

const DEADBAND: Param = Param {
    name: "deadband",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.4),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "full width between closing and opening",
    trade: Some("wider: fewer starts of the fan and a wider swing"),
};

const POSITION: Param = Param {
    name: "position",
    kind: ParamKind::Choice(&["above", "centred"]),
    default: ParamDefault::Word("above"),
    range: None,
    doc: "where the deadband lies: all of it above the setpoint, or centred on it",
    trade: Some(
        "`above` never cools below the setpoint; `centred` holds half a deadband lower and may meet the heaters",
    ),
};

#[derive(Debug, Clone)]
struct FanCooling {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    deadband_k: f64,
    above: bool,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    Ok(Box::new(FanCooling {
        control: ControlLoop::from_values(values)?,
        contacts: values.given_names(COOLING_CONTACTS.name).map(<[String]>::to_vec),
        deadband_k: values.get_number(DEADBAND.name)?,
        above: values.get_word(POSITION.name)? == "above",
    }))
}

impl StrategyRecipe for FanCooling {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "{} deadband, {} {}{}",
            difference_text(self.deadband_k),
            if self.above { "above" } else { "centred on" },
            self.control.setpoint_text(),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let setpoint_c = self.control.setpoint_c(wiring);
        let opens_c = if self.above {
            setpoint_c
        } else {
            setpoint_c - self.deadband_k / 2.0
        };
        let points = SwitchPoints {
            closes_c: opens_c + self.deadband_k,
            opens_c,
        };
        let contacts = contacts(wiring, Role::Cool, self.contacts.as_deref())?;
        Ok(Box::new(Thermostat::new(
            &self.control,
            wiring,
            contacts,
            Switch::new(points),
        )?))
    }
}
