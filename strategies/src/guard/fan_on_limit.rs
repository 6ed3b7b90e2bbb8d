//! Fan-on limit: turns the cooling on above a temperature.
//!
//! # Law
//! At or above `closes_above` all its contacts are held closed until the reading is at or below `opens_below`; then
//! they are again as the strategy wants them.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Closes contacts that cool: the only guard that closes anything.
//!
//! # Memory and reset
//! Whether it holds; kept over a power outage, lost where the controller loses its state.
//!
//! # Parameters
//! - `closes_above`: °C, default 1 K above the scenario's band.
//! - `opens_below`: °C, default 0.5 K below `closes_above`.
//! - `probe`, `contacts`: default: the first control probe, all contacts that cool.
//!
//! # When the probe is silent
//! It stays as it was: a fan that turned goes on turning.
//!
//! # Known weakness
//! A fan cools by evaporation: in humid air it does little, it uses up top-off water, and it hides a heater that is
//! stuck closed. A fan held on while a heater is welded makes the heater work for longer, not stop.
//!
//! # Source
//! Common practice, no source; nor for the defaults.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::Kind;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Readings, Wiring};
use tepid_sim::time::Millis;

use super::software_limit::ABOVE_BAND_K;
use super::{ActsOn, Guard, GuardEntry, GuardRecipe, Verdict, Wanted};
use crate::control_loop::{PROBE, contacts, contacts_param, probe, reading_c};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;
use crate::wording::temperature_text;

/// Its place among the guards.
pub const ENTRY: GuardEntry = GuardEntry {
    name: "fan-on-limit",
    summary: "turns the cooling on above a temperature, whatever the strategy says",
    acts_on: ActsOn::Commands,
    belongs_after: None,
    params: &[CLOSES_ABOVE, OPENS_BELOW, PROBE, CONTACTS],
    page: own_page!("fan_on_limit.rs"),
    build,
};

const CLOSES_ABOVE: Param = Param {
    name: "closes_above",
    kind: ParamKind::Quantity(Kind::Temperature),
    default: ParamDefault::OfScenario("1 K above the scenario's band"),
    range: Some(ParamRange { from: 0.0, to: 45.0 }),
    doc: "turns the cooling on when warmer",
    trade: Some("lower: cooler on hot days, and it may meet the heaters"),
};

const OPENS_BELOW: Param = Param {
    name: "opens_below",
    kind: ParamKind::Quantity(Kind::Temperature),
    default: ParamDefault::OfScenario("0.5 K below `closes_above`"),
    range: Some(ParamRange { from: -1.0, to: 45.0 }),
    doc: "leaves the cooling to the strategy when colder",
    trade: Some("further below: longer runs, fewer starts"),
};

const CONTACTS: Param = contacts_param("contacts", "all contacts that cool", "what it closes");

/// How far below `closes_above` it lets go unless told. Common practice, no source.
const BACK_K: f64 = 0.5;

#[derive(Debug, Clone)]
struct FanOnLimit {
    closes_above_c: Option<f64>,
    opens_below_c: Option<f64>,
    probe: Option<String>,
    contacts: Option<Vec<String>>,
}

fn build(values: &Values) -> Result<Box<dyn GuardRecipe>, ParamError> {
    let closes_above_c = values.given_number(CLOSES_ABOVE.name);
    let opens_below_c = values.given_number(OPENS_BELOW.name);
    super::check_edges(OPENS_BELOW.name, opens_below_c, CLOSES_ABOVE.name, closes_above_c)?;
    Ok(Box::new(FanOnLimit {
        closes_above_c,
        opens_below_c,
        probe: values.given_name(PROBE.name).map(str::to_owned),
        contacts: values.given_names(CONTACTS.name).map(<[String]>::to_vec),
    }))
}

impl GuardRecipe for FanOnLimit {
    fn name(&self) -> &'static str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        let closes = self
            .closes_above_c
            .map_or_else(|| "1 K above the band".to_owned(), temperature_text);
        let back = self.opens_below_c.map_or_else(
            || "0.5 K below".to_owned(),
            |edge_c| format!("below {}", temperature_text(edge_c)),
        );
        let by = super::by_probe(self.probe.as_deref());
        format!("closes above {closes}, opens again {back}{by}")
    }

    fn bind(&self, wiring: &Wiring, _interval_ms: Millis) -> Result<Box<dyn Guard>, BindError> {
        let closes_c = self.closes_above_c.unwrap_or(wiring.band_c.1 + ABOVE_BAND_K);
        Ok(Box::new(Bound {
            probe: probe(wiring, self.probe.as_deref())?,
            contacts: contacts(wiring, Role::Cool, self.contacts.as_deref())?,
            closes_c,
            opens_c: self.opens_below_c.unwrap_or(closes_c - BACK_K),
            holds: false,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    probe: ProbeId,
    contacts: Vec<ContactId>,
    closes_c: f64,
    opens_c: f64,
    holds: bool,
}

impl Guard for Bound {
    fn check(&mut self, seen: &Readings, _wanted: &Wanted, verdict: &mut Verdict) {
        if let Some(temp_c) = reading_c(seen, self.probe) {
            self.holds = temp_c >= self.closes_c || (self.holds && temp_c > self.opens_c);
        }
        if self.holds {
            for contact in &self.contacts {
                verdict.hold_closed(*contact);
            }
        }
    }

    fn twin(&self) -> Box<dyn Guard> {
        Box::new(self.clone())
    }
}
