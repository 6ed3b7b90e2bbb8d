//! Staggered return: after a restart, contacts close one after another.
//!
//! # Law
//! After the first decision, and after each gap in its decisions, every contact may close once its turn has come:
//! `apart` after the last one that closed for the first time since. A contact that had its turn is free until the
//! next restart.
//!
//! # Reads
//! Nothing: the strategy's commands and the clock.
//!
//! # Commands
//! Opens contacts that heat.
//!
//! # Memory and reset
//! Which contacts had their turn, and when the next may; begun anew at a restart.
//!
//! # Parameters
//! - `apart`: default 1 min.
//! - `contacts`: default: all contacts that heat; their order is that of the turns.
//!
//! # When the probe is silent
//! As ever: it reads none.
//!
//! # Known weakness
//! It sees a restart by the gap in its own decisions: an outage shorter than one interval, or one that a battery
//! carries the controller through, is none to it. It spares a circuit's breaker and the contacts, not the water.
//!
//! # Source
//! Common practice, no source; nor for the defaults.

use tepid_sim::ids::ContactId;
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Readings, Wiring};
use tepid_sim::time::{HOUR, MINUTE, Millis, SECOND};

use super::software_limit::CONTACTS;
use super::{ActsOn, Guard, GuardEntry, GuardRecipe, Verdict, Wanted};
use crate::control_loop::contacts;
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;

/// Its place among the guards.
pub const ENTRY: GuardEntry = GuardEntry {
    name: "staggered-return",
    summary: "lets contacts close one after another when the power comes back",
    acts_on: ActsOn::Commands,
    belongs_after: None,
    params: &[APART, CONTACTS],
    page: own_page!("staggered_return.rs"),
    build,
};

const APART: Param = Param {
    name: "apart",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(MINUTE),
    range: Some(ParamRange {
        from: SECOND as f64,
        to: HOUR as f64,
    }),
    doc: "shortest time between two contacts that close for the first time",
    trade: Some("longer: less load at once when the power comes back, slower warming"),
};

#[derive(Debug, Clone)]
struct StaggeredReturn {
    apart_ms: Millis,
    contacts: Option<Vec<String>>,
}

fn build(values: &Values) -> Result<Box<dyn GuardRecipe>, ParamError> {
    Ok(Box::new(StaggeredReturn {
        apart_ms: values.get_time_ms(APART.name)?,
        contacts: values.given_names(CONTACTS.name).map(<[String]>::to_vec),
    }))
}

impl GuardRecipe for StaggeredReturn {
    fn name(&self) -> &'static str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!("{} apart", print_millis(self.apart_ms))
    }

    fn bind(&self, wiring: &Wiring, interval_ms: Millis) -> Result<Box<dyn Guard>, BindError> {
        let contacts = contacts(wiring, Role::Heat, self.contacts.as_deref())?;
        Ok(Box::new(Bound {
            apart_ms: self.apart_ms,
            interval_ms,
            waiting: Vec::new(),
            contacts,
            next_turn_ms: 0,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    apart_ms: Millis,
    interval_ms: Millis,
    contacts: Vec<ContactId>,
    /// Those whose turn has not come, in order.
    waiting: Vec<ContactId>,
    next_turn_ms: Millis,
}

impl Guard for Bound {
    fn check(&mut self, seen: &Readings, wanted: &Wanted, verdict: &mut Verdict) {
        let now_ms = seen.now_ms;
        if wanted.restarted() {
            self.waiting.clone_from(&self.contacts);
            self.next_turn_ms = now_ms;
        }
        let (interval_ms, apart_ms) = (self.interval_ms, self.apart_ms);
        let next_turn_ms = &mut self.next_turn_ms;
        self.waiting.retain(|contact| {
            let Some(delay_ms) = wanted.of(*contact).closes_after_ms() else {
                return true;
            };
            let turn_ms = (now_ms + delay_ms).max(*next_turn_ms);
            verdict.hold_open_between(*contact, 0, turn_ms - now_ms);
            let comes = turn_ms < now_ms + interval_ms;
            if comes {
                *next_turn_ms = turn_ms + apart_ms;
            }
            !comes
        });
    }

    fn twin(&self) -> Box<dyn Guard> {
        Box::new(self.clone())
    }
}
