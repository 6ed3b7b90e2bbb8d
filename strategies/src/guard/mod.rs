//! Guards: each wraps any strategy and opens what it closed where something speaks against it.
//!
//! A guard sees what the strategy inside it wants of each contact ([`Wanted`]) and gives a [`Verdict`]. It can hold
//! contacts open, hold contacts that cool closed, replace one probe's reading before the inside sees it, and raise
//! alerts; it cannot close a contact that heats. Several guards stand one around the other, the first one innermost.
//! Guards run in the controller: where that hangs, they hang with it.

pub mod fan_on_limit;
mod guarded;
pub mod hold_off;
pub mod longest_on;
pub mod probe_voting;
pub mod rate_of_rise;
pub mod software_limit;
pub mod staggered_return;
mod verdict;
mod wanted;

use std::fmt;

use tepid_sim::ids::ProbeId;
use tepid_sim::strategy::{BindError, Readings, Wiring};
use tepid_sim::time::Millis;

use crate::parameter::{Param, ParamError};
use crate::values::Values;
use crate::wording::temperature_text;

pub use guarded::Guarded;
pub use verdict::Verdict;
pub use wanted::{Course, Wanted};

/// A guard bound to a scenario.
pub trait Guard {
    /// Called at each decision, before the inside decides: what the inside sees instead of a probe's reading;
    /// `None`: it sees what is read.
    fn correct(&mut self, _seen: &Readings, _verdict: &mut Verdict) -> Option<Correction> {
        None
    }

    /// Called at each decision, after the inside decided: which contacts to hold, from now to the next decision.
    fn check(&mut self, _seen: &Readings, _wanted: &Wanted, _verdict: &mut Verdict) {}

    /// Another one in the very same state, from where both go on by themselves.
    fn twin(&self) -> Box<dyn Guard>;
}

/// What the inside sees of a probe instead of what is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correction {
    /// The probe.
    pub probe: ProbeId,
    /// Its reading, °C; `None`: none.
    pub reading_c: Option<f64>,
}

/// Makes guards; shared between workers.
pub trait GuardRecipe: Send + Sync + fmt::Debug {
    /// Name as in files: `software-limit`.
    fn name(&self) -> &'static str;

    /// The parameters in use, for people: "opens above 27 °C, closes again below 26 °C".
    fn settings(&self) -> String;

    /// A fresh guard; `interval_ms` is that of the strategy inside.
    ///
    /// # Errors
    /// As for [`tepid_sim::strategy::StrategyRecipe::bind`].
    fn bind(&self, wiring: &Wiring, interval_ms: Millis) -> Result<Box<dyn Guard>, BindError>;
}

/// What a guard changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ActsOn {
    /// What the inside sees.
    Readings,
    /// What the inside commands.
    Commands,
}

/// Guards that must not stand outside of another.
#[derive(Debug, Clone, Copy)]
pub struct BelongsAfter {
    /// Their names.
    pub guards: &'static [&'static str],
    /// Why, in words.
    pub why: &'static str,
}

/// A built-in guard: what a file needs to know to make one.
#[derive(Debug, Clone, Copy)]
pub struct GuardEntry {
    /// Name as in files: `software-limit`.
    pub name: &'static str,
    /// One plain line: what it does.
    pub summary: &'static str,
    /// What it changes.
    pub acts_on: ActsOn,
    /// What it must stand after to do its work; `None`: it may stand anywhere.
    pub belongs_after: Option<BelongsAfter>,
    /// Its parameters, in the order to show them.
    pub params: &'static [Param],
    /// Its page: the source file that opens with it, see [`crate::page`].
    pub page: &'static str,
    /// Makes a recipe from values that were each checked by [`Values::set`].
    ///
    /// # Errors
    /// [`ParamError`] where values do not fit together; it names the parameter to change.
    pub build: fn(&Values) -> Result<Box<dyn GuardRecipe>, ParamError>,
}

impl GuardEntry {
    /// Values with nothing given yet: all defaults.
    #[must_use]
    pub fn defaults(&self) -> Values {
        Values::new(self.params)
    }
}

/// All built-in guards.
#[must_use]
pub fn guards() -> &'static [GuardEntry] {
    const ENTRIES: &[GuardEntry] = &[
        software_limit::ENTRY,
        longest_on::ENTRY,
        rate_of_rise::ENTRY,
        probe_voting::ENTRY,
        fan_on_limit::ENTRY,
        hold_off::ENTRY,
        staggered_return::ENTRY,
    ];
    ENTRIES
}

/// The guard of that name.
#[must_use]
pub fn find_guard(name: &str) -> Option<&'static GuardEntry> {
    guards().iter().find(|entry| entry.name == name)
}

/// Checks that a lower edge comes with its upper one, and lies below it.
fn check_edges(
    lower: &'static str,
    lower_c: Option<f64>,
    upper: &'static str,
    upper_c: Option<f64>,
) -> Result<(), ParamError> {
    let wrong = match (lower_c, upper_c) {
        (None, _) => return Ok(()),
        (Some(lower_c), Some(upper_c)) if lower_c < upper_c => return Ok(()),
        (Some(lower_c), Some(upper_c)) => format!(
            "is {}, which is not below `{upper}`, {}",
            temperature_text(lower_c),
            temperature_text(upper_c)
        ),
        (Some(_), None) => format!("means nothing without `{upper}`"),
    };
    Err(ParamError::DoesNotFit { param: lower, wrong })
}

/// Which probe it goes by, for settings: ", by `main`"; nothing where it is the usual one.
fn by_probe(probe: Option<&str>) -> String {
    probe.map_or_else(String::new, |name| format!(", by `{name}`"))
}
