//! Chiller: runs above, stops below, and rests between two runs. Cools only.
//!
//! # Law
//! All chillers' contacts close when the reading is at or above s + `starts_above` and open when it is at or below
//! s − `stops_below`, with setpoint s. Once open they stay open for `rest`, whatever the reading says; so they do at the
//! start and after an outage, since nobody knows how long the compressor has rested then.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Every contact that cools with nothing but chillers behind it, alike, at each decision. Contacts of fans and of heaters are left open.
//!
//! # Memory and reset
//! The commanded state and since when; after an outage the rest begins anew.
//!
//! # Parameters
//! - `starts_above`: K, default 0.6, sensible 0.3 to 1.
//! - `stops_below`: K, default 0.2, sensible 0 to 0.5: with `starts_above` it makes the deadband; both wide give few and long
//!   runs, which spare the compressor, and a wider swing.
//! - `rest`: default 5 min, sensible 3 to 10 min: until the pressures in a compressor are even; longer lets the water rise
//!   further.
//! - `contacts`: default: all contacts that cool and have only chillers behind them.
//! - `setpoint`, `probe`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `on-off`, and the rest holds. `last duty` goes on with the lengths of the last spells.
//!
//! # Known weakness
//! It does not heat, and leaves fans alone. What the chiller gives off warms the room unless it goes outdoors. A chiller whose
//! own rest is longer than `rest` keeps its own.
//!
//! # Source
//! A minimum off time against short cycling of compressors: common practice, no source; nor for the defaults.

use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Strategy, StrategyRecipe, Wiring};
use tepid_sim::time::{HOUR, MINUTE, Millis};

use crate::control_loop::{
    ControlLoop, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, contacts, contacts_param,
};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::registry::Entry;
use crate::switch::{Switch, SwitchPoints};
use crate::thermostat::Thermostat;
use crate::values::Values;
use crate::wording::difference_text;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "chiller",
    summary: "runs a chiller above the setpoint and lets it rest between runs; does not heat",
    params: &[
        SETPOINT,
        STARTS_ABOVE,
        STOPS_BELOW,
        REST,
        PROBE,
        CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("chiller.rs"),
    build,
};

const STARTS_ABOVE: Param = edge("starts_above", 0.6, 0.01, "how far above the setpoint it starts")
    .trading("larger: fewer starts, warmer water before each");
const STOPS_BELOW: Param = edge("stops_below", 0.2, 0.0, "how far below the setpoint it stops")
    .trading("larger: longer runs and fewer starts, and nearer to where heaters work");

const fn edge(name: &'static str, default_k: f64, from: f64, doc: &'static str) -> Param {
    Param {
        name,
        kind: ParamKind::Quantity(Kind::TemperatureDifference),
        default: ParamDefault::Number(default_k),
        range: Some(ParamRange { from, to: 5.0 }),
        doc,
        trade: None,
    }
}

/// The rest of every chiller.
pub(crate) const REST: Param = Param {
    name: "rest",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(5 * MINUTE),
    range: Some(ParamRange {
        from: 0.0,
        to: HOUR as f64,
    }),
    doc: "shortest time a chiller is off between two runs",
    trade: Some("longer: kind to the compressor, warmer water meanwhile"),
};

const CONTACTS: Param = contacts_param(
    "contacts",
    "all contacts that cool by chillers alone",
    "what it switches",
);

#[derive(Debug, Clone)]
struct Chiller {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    starts_above_k: f64,
    stops_below_k: f64,
    rest_ms: Millis,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    Ok(Box::new(Chiller {
        control: ControlLoop::from_values(values)?,
        contacts: values.given_names(CONTACTS.name).map(<[String]>::to_vec),
        starts_above_k: values.get_number(STARTS_ABOVE.name)?,
        stops_below_k: values.get_number(STOPS_BELOW.name)?,
        rest_ms: values.get_time_ms(REST.name)?,
    }))
}

impl StrategyRecipe for Chiller {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "starts {} above {}, stops {} below, rests {}{}",
            difference_text(self.starts_above_k),
            self.control.setpoint_text(),
            difference_text(self.stops_below_k),
            print_millis(self.rest_ms),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let mut contacts = contacts(wiring, Role::Cool, self.contacts.as_deref())?;
        if self.contacts.is_none() {
            contacts.retain(|contact| wiring.contacts[contact.0].only_chillers);
        }
        if contacts.is_empty() {
            return Err(BindError::DoesNotApply {
                missing: "no commanded contact of a chiller".to_owned(),
            });
        }
        let setpoint_c = self.control.setpoint_c(wiring);
        let points = SwitchPoints {
            closes_c: setpoint_c + self.starts_above_k,
            opens_c: setpoint_c - self.stops_below_k,
        };
        let switch = Switch::new(points).with_minimum_times(0, self.rest_ms);
        let bound = Thermostat::new(&self.control, wiring, contacts, switch)?;
        Ok(Box::new(bound.resting_first()))
    }
}
