//! What the key `strategy` names: a built-in strategy, and with the feature `outside` a script or a program.

#[cfg(feature = "outside")]
mod outside;

use std::sync::Arc;

use tepid_sim::strategy::StrategyRecipe;
use tepid_strategies::Entry;
use tepid_strategies::parameter::{Param, ParamError};
#[cfg(feature = "outside")]
use tepid_strategies::program::{self, Program};
#[cfg(feature = "outside")]
use tepid_strategies::script::Script;
use tepid_strategies::values::Values;

use crate::fields::{Field, strategy};
use crate::node::Table;
use crate::problem::{Problems, Reported};
#[cfg(feature = "outside")]
pub(crate) use outside::script_of;

/// The word for a script in a strategy file.
pub(crate) const SCRIPT: &str = "script";
/// The word for an outside program in a strategy file.
pub(crate) const PROGRAM: &str = "program";

/// Words of a strategy file that name something from outside.
pub(crate) const FROM_OUTSIDE: &[&str] = if cfg!(feature = "outside") {
    &[SCRIPT, PROGRAM]
} else {
    &[]
};

/// Who decides.
pub(crate) enum Law {
    BuiltIn(&'static Entry),
    #[cfg(feature = "outside")]
    Script(Script),
    #[cfg(feature = "outside")]
    Program(Program),
}

impl Law {
    /// The one of that name; `None`: there is none. `table` holds what it needs beside parameters.
    #[cfg_attr(
        not(feature = "outside"),
        expect(unused_variables, reason = "a built-in law needs neither")
    )]
    pub(crate) fn read(name: &str, table: &Table, problems: &Problems) -> Option<Result<Self, Reported>> {
        match name {
            #[cfg(feature = "outside")]
            SCRIPT => Some(outside::script(table, problems).map(Self::Script)),
            #[cfg(feature = "outside")]
            PROGRAM => Some(outside::program(table, problems).map(Self::Program)),
            _ => tepid_strategies::find(name).map(|entry| Ok(Self::BuiltIn(entry))),
        }
    }

    pub(crate) fn name(&self) -> &'static str {
        match self {
            Self::BuiltIn(entry) => entry.name,
            #[cfg(feature = "outside")]
            Self::Script(_) => SCRIPT,
            #[cfg(feature = "outside")]
            Self::Program(_) => PROGRAM,
        }
    }

    /// The text of its script, if it is one.
    pub(crate) fn script_text(&self) -> Option<Arc<str>> {
        match self {
            #[cfg(feature = "outside")]
            Self::Script(script) => Some(script.text()),
            _ => None,
        }
    }

    pub(crate) fn params(&self) -> &'static [Param] {
        match self {
            Self::BuiltIn(entry) => entry.params,
            #[cfg(feature = "outside")]
            Self::Script(script) => script.params(),
            #[cfg(feature = "outside")]
            Self::Program(_) => program::PARAMS,
        }
    }

    pub(crate) fn fields(&self) -> Vec<Field> {
        match self {
            Self::BuiltIn(entry) => strategy::fields(entry),
            #[cfg(feature = "outside")]
            Self::Script(script) => strategy::script_fields(script.params()),
            #[cfg(feature = "outside")]
            Self::Program(_) => strategy::program_fields(),
        }
    }

    /// Makes the recipe; `own_name` is what an outside one is called in results.
    #[cfg_attr(
        not(feature = "outside"),
        expect(unused_variables, reason = "a built-in law has its own name")
    )]
    pub(crate) fn build(
        &self,
        own_name: &str,
        values: &Values,
    ) -> Result<Box<dyn StrategyRecipe>, ParamError> {
        match self {
            Self::BuiltIn(entry) => (entry.build)(values),
            #[cfg(feature = "outside")]
            Self::Script(script) => script.build(own_name, values),
            #[cfg(feature = "outside")]
            Self::Program(program) => program.build(own_name, values),
        }
    }
}

/// Whether a path is that of a script.
pub(crate) fn is_script(path: &str) -> bool {
    path.ends_with(".rhai")
}
