//! Hold-off: heats nothing during a feeding pause or a water change.
//!
//! # Law
//! From the start of an announced event that stops a pump or changes water, or whose name begins with one of `events`, to its end and `after`
//! longer, all its contacts are held open.
//!
//! # Reads
//! What is announced: the events of the scenario, never its faults.
//!
//! # Commands
//! Opens contacts that heat.
//!
//! # Memory and reset
//! Until when it holds after the event under way; kept over a power outage.
//!
//! # Parameters
//! - `events`: default: every event that stops a pump or changes water, whatever it is called; else beginnings of the names of those meant.
//! - `after`: default 0: how much longer, such as until the water is back above the heater and mixed.
//! - `contacts`: default: all contacts that heat.
//!
//! # When the probe is silent
//! As ever: it reads none.
//!
//! # Known weakness
//! It knows what was announced and nothing else: a pump that stops by itself is no feeding pause. A name that no
//! event has is never found, without a complaint. Events with an open end hold for good.
//!
//! # Source
//! Common practice, no source; nor for the defaults.

use tepid_sim::ids::ContactId;
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{AnnouncedKind, BindError, Readings, Wiring};
use tepid_sim::time::{DAY, Millis};

use super::software_limit::CONTACTS;
use super::{ActsOn, Guard, GuardEntry, GuardRecipe, Verdict, Wanted};
use crate::control_loop::contacts;
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;

/// Its place among the guards.
pub const ENTRY: GuardEntry = GuardEntry {
    name: "hold-off",
    summary: "heats nothing during an announced feeding pause or water change",
    acts_on: ActsOn::Commands,
    belongs_after: None,
    params: &[EVENTS, AFTER, CONTACTS],
    page: own_page!("hold_off.rs"),
    build,
};

const EVENTS: Param = Param {
    name: "events",
    kind: ParamKind::EventNames,
    default: ParamDefault::OfScenario("all that stop a pump or change water"),
    range: None,
    doc: "beginnings of the names of the events meant",
    trade: None,
};

const AFTER: Param = Param {
    name: "after",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(0),
    range: Some(ParamRange {
        from: 0.0,
        to: DAY as f64,
    }),
    doc: "how long it goes on after the event",
    trade: Some("longer: no heat into water that does not flow yet, colder meanwhile"),
};

#[derive(Debug, Clone)]
struct HoldOff {
    /// Beginnings of names; `None`: by what they are.
    events: Option<Vec<String>>,
    after_ms: Millis,
    contacts: Option<Vec<String>>,
}

fn build(values: &Values) -> Result<Box<dyn GuardRecipe>, ParamError> {
    Ok(Box::new(HoldOff {
        events: values.given_names(EVENTS.name).map(<[String]>::to_vec),
        after_ms: values.get_time_ms(AFTER.name)?,
        contacts: values.given_names(CONTACTS.name).map(<[String]>::to_vec),
    }))
}

impl GuardRecipe for HoldOff {
    fn name(&self) -> &'static str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        let mut text = match &self.events {
            Some(events) => format!("open during {}", events.join(", ")),
            None => "open while a pump is stopped or water is changed".to_owned(),
        };
        if self.after_ms > 0 {
            text += &format!(" and {} after", print_millis(self.after_ms));
        }
        text
    }

    fn bind(&self, wiring: &Wiring, interval_ms: Millis) -> Result<Box<dyn Guard>, BindError> {
        Ok(Box::new(Bound {
            events: self.events.clone(),
            after_ms: self.after_ms,
            contacts: contacts(wiring, Role::Heat, self.contacts.as_deref())?,
            interval_ms,
            until_ms: None,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    events: Option<Vec<String>>,
    after_ms: Millis,
    contacts: Vec<ContactId>,
    interval_ms: Millis,
    /// Until when it holds, ms: the end of the last event that began, and `after`.
    until_ms: Option<Millis>,
}

impl Guard for Bound {
    fn check(&mut self, seen: &Readings, _wanted: &Wanted, verdict: &mut Verdict) {
        let now_ms = seen.now_ms;
        let next_ms = now_ms + self.interval_ms;
        self.until_ms = self.until_ms.filter(|until_ms| now_ms < *until_ms);
        let mut from_ms = self.until_ms.map(|_| now_ms);
        for event in &seen.announced {
            let is_meant = match &self.events {
                Some(events) => events.iter().any(|start| event.name.starts_with(start)),
                None => event.kind != AnnouncedKind::Other,
            };
            // One with an open end is under way for as long as it is announced.
            let end_ms = event.end_ms.unwrap_or(next_ms) + self.after_ms;
            if is_meant && event.start_ms < next_ms && now_ms < end_ms {
                let start_ms = event.start_ms.max(now_ms);
                from_ms = Some(from_ms.map_or(start_ms, |from_ms| from_ms.min(start_ms)));
                self.until_ms = self.until_ms.max(Some(end_ms));
            }
        }
        if let (Some(from_ms), Some(until_ms)) = (from_ms, self.until_ms) {
            for contact in &self.contacts {
                verdict.hold_open_between(*contact, from_ms - now_ms, until_ms - now_ms);
            }
        }
    }

    fn twin(&self) -> Box<dyn Guard> {
        Box::new(self.clone())
    }
}
