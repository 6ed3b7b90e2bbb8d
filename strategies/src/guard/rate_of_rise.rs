//! Rate of rise: heats without a rise, or a rise without heat, is not what a heater does.
//!
//! # Law
//! *No rise*: where any of its contacts should be closed without a break for `within` and the reading has not risen
//! by `least` since the beginning, it raises an alert and holds all of them open for `pause`. After a rise by
//! `least` the count begins anew. *Rise without heat*: where all its contacts should be open for `settle` or longer,
//! and the reading has risen by `most` above the lowest of the last `within`, it raises an alert and holds all of
//! them open for as long as it goes on, at least for `pause`.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Opens contacts that heat.
//!
//! # Memory and reset
//! The readings of the last `within` while nothing should heat, the reading at the beginning of a closed spell, and
//! until when it holds. An outage ends the spells, not the hold.
//!
//! # Parameters
//! - `within`: default 1 h: short ones find a dead heater sooner and take a slow tank for one.
//! - `least`: K, default 0.1, which should be twice the probe's resolution.
//! - `most`: K, default 0.5: more than lamps, people or a room that warms up do to the water within that time.
//! - `settle`: default 15 min: what the heater still holds is given off in that time.
//! - `pause`: default 30 min.
//! - `probe`, `contacts`: default: the first control probe, all contacts that heat.
//!
//! # When the probe is silent
//! Both counts end, and begin anew with the next reading.
//!
//! # Known weakness
//! It can announce a welded contact and cannot stop it. A heater that only just holds the water gives no rise and is
//! right to heat: there it takes heat away from a cold tank. A strategy that breaks its closed spells within
//! `within` is never found without a rise. A weld in a room cold enough to take all its heat gives no rise. A room
//! heated by day, or a lamp, may look like a weld. It knows what the guards before it want, not what those after it
//! open: it belongs last.
//!
//! # Source
//! Common practice, no source; nor for the defaults.

use std::collections::VecDeque;

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Readings, Wiring};
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};

use super::software_limit::CONTACTS;
use super::{ActsOn, BelongsAfter, Guard, GuardEntry, GuardRecipe, Verdict, Wanted};
use crate::control_loop::{PROBE, contacts, probe, reading_c};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;
use crate::wording::difference_text;

/// Its place among the guards.
pub const ENTRY: GuardEntry = GuardEntry {
    name: "rate-of-rise",
    summary: "alerts and opens where heat brings no rise, or the water rises without heat",
    acts_on: ActsOn::Commands,
    belongs_after: Some(BelongsAfter {
        guards: &["software-limit", "longest-on", "hold-off", "staggered-return"],
        why: "it takes what the guards before it want for what the heaters do, and does not see what those after it open",
    }),
    params: &[WITHIN, LEAST, MOST, SETTLE, PAUSE, PROBE, CONTACTS],
    page: own_page!("rate_of_rise.rs"),
    build,
};

const WITHIN: Param = time_param("within", HOUR, "time in which to look for a rise", DAY)
    .trading("shorter: catches a dead heater sooner, and alerts falsely on large or hard-pressed tanks");
const SETTLE: Param = time_param(
    "settle",
    15 * MINUTE,
    "time after opening in which a rise is still the heater's",
    6 * HOUR,
)
.trading("longer: no false alert from a slow heater's last warmth, a later one from a weld");
const PAUSE: Param = time_param("pause", 30 * MINUTE, "how long it holds open, at least", DAY)
    .trading("longer: safer if the alarm was right, colder if it was not");
const LEAST: Param = rise_param("least", 0.1, "the least rise that heat must bring")
    .trading("larger: catches a weak heater too, and takes heat away in honest cold");
const MOST: Param = rise_param("most", 0.5, "the rise without heat that is too much")
    .trading("smaller: a weld shows sooner, and so does a warm afternoon that is none");

const fn time_param(name: &'static str, default: Millis, doc: &'static str, longest: Millis) -> Param {
    Param {
        name,
        kind: ParamKind::Quantity(Kind::Time),
        default: ParamDefault::Time(default),
        range: Some(ParamRange {
            from: MINUTE as f64,
            to: longest as f64,
        }),
        doc,
        trade: None,
    }
}

const fn rise_param(name: &'static str, default: f64, doc: &'static str) -> Param {
    Param {
        name,
        kind: ParamKind::Quantity(Kind::TemperatureDifference),
        default: ParamDefault::Number(default),
        range: Some(ParamRange { from: 0.01, to: 10.0 }),
        doc,
        trade: None,
    }
}

#[derive(Debug, Clone, Copy)]
struct Limits {
    within_ms: Millis,
    least_k: f64,
    most_k: f64,
    settle_ms: Millis,
    pause_ms: Millis,
}

#[derive(Debug, Clone)]
struct RateOfRise {
    limits: Limits,
    probe: Option<String>,
    contacts: Option<Vec<String>>,
}

