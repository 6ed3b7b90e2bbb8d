//! A script bound to a scenario.

use std::sync::Arc;

use rhai::{AST, CallFnOptions, Dynamic, Engine, EvalAltResult, FLOAT, Map, Scope};
use tepid_sim::ids::ProbeId;
use tepid_sim::quantity::Kind;
use tepid_sim::scenario::{Restart, Role};
use tepid_sim::strategy::{BindError, Commands, ContactState, Readings, Strategy, StrategyFailure, Wiring};

use super::arguments::{self, Argument};
use super::engine::{self, Alerts};
use super::problem::ScriptProblem;
use super::recall::{self, Recall};
use super::{DECIDE, ScriptRecipe};
use crate::decision_clock::{DecisionClock, Tick};
use crate::outputs::{Drive, Outputs};
use crate::parameter::{Param, ParamKind};
use crate::values::Values;

pub(super) struct Bound {
    file: String,
    text: Arc<str>,
    engine: Engine,
    alerts: Alerts,
    ast: AST,
    arguments: Vec<Argument>,
    /// What does not change, in the place of its argument.
    fixed: Vec<Dynamic>,
    memory: Dynamic,
    /// `None`: no decision is ever like one before.
    recall: Option<Recall>,
    scope: Scope<'static>,
    wiring: Wiring,
    probe: ProbeId,
    clock: DecisionClock,
    outputs: Outputs,
    restart: Option<Restart>,
}

impl Bound {
    pub(super) fn new(recipe: &ScriptRecipe, wiring: &Wiring) -> Result<Self, BindError> {
        let probe = match &recipe.probe {
            Some(name) => wiring.probe(name)?,
            None => wiring.control_probe()?,
        };
        let outputs = Outputs::bind(&recipe.chosen, wiring, recipe.pulses, recipe.interval_ms)?;
        let script = &recipe.script;
        let (engine, alerts) = engine::engine();
        // It was checked when it was read: the same text gives the same again.
        let checked = |problem: ScriptProblem| BindError::DoesNotApply {
            missing: format!("{}: {problem}", script.name),
        };
        let ast = engine::compile(&engine, &script.text).map_err(checked)?;
        let arguments = Argument::of(&ast, script.params, &script.text).map_err(checked)?;
        let memory = engine::start(&engine, &ast, &script.text).map_err(checked)?;
        let fixed = arguments
            .iter()
            .map(|argument| match argument {
                Argument::Setpoint => recipe.setpoint_c.unwrap_or(wiring.target_c).into(),
                Argument::Target => wiring.target_c.into(),
                Argument::Contacts => {
                    let names = outputs.list.iter().map(|output| output.name.clone().into());
                    names.collect::<Vec<Dynamic>>().into()
                }
                Argument::Param(param) => value(param, &recipe.values),
                _ => Dynamic::UNIT,
            })
            .collect();
        let asks_the_time = arguments
            .iter()
            .any(|argument| matches!(argument, Argument::Now | Argument::Hour));
        Ok(Self {
            file: script.name.clone(),
            text: Arc::clone(&script.text),
            engine,
            alerts,
            ast,
            arguments,
            fixed,
            memory,
            recall: (!asks_the_time).then(Recall::default),
            scope: Scope::new(),
            wiring: wiring.clone(),
            probe,
            clock: DecisionClock::new(recipe.interval_ms),
            outputs,
            restart: None,
        })
    }

    fn argument(&self, place: usize, argument: Argument, seen: &Readings, tick: Tick) -> Dynamic {
        match argument {
            Argument::Temperature => arguments::reading(seen.probe_c(self.probe)),
            Argument::Probes => arguments::probes(seen, &self.wiring),
            Argument::Drawn => arguments::drawn(seen, &self.wiring),
            Argument::Now => arguments::seconds(seen.now_ms),
            Argument::Hour => arguments::hour(seen.now_ms),
            Argument::Elapsed => match tick {
                Tick::After(elapsed_ms) => arguments::seconds(elapsed_ms),
                Tick::First | Tick::Jumped => Dynamic::UNIT,
            },
            Argument::Announced => arguments::announced(seen),
            Argument::Restart => arguments::restart(self.restart),
            Argument::Setpoint | Argument::Target | Argument::Contacts | Argument::Param(_) => {
                self.fixed[place].clone()
            }
        }
    }

