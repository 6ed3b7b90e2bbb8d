//! Strategies as scripts: ordinary functions that say how long each contact shall be closed.
//!
//! `decide` names as its arguments what it wants to know, and returns `true` or `false` (closed or open at once), a duty
//! between 0 and 1, or an object map with one of these for each contact. It keeps what it must remember in `this`. What may
//! be asked for, declared and returned stands in `docs/script.md`.
//!
//! A script has no file, network, clock or chance, and limits on operations, memory and depth; its mathematics is that of `libm`.

mod arguments;
mod bound;
mod declared;
mod engine;
mod problem;
mod recall;

use std::fmt;
use std::sync::Arc;

use tepid_sim::strategy::{BindError, MinimumTimes, Strategy, StrategyRecipe, Wiring};
use tepid_sim::time::Millis;

use crate::control_loop::{INTERVAL, PROBE, SETPOINT};
use crate::duty_cycle::Pulses;
use crate::outputs::Chosen;
use crate::parameter::{Param, ParamError};
use crate::values::Values;
use arguments::Argument;
pub use declared::STANDARD;
pub use engine::{LIMITS, Limits};
pub use problem::{ScriptProblem, UnknownName};

/// The function that decides.
const DECIDE: &str = "decide";
/// The function that gives what the script remembers at its start.
const START: &str = "start";
/// The function that declares parameters.
const PARAMETERS: &str = "parameters";

/// A commented script that works: what `tepid new strategy --script` writes.
pub const TEMPLATE: &str = include_str!("template.rhai");

/// A script that was read and checked.
#[derive(Clone)]
pub struct Script {
    name: String,
    text: Arc<str>,
    params: &'static [Param],
}

impl Script {
    /// Checks a script; `name` is that of its file, for messages.
    ///
    /// Its parameters live as long as the program, as those of built-in strategies do.
    ///
    /// # Errors
    /// [`ScriptProblem`], with its line.
    pub fn read(name: &str, text: &str) -> Result<Self, ScriptProblem> {
        let (engine, _) = engine::engine();
        let ast = engine::compile(&engine, text)?;
        let params = declared::params(&engine, &ast, text)?;
        Argument::of(&ast, params, text)?;
        // Whatever it remembers first, it must come about without a mistake.
        let _ = engine::start(&engine, &ast, text)?;
        Ok(Self {
            name: name.to_owned(),
            text: Arc::from(text),
            params,
        })
    }

    /// Its parameters: those that it declares, then those that every script has.
    #[must_use]
    pub fn params(&self) -> &'static [Param] {
        self.params
    }

    /// Its text.
    #[must_use]
    pub fn text(&self) -> Arc<str> {
        Arc::clone(&self.text)
    }

    /// Makes a recipe; `strategy` is its name in results.
    ///
    /// # Errors
    /// [`ParamError`] where values do not fit together.
    pub fn build(&self, strategy: &str, values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
        Ok(Box::new(ScriptRecipe {
            strategy: strategy.to_owned(),
            script: self.clone(),
            setpoint_c: values.get_number(SETPOINT.name).ok(),
            probe: values.given_name(PROBE.name).map(str::to_owned),
            interval_ms: values.get_time_ms(INTERVAL.name)?,
            pulses: Pulses::from_values(values)?,
            chosen: Chosen::from_values(values)?,
            values: values.clone(),
        }))
    }
}

/// Short: the text of a whole script would drown every other figure.
impl fmt::Debug for Script {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Script({}, {} bytes)", self.name, self.text.len())
    }
}

#[derive(Debug)]
struct ScriptRecipe {
    strategy: String,
    script: Script,
    setpoint_c: Option<f64>,
    probe: Option<String>,
    interval_ms: Millis,
    pulses: Pulses,
    chosen: Chosen,
    values: Values,
}

impl StrategyRecipe for ScriptRecipe {
    fn name(&self) -> &str {
        &self.strategy
    }

    fn settings(&self) -> String {
        let own = self.script.params.iter().filter(|param| {
            declared::STANDARD
                .iter()
                .all(|standard| standard.name != param.name || self.values.is_given(param.name))
        });
        let shown: Vec<String> = own
            .filter_map(|param| Some(format!("{} {}", param.name, self.values.text(param.name)?)))
            .collect();
        if shown.is_empty() {
            return format!("script {}", self.script.name);
        }
        format!("script {}, {}", self.script.name, shown.join(", "))
    }

    fn interval_ms(&self) -> Millis {
        self.interval_ms
    }

    /// What it promises is what it declares under the names that the built-in strategies have for it.
    fn minimum_times(&self) -> MinimumTimes {
        let declared_ms = |name| self.values.get_time_ms(name).unwrap_or(0);
        MinimumTimes {
            closed_ms: declared_ms("minimum_on"),
            open_ms: declared_ms("minimum_off"),
        }
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(bound::Bound::new(self, wiring)?))
    }
}