fn build(values: &Values) -> Result<Box<dyn GuardRecipe>, ParamError> {
    Ok(Box::new(RateOfRise {
        limits: Limits {
            within_ms: values.get_time_ms(WITHIN.name)?,
            least_k: values.get_number(LEAST.name)?,
            most_k: values.get_number(MOST.name)?,
            settle_ms: values.get_time_ms(SETTLE.name)?,
            pause_ms: values.get_time_ms(PAUSE.name)?,
        },
        probe: values.given_name(PROBE.name).map(str::to_owned),
        contacts: values.given_names(CONTACTS.name).map(<[String]>::to_vec),
    }))
}

impl GuardRecipe for RateOfRise {
    fn name(&self) -> &'static str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "at least {} heated, at most {} unheated within {}{}",
            difference_text(self.limits.least_k),
            difference_text(self.limits.most_k),
            print_millis(self.limits.within_ms),
            super::by_probe(self.probe.as_deref())
        )
    }

    fn bind(&self, wiring: &Wiring, _interval_ms: Millis) -> Result<Box<dyn Guard>, BindError> {
        Ok(Box::new(Bound {
            limits: self.limits,
            probe: probe(wiring, self.probe.as_deref())?,
            contacts: contacts(wiring, Role::Heat, self.contacts.as_deref())?,
            heated: None,
            open_since_ms: None,
            unheated: VecDeque::new(),
            until_ms: None,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    limits: Limits,
    probe: ProbeId,
    contacts: Vec<ContactId>,
    /// When the present count of a closed spell began, ms, and the reading then, °C.
    heated: Option<(Millis, f64)>,
    /// Since when every contact should be open, ms.
    open_since_ms: Option<Millis>,
    /// Readings without heat, ms and °C, oldest first: each lower than all before it is the lowest of some stretch
    /// that ends now, the others are dropped.
    unheated: VecDeque<(Millis, f64)>,
    /// Until when it holds, ms.
    until_ms: Option<Millis>,
}

impl Guard for Bound {
    fn check(&mut self, seen: &Readings, wanted: &Wanted, verdict: &mut Verdict) {
        let now_ms = seen.now_ms;
        self.until_ms = self.until_ms.filter(|until_ms| now_ms < *until_ms);
        let held = self.until_ms.is_some();
        let heats = !held
            && self
                .contacts
                .iter()
                .any(|contact| wanted.of(*contact).closes_after_ms().is_some());
        if wanted.restarted() {
            self.heated = None;
        }
        if heats || wanted.restarted() {
            self.open_since_ms = None;
            self.unheated.clear();
        }
        let reading_c = reading_c(seen, self.probe);
        let wrong = if heats {
            self.without_rise(now_ms, reading_c, wanted)
        } else {
            self.heated = None;
            self.rising(now_ms, reading_c)
        };
        if let Some(wrong) = wrong {
            // While it goes on it is one alert.
            if !held {
                verdict.raise(wrong);
            }
            self.until_ms = Some(now_ms + self.limits.pause_ms);
        }
        if let Some(until_ms) = self.until_ms {
            for contact in &self.contacts {
                verdict.hold_open_between(*contact, 0, until_ms - now_ms);
            }
        }
    }

    fn twin(&self) -> Box<dyn Guard> {
        Box::new(self.clone())
    }
}

impl Bound {
    fn without_rise(&mut self, now_ms: Millis, reading_c: Option<f64>, wanted: &Wanted) -> Option<String> {
        let unbroken = self.contacts.iter().any(|contact| {
            let course = wanted.of(*contact);
            course.is_closed() && course.opens_after_ms().is_none()
        });
        let Some(temp_c) = reading_c.filter(|_| unbroken) else {
            self.heated = None;
            return None;
        };
        let (began_ms, began_c) = *self.heated.get_or_insert((now_ms, temp_c));
        let limits = self.limits;
        if temp_c >= began_c + limits.least_k {
            self.heated = Some((now_ms, temp_c));
        } else if now_ms - began_ms >= limits.within_ms {
            self.heated = None;
            return Some(format!(
                "rate-of-rise: heating, and no rise by {} within {}",
                difference_text(limits.least_k),
                print_millis(limits.within_ms)
            ));
        }
        None
    }

    fn rising(&mut self, now_ms: Millis, reading_c: Option<f64>) -> Option<String> {
        let open_since_ms = *self.open_since_ms.get_or_insert(now_ms);
        let Some(temp_c) = reading_c else {
            self.unheated.clear();
            return None;
        };
        let limits = self.limits;
        if now_ms - open_since_ms < limits.settle_ms {
            return None;
        }
        while self
            .unheated
            .back()
            .is_some_and(|(_, earlier_c)| *earlier_c >= temp_c)
        {
            self.unheated.pop_back();
        }
        self.unheated.push_back((now_ms, temp_c));
        while self
            .unheated
            .front()
            .is_some_and(|(at_ms, _)| now_ms - at_ms > limits.within_ms)
        {
            self.unheated.pop_front();
        }
        let (_, lowest_c) = *self.unheated.front()?;
        (temp_c >= lowest_c + limits.most_k).then(|| {
            format!(
                "rate-of-rise: not heating, and a rise by {} within {}",
                difference_text(limits.most_k),
                print_millis(limits.within_ms)
            )
        })
    }
}
