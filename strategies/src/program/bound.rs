//! A program bound to a scenario.

use std::time::Duration;

use serde::Serialize;
use tepid_sim::scenario::Restart;
use tepid_sim::strategy::{BindError, Commands, Readings, Strategy, StrategyFailure, Wiring};
use tepid_sim::time::Millis;

use super::child::RunningProgram;
use super::device::Device;
use super::message::{self, Decide, Hello};
use super::{Program, ProgramRecipe};
use crate::decision_clock::{DecisionClock, Tick};
use crate::outputs::Outputs;

pub(super) struct Bound {
    program: Program,
    answer_within: Duration,
    interval_ms: Millis,
    setpoint_c: f64,
    wiring: Wiring,
    device: Device,
    clock: DecisionClock,
    outputs: Outputs,
    restart: Option<Restart>,
    /// Started at the first decision: whoever only wants to know whether it applies starts nothing.
    running: Option<RunningProgram>,
}

impl Bound {
    pub(super) fn new(recipe: &ProgramRecipe, wiring: &Wiring) -> Result<Self, BindError> {
        Ok(Self {
            program: recipe.program.clone(),
            answer_within: Duration::from_millis(recipe.answer_within_ms.unsigned_abs()),
            interval_ms: recipe.interval_ms,
            setpoint_c: recipe.setpoint_c.unwrap_or(wiring.target_c),
            wiring: wiring.clone(),
            device: recipe.device.clone(),
            clock: DecisionClock::new(recipe.interval_ms),
            outputs: Outputs::bind(&recipe.chosen, wiring, recipe.pulses, recipe.interval_ms)?,
            restart: None,
            running: None,
        })
    }

    fn running(&mut self) -> Result<&mut RunningProgram, String> {
        match &mut self.running {
            Some(running) => Ok(running),
            none => {
                let mut running = RunningProgram::start(&self.program, self.answer_within)?;
                let hello = Hello::new(
                    &self.wiring,
                    &self.outputs,
                    self.interval_ms,
                    self.setpoint_c,
                    self.device.form().told(),
                );
                message::introduced(&running.greet(&line(&hello)?)?)?;
                Ok(none.insert(running))
            }
        }
    }

    fn ask(&mut self, seen: &Readings, tick: Tick, commands: &mut Commands) -> Result<(), String> {
        let restart = self.restart.take();
        let sent = self.device.see(seen);
        let question = line(&Decide::new(seen, sent, &self.wiring, restart))?;
        let answered = self.running()?.ask(&question)?;
        let answer = message::answer(&answered)?;
        for (name, value) in &answer.contacts {
            let which = self.outputs.named(name)?;
            let drive = message::drive(value).map_err(|wrong| format!("it answered for `{name}` {wrong}"))?;
            self.outputs.give(which, drive, seen.now_ms, tick, commands);
        }
        for alert in &answer.alerts {
            commands.raise(alert);
        }
        Ok(())
    }
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let tick = self.clock.tick(seen.now_ms);
        if tick == Tick::Jumped && self.restart.is_none() {
            // The power was out: the program goes on with what it remembers.
            self.restart = Some(Restart::Kept);
        }
        self.ask(seen, tick, commands).map_err(|why| StrategyFailure {
            reason: format!("program `{}`: {why}", self.program.command.join(" ")),
        })
    }

    fn restarted(&mut self, restart: Restart) {
        self.restart = Some(restart);
    }
}

fn line(message: &impl Serialize) -> Result<String, String> {
    serde_json::to_string(message).map_err(|error| format!("what it would be told is no JSON: {error}"))
}
