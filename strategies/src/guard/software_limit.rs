//! Software limit: opens everything that heats above a temperature.
//!
//! # Law
//! At or above `opens_above` all its contacts are held open until the reading is at or below `closes_below`; then
//! they are again as the strategy wants them.
//!
//! # Reads
//! One probe: by default the one that the strategy reads.
//!
//! # Commands
//! Opens contacts that heat.
//!
//! # Memory and reset
//! Whether it holds; kept over a power outage, lost where the controller loses its state.
//!
//! # Parameters
//! - `opens_above`: °C, default 1 K above the scenario's band: the nearer to the band, the sooner it acts, and the
//!   more often it acts on a warm day.
//! - `closes_below`: °C, default 1 K below `opens_above`.
//! - `probe`, `contacts`: default: the first control probe, all contacts that heat.
//!
//! # When the probe is silent
//! It stays as it was: what to do then is the strategy's to say (`without_reading`).
//!
//! # Known weakness
//! It shares probe, controller and contacts with the strategy. A welded contact does not open for it, a probe that
//! reads low keeps it blind, and where the controller hangs with closed contacts it hangs too. It helps against
//! mistakes of the strategy alone: a wrong setpoint, a `hold` without a reading on another probe. A cut-out of its
//! own does what this cannot.
//!
//! # Source
//! Common practice, no source; nor for the defaults.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::Kind;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Readings, Wiring};
use tepid_sim::time::Millis;

use super::{ActsOn, Guard, GuardEntry, GuardRecipe, Verdict, Wanted};
use crate::control_loop::{PROBE, contacts, contacts_param, probe, reading_c};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;
use crate::wording::temperature_text;

/// Its place among the guards.
pub const ENTRY: GuardEntry = GuardEntry {
    name: "software-limit",
    summary: "opens everything that heats above a temperature, whatever the strategy says",
    acts_on: ActsOn::Commands,
    belongs_after: None,
    params: &[OPENS_ABOVE, CLOSES_BELOW, PROBE, CONTACTS],
    page: own_page!("software_limit.rs"),
    build,
};

const OPENS_ABOVE: Param = Param {
    name: "opens_above",
    kind: ParamKind::Quantity(Kind::Temperature),
    default: ParamDefault::OfScenario("1 K above the scenario's band"),
    range: Some(ParamRange { from: 0.0, to: 45.0 }),
    doc: "opens when warmer",
    trade: Some(
        "lower: less heat from a mistaken strategy; so low that it meets the band, it becomes the thermostat",
    ),
};

const CLOSES_BELOW: Param = Param {
    name: "closes_below",
    kind: ParamKind::Quantity(Kind::Temperature),
    default: ParamDefault::OfScenario("1 K below `opens_above`"),
    range: Some(ParamRange { from: -1.0, to: 45.0 }),
    doc: "lets the strategy close again when colder",
    trade: Some("nearer to where it opens: back to work sooner, with more closings"),
};

pub(super) const CONTACTS: Param = contacts_param("contacts", "all contacts that heat", "what it opens");

/// How far above the band it opens unless told. Common practice, no source.
pub(super) const ABOVE_BAND_K: f64 = 1.0;

/// How far below that it lets close again unless told: as a thermostat's contact.
const BACK_K: f64 = 1.0;

#[derive(Debug, Clone)]
struct SoftwareLimit {
    opens_above_c: Option<f64>,
    closes_below_c: Option<f64>,
    probe: Option<String>,
    contacts: Option<Vec<String>>,
}

fn build(values: &Values) -> Result<Box<dyn GuardRecipe>, ParamError> {
    let opens_above_c = values.given_number(OPENS_ABOVE.name);
    let closes_below_c = values.given_number(CLOSES_BELOW.name);
    super::check_edges(CLOSES_BELOW.name, closes_below_c, OPENS_ABOVE.name, opens_above_c)?;
    Ok(Box::new(SoftwareLimit {
        opens_above_c,
        closes_below_c,
        probe: values.given_name(PROBE.name).map(str::to_owned),
        contacts: values.given_names(CONTACTS.name).map(<[String]>::to_vec),
    }))
}

impl GuardRecipe for SoftwareLimit {
    fn name(&self) -> &'static str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        let opens = self
            .opens_above_c
            .map_or_else(|| "1 K above the band".to_owned(), temperature_text);
        let back = self.closes_below_c.map_or_else(
            || "1 K below".to_owned(),
            |edge_c| format!("below {}", temperature_text(edge_c)),
        );
        let by = super::by_probe(self.probe.as_deref());
        format!("opens above {opens}, closes again {back}{by}")
    }

    fn bind(&self, wiring: &Wiring, _interval_ms: Millis) -> Result<Box<dyn Guard>, BindError> {
        let opens_c = self.opens_above_c.unwrap_or(wiring.band_c.1 + ABOVE_BAND_K);
        Ok(Box::new(Bound {
            probe: probe(wiring, self.probe.as_deref())?,
            contacts: contacts(wiring, Role::Heat, self.contacts.as_deref())?,
            opens_c,
            closes_c: self.closes_below_c.unwrap_or(opens_c - BACK_K),
            holds: false,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    probe: ProbeId,
    contacts: Vec<ContactId>,
    opens_c: f64,
    closes_c: f64,
    holds: bool,
}

impl Guard for Bound {
    fn check(&mut self, seen: &Readings, _wanted: &Wanted, verdict: &mut Verdict) {
        if let Some(temp_c) = reading_c(seen, self.probe) {
            self.holds = temp_c >= self.opens_c || (self.holds && temp_c > self.closes_c);
        }
        if self.holds {
            for contact in &self.contacts {
                verdict.hold_open(*contact);
            }
        }
    }

    fn twin(&self) -> Box<dyn Guard> {
        Box::new(self.clone())
    }
}