    /// Lets the script decide.
    fn call(&mut self, arguments: Vec<Dynamic>) -> Result<Dynamic, Box<EvalAltResult>> {
        let before = self
            .recall
            .as_ref()
            .map(|_| (self.memory.clone(), arguments.clone()));
        let options = CallFnOptions::new()
            .eval_ast(false)
            .bind_this_ptr(&mut self.memory);
        let returned: Dynamic =
            self.engine
                .call_fn_with_options(options, &mut self.scope, &self.ast, DECIDE, arguments)?;
        if let (Some(recall), Some((memory, arguments))) = (&mut self.recall, before) {
            if !recall::same(&memory, &self.memory) {
                recall.forget();
                if recall.is_in_vain() {
                    self.recall = None;
                }
            } else if self.alerts.borrow().is_empty() {
                recall.keep(arguments, returned.clone());
            }
        }
        Ok(returned)
    }

    /// What the script wants, contact by contact.
    fn give(
        &mut self,
        returned: Dynamic,
        seen: &Readings,
        tick: Tick,
        commands: &mut Commands,
    ) -> Result<(), String> {
        let now_ms = seen.now_ms;
        if !returned.is_map() {
            let drive = drive(&returned).map_err(|wrong| format!("`{DECIDE}` returns {wrong}"))?;
            for which in 0..self.outputs.list.len() {
                self.outputs.give(which, drive, now_ms, tick, commands);
            }
            return Ok(());
        }
        for (key, value) in returned.cast::<Map>() {
            let drive = drive(&value).map_err(|wrong| format!("`{DECIDE}` returns for `{key}` {wrong}"))?;
            let role = match key.as_str() {
                "heat" => Some(Role::Heat),
                "cool" => Some(Role::Cool),
                _ => None,
            };
            match (self.outputs.named(&key), role) {
                (Ok(which), _) => self.outputs.give(which, drive, now_ms, tick, commands),
                (Err(_), Some(role)) => {
                    for which in 0..self.outputs.list.len() {
                        if self.outputs.list[which].role == role {
                            self.outputs.give(which, drive, now_ms, tick, commands);
                        }
                    }
                }
                (Err(unknown), None) => return Err(unknown),
            }
        }
        Ok(())
    }
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let tick = self.clock.tick(seen.now_ms);
        if tick == Tick::Jumped && self.restart.is_none() {
            // The power was out: the script went on with what it remembered.
            self.restart = Some(Restart::Kept);
        }
        let arguments: Vec<Dynamic> = self
            .arguments
            .iter()
            .enumerate()
            .map(|(place, argument)| self.argument(place, *argument, seen, tick))
            .collect();
        self.restart = None;
        let failed = |problem: ScriptProblem, file: &str| StrategyFailure {
            reason: format!("{file}, {problem}"),
        };
        let recalled = self.recall.as_ref().and_then(|recall| recall.find(&arguments));
        let returned = match recalled {
            Some(returned) => returned,
            None => self
                .call(arguments)
                .map_err(|error| failed(ScriptProblem::of_call(*error, &self.text, DECIDE), &self.file))?,
        };
        self.give(returned, seen, tick, commands)
            .map_err(|wrong| failed(ScriptProblem::at(&self.text, "fn decide", wrong), &self.file))?;
        for alert in self.alerts.borrow_mut().drain(..) {
            commands.raise(&alert);
        }
        Ok(())
    }

    fn restarted(&mut self, restart: Restart) {
        self.restart = Some(restart);
    }
}

/// What one returned value says; an error says what it is.
fn drive(value: &Dynamic) -> Result<Drive, String> {
    if let Ok(closed) = value.as_bool() {
        return Ok(Drive::State(ContactState::closed_if(closed)));
    }
    if let Ok(number) = value.as_float() {
        return Drive::duty(number);
    }
    if let Ok(number) = value.as_int() {
        return Drive::duty(number as FLOAT);
    }
    let found = match value.type_name() {
        "()" => "nothing".to_owned(),
        "string" => format!("the text \"{value}\""),
        other => format!("a value of type {other}"),
    };
    Err(format!(
        "{found}; expected true or false (closed or open at once), or a duty between 0 and 1"
    ))
}

/// A parameter's value: numbers in the unit its kind has inside, times in seconds, a time of day as its
/// hour, to be held against `hour`.
fn value(param: &Param, values: &Values) -> Dynamic {
    match param.kind {
        ParamKind::Quantity(Kind::Time) => values
            .get_time_ms(param.name)
            .map_or(Dynamic::UNIT, arguments::seconds),
        ParamKind::TimeOfDay => values
            .get_time_ms(param.name)
            .map_or(Dynamic::UNIT, arguments::hour),
        ParamKind::Quantity(_) => values
            .get_number(param.name)
            .map_or(Dynamic::UNIT, Dynamic::from_float),
        ParamKind::Choice(_) => values
            .get_word(param.name)
            .map_or(Dynamic::UNIT, |word| word.to_owned().into()),
        ParamKind::ProbeName | ParamKind::ProbeNames | ParamKind::ContactNames | ParamKind::EventNames => {
            Dynamic::UNIT
        }
    }
}
