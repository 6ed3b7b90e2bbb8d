//! Longest on: a contact that heats without a break for too long is opened for a while, with an alert.
//!
//! # Law
//! A contact closed for `longest_on` without a break is held open for `rest`, each contact by itself; then it is
//! again as the strategy wants it, and the count begins anew.
//!
//! # Reads
//! Nothing: the strategy's commands and the clock.
//!
//! # Commands
//! Opens contacts that heat.
//!
//! # Memory and reset
//! Since when each contact is closed and until when it rests; both end with a power outage, which opened
//! everything.
//!
//! # Parameters
//! - `longest_on`: default 3 h: longer than the longest spell of a healthy cold night, or it takes heat away when it
//!   is needed most.
//! - `rest`: default 30 min.
//! - `contacts`: default: all contacts that heat.
//!
//! # When the probe is silent
//! As ever: a strategy that holds closed contacts without a reading is ended by it.
//!
//! # Known weakness
//! It takes heat away in real cold: a heater that is too small for the room heats without a break and is right to.
//! On the average a stuck reading still heats for `longest_on` of every `longest_on` + `rest`, which may be enough
//! to cook. A strategy that breaks its closed spells (a duty in cycles) is never counted to the end. It opens
//! commands, not welded contacts.
//!
//! # Source
//! Common practice, no source; nor for the defaults.

use tepid_sim::ids::ContactId;
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Readings, Wiring};
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};

use super::software_limit::CONTACTS;
use super::{ActsOn, Guard, GuardEntry, GuardRecipe, Verdict, Wanted};
use crate::control_loop::contacts;
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;

/// Its place among the guards.
pub const ENTRY: GuardEntry = GuardEntry {
    name: "longest-on",
    summary: "opens a contact that heats without a break for too long, for a while, with an alert",
    acts_on: ActsOn::Commands,
    belongs_after: None,
    params: &[LONGEST_ON, REST, CONTACTS],
    page: own_page!("longest_on.rs"),
    build,
};

const LONGEST_ON: Param = Param {
    name: "longest_on",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(3 * HOUR),
    range: Some(ParamRange {
        from: MINUTE as f64,
        to: 7.0 * DAY as f64,
    }),
    doc: "longest time closed without a break",
    trade: Some("shorter: catches a stuck reading sooner, and trips in honest cold"),
};

const REST: Param = Param {
    name: "rest",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(30 * MINUTE),
    range: Some(ParamRange {
        from: MINUTE as f64,
        to: DAY as f64,
    }),
    doc: "how long it then stays open",
    trade: Some("longer: safer from a stuck reading, colder in honest cold"),
};

#[derive(Debug, Clone)]
struct LongestOn {
    longest_on_ms: Millis,
    rest_ms: Millis,
    contacts: Option<Vec<String>>,
}

fn build(values: &Values) -> Result<Box<dyn GuardRecipe>, ParamError> {
    Ok(Box::new(LongestOn {
        longest_on_ms: values.get_time_ms(LONGEST_ON.name)?,
        rest_ms: values.get_time_ms(REST.name)?,
        contacts: values.given_names(CONTACTS.name).map(<[String]>::to_vec),
    }))
}

impl GuardRecipe for LongestOn {
    fn name(&self) -> &'static str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "open for {} after {}",
            print_millis(self.rest_ms),
            print_millis(self.longest_on_ms)
        )
    }

    fn bind(&self, wiring: &Wiring, interval_ms: Millis) -> Result<Box<dyn Guard>, BindError> {
        let contacts = contacts(wiring, Role::Heat, self.contacts.as_deref())?;
        Ok(Box::new(Bound {
            contacts: contacts
                .into_iter()
                .map(|contact| Resting {
                    contact,
                    name: wiring.contacts[contact.0].name.clone(),
                    rests_from_ms: None,
                    rested_until_ms: None,
                })
                .collect(),
            longest_on_ms: self.longest_on_ms,
            rest_ms: self.rest_ms,
            interval_ms,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    contacts: Vec<Resting>,
    longest_on_ms: Millis,
    rest_ms: Millis,
    interval_ms: Millis,
}

#[derive(Clone)]
struct Resting {
    contact: ContactId,
    name: String,
    /// The present rest began, or begins before the next decision, ms.
    rests_from_ms: Option<Millis>,
    /// End of the last rest, ms: time before it does not count.
    rested_until_ms: Option<Millis>,
}

impl Guard for Bound {
    fn check(&mut self, seen: &Readings, wanted: &Wanted, verdict: &mut Verdict) {
        let now_ms = seen.now_ms;
        for resting in &mut self.contacts {
            let course = wanted.of(resting.contact);
            if wanted.restarted() {
                resting.rests_from_ms = None;
                resting.rested_until_ms = None;
            }
            if let Some(from_ms) = resting.rests_from_ms
                && now_ms >= from_ms + self.rest_ms
            {
                resting.rests_from_ms = None;
                resting.rested_until_ms = Some(from_ms + self.rest_ms);
            }
            if resting.rests_from_ms.is_none()
                && let Some(since_ms) = course.closed_since_ms()
            {
                let since_ms = since_ms.max(resting.rested_until_ms.unwrap_or(since_ms));
                let from_ms = (since_ms + self.longest_on_ms).max(now_ms);
                let opens_before = course
                    .opens_after_ms()
                    .is_some_and(|delay_ms| now_ms + delay_ms <= from_ms);
                if from_ms < now_ms + self.interval_ms && !opens_before {
                    resting.rests_from_ms = Some(from_ms);
                    verdict.raise(format!(
                        "longest-on: `{}` was closed for {}",
                        resting.name,
                        print_millis(self.longest_on_ms)
                    ));
                }
            }
            if let Some(from_ms) = resting.rests_from_ms {
                let until_ms = from_ms + self.rest_ms;
                verdict.hold_open_between(resting.contact, (from_ms - now_ms).max(0), until_ms - now_ms);
            }
        }
    }

    fn twin(&self) -> Box<dyn Guard> {
        Box::new(self.clone())
    }
}
