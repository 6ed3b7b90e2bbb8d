//! Lead and lag: one heater leads, the next joins when it alone does not hold, and who has run least leads next.
//!
//! # Law
//! With setpoint s and deadband d: the lead closes when the reading is at or below s − d/2; one more joins each time the
//! reading has stayed at or below s − d/2 for `join_after` although those before it are closed; all open at or above
//! s + d/2. Each time heating begins anew the contacts are put in order of their run time so far, least first (of equal ones
//! as in the file), and that order leads.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Each heating contact by itself, at each decision.
//!
//! # Memory and reset
//! The commanded state of each contact, its run time since the start as commanded, and since when the reading is low. All are
//! kept over an outage; after it heating begins anew.
//!
//! # Parameters
//! - `deadband`: K, default 0.4, sensible 0.1 to 1: as `on-off`.
//! - `join_after`: default 15 min, sensible 5 min to 1 h: short lets the others help where the lead would have done it,
//!   long lets the water fall further while the lead is too weak or dead.
//! - `contacts`: at least two; default: all contacts that heat, in file order.
//! - `setpoint`, `probe`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `on-off`, with those that lead at that moment; nobody joins during a silence.
//!
//! # Known weakness
//! It counts commanded time: a dead heater counts as one that runs, and a welded one as one that rests. A dead lead
//! shows as colder water for `join_after`, every second time. Where the lead alone never reaches the upper edge nobody takes
//! turns.
//!
//! # Source
//! Lead-lag control with alternation, common practice of plants with two of a kind, no source; nor for the defaults.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    BindError, Commands, ContactState, Readings, Rest, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::{DAY, MINUTE, Millis, SECOND};

use crate::control_loop::{
    ControlLoop, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, WithoutReading, contacts, contacts_param,
    reading_c,
};
use crate::decision_clock::{DecisionClock, Tick};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::registry::Entry;
use crate::switch::{Switch, SwitchPoints, rest};
use crate::values::Values;
use crate::wording::difference_text;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "lead-lag",
    summary: "one heater leads, the next joins if it does not hold, and they take turns",
    params: &[
        SETPOINT,
        DEADBAND,
        JOIN_AFTER,
        PROBE,
        CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("lead_lag.rs"),
    build,
};

const DEADBAND: Param = Param {
    name: "deadband",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.4),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "full width between closing and opening, centred on the setpoint",
    trade: Some("wider: fewer closings and a wider swing"),
};

const JOIN_AFTER: Param = Param {
    name: "join_after",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(15 * MINUTE),
    range: Some(ParamRange {
        from: SECOND as f64,
        to: DAY as f64,
    }),
    doc: "how long the water stays too cold before one more joins",
    trade: Some("longer: fewer closings of the second heater, a deeper dip before it helps"),
};

const CONTACTS: Param = contacts_param(
    "contacts",
    "all contacts that heat",
    "what takes turns, at least two",
);

#[derive(Debug, Clone)]
struct LeadLag {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    deadband_k: f64,
    join_after_ms: Millis,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    let contacts = values.given_names(CONTACTS.name).map(<[String]>::to_vec);
    if let Some([only]) = contacts.as_deref() {
        return Err(ParamError::BadList {
            param: CONTACTS.name,
            wrong: format!("names only `{only}`: taking turns needs two"),
        });
    }
    Ok(Box::new(LeadLag {
        control: ControlLoop::from_values(values)?,
        contacts,
        deadband_k: values.get_number(DEADBAND.name)?,
        join_after_ms: values.get_time_ms(JOIN_AFTER.name)?,
    }))
}

impl StrategyRecipe for LeadLag {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "{} deadband, centred on {}, the next joins after {}{}",
            difference_text(self.deadband_k),
            self.control.setpoint_text(),
            print_millis(self.join_after_ms),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let probe = self.control.probe(wiring)?;
        let contacts = contacts(wiring, Role::Heat, self.contacts.as_deref())?;
        if contacts.len() < 2 {
            return Err(BindError::DoesNotApply {
                missing: "only one heat contact".to_owned(),
            });
        }
        let points = SwitchPoints::heating(self.control.setpoint_c(wiring), self.deadband_k);
        Ok(Box::new(Bound {
            probe,
            without: self.control.without_reading,
            join_after_ms: self.join_after_ms,
            low_c: points.closes_c,
            clock: DecisionClock::new(self.control.interval_ms),
            demand: Switch::new(points),
            turns: contacts
                .into_iter()
                .enumerate()
                .map(|(place, contact)| Turn {
                    run_ms: 0,
                    place,
                    contact,
                })
                .collect(),
            closed: 0,
            low_since_ms: 0,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    probe: ProbeId,
    without: WithoutReading,
    join_after_ms: Millis,
    low_c: f64,
    clock: DecisionClock,
    demand: Switch,
    /// The lead first.
    turns: Vec<Turn>,
    /// How many of them are closed.
    closed: usize,
    /// Since when the reading has been low with no more than these closed.
    low_since_ms: Millis,
}

/// A contact and how long it was commanded closed; ordered by that.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Turn {
    run_ms: Millis,
    place: usize,
    contact: ContactId,
}

impl Bound {
    fn join(&mut self, now_ms: Millis, reading_c: Option<f64>) {
        if !reading_c.is_some_and(|temp_c| temp_c <= self.low_c) {
            self.low_since_ms = now_ms;
        } else if now_ms - self.low_since_ms >= self.join_after_ms {
            self.closed = self.turns.len().min(self.closed + 1);
            self.low_since_ms = now_ms;
        }
    }
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let now_ms = seen.now_ms;
        let tick = self.clock.tick(now_ms);
        match tick {
            Tick::After(elapsed_ms) => {
                for turn in &mut self.turns[..self.closed] {
                    turn.run_ms += elapsed_ms;
                }
            }
            // The power was out: what heats from now on begins anew.
            Tick::First | Tick::Jumped => self.closed = 0,
        }
        let reading_c = reading_c(seen, self.probe);
        let demand = self.demand.decide(now_ms, tick, reading_c, self.without);
        if !demand.is_closed() {
            self.closed = 0;
        } else if self.closed == 0 {
            self.turns.sort_unstable();
            self.closed = 1;
            self.low_since_ms = now_ms;
        } else {
            self.join(now_ms, reading_c);
        }
        for (place, turn) in self.turns.iter().enumerate() {
            commands.set(turn.contact, ContactState::closed_if(place < self.closed));
        }
        Ok(())
    }

    fn rests(&self) -> Option<Rest> {
        // What heats counts its run time at every decision.
        (self.closed == 0).then(|| rest(self.probe, [&self.demand]))
    }

    fn rested(&mut self, last_ms: Millis) {
        self.clock.rested(last_ms);
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
