//! Which strategies there are.

use tepid_sim::strategy::StrategyRecipe;

use crate::parameter::{Param, ParamError};
use crate::values::Values;
use crate::{
    chiller, fan_cooling, fan_stages, feed_forward, heat_and_fan, heater_dial, lead_lag, on_off, pi, pid,
    predictive, proportional, room_first, set_back, staggered_pair, timer, warm_back,
};

/// A built-in strategy: what a file or an option needs to know to make one.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    /// Name as in files and options: `on-off`.
    pub name: &'static str,
    /// One plain line: what it does.
    pub summary: &'static str,
    /// Its parameters, in the order to show them.
    pub params: &'static [Param],
    /// Its page: the source file that opens with it, see [`crate::page`]; empty without the feature `pages`.
    pub page: &'static str,
    /// Makes a recipe from values that were each checked by [`Values::set`].
    ///
    /// # Errors
    /// [`ParamError`] where values do not fit together; it names the parameter to change.
    pub build: fn(&Values) -> Result<Box<dyn StrategyRecipe>, ParamError>,
}

impl Entry {
    /// The parameter of that name.
    #[must_use]
    pub fn param(&self, name: &str) -> Option<&'static Param> {
        self.params.iter().find(|param| param.name == name)
    }

    /// Values with nothing given yet: all defaults.
    #[must_use]
    pub fn defaults(&self) -> Values {
        Values::new(self.params)
    }
}

/// All built-in strategies, simplest first.
#[must_use]
pub fn registry() -> &'static [Entry] {
    const ENTRIES: &[Entry] = &[
        heater_dial::ENTRY,
        timer::ENTRY,
        on_off::ENTRY,
        proportional::ENTRY,
        pi::ENTRY,
        pid::ENTRY,
        feed_forward::ENTRY,
        predictive::ENTRY,
        staggered_pair::ENTRY,
        lead_lag::ENTRY,
        set_back::ENTRY,
        warm_back::ENTRY,
        fan_cooling::ENTRY,
        fan_stages::ENTRY,
        chiller::ENTRY,
        heat_and_fan::ENTRY,
        room_first::ENTRY,
    ];
    ENTRIES
}

/// The strategy of that name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Entry> {
    registry().iter().find(|entry| entry.name == name)
}
