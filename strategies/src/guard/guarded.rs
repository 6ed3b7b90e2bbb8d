//! A strategy with guards around it, which is a strategy again.

use std::borrow::Cow;

use tepid_sim::ids::ContactId;
use tepid_sim::scenario::Restart;
use tepid_sim::strategy::{
    BindError, Commands, ContactState, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::Millis;

use super::verdict::Hold;
use super::{Guard, GuardRecipe, Verdict, Wanted};

/// A recipe with guards around it, the first one innermost.
#[derive(Debug)]
pub struct Guarded {
    inner: Box<dyn StrategyRecipe>,
    guards: Vec<Box<dyn GuardRecipe>>,
}

impl Guarded {
    /// `inner` with `guards` around it, the first one innermost.
    #[must_use]
    pub fn new(inner: Box<dyn StrategyRecipe>, guards: Vec<Box<dyn GuardRecipe>>) -> Self {
        Self { inner, guards }
    }
}

impl StrategyRecipe for Guarded {
    fn name(&self) -> &str {
        self.inner.name()
    }

    fn settings(&self) -> String {
        let mut text = self.inner.settings();
        for guard in &self.guards {
            text += &format!("; with {} ({})", guard.name(), guard.settings());
        }
        text
    }

    fn interval_ms(&self) -> Millis {
        self.inner.interval_ms()
    }

    fn controls_room(&self) -> bool {
        self.inner.controls_room()
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let interval_ms = self.interval_ms();
        let mut bound = self.inner.bind(wiring)?;
        for guard in &self.guards {
            bound = Box::new(Bound {
                inner: bound,
                guard: guard.bind(wiring, interval_ms)?,
                commands: Commands::default(),
                wanted: Wanted::new(wiring.contacts.len(), interval_ms),
                verdict: Verdict::new(wiring),
                held: vec![false; wiring.contacts.len()],
            });
        }
        Ok(bound)
    }
}

/// One guard around a strategy.
struct Bound {
    inner: Box<dyn Strategy>,
    guard: Box<dyn Guard>,
    /// What the inside commands.
    commands: Commands,
    wanted: Wanted,
    verdict: Verdict,
    /// Which contacts were held since the last decision.
    held: Vec<bool>,
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        self.verdict.clear();
        let inside = match self.guard.correct(seen, &mut self.verdict) {
            None => Cow::Borrowed(seen),
            Some(correction) => {
                let mut corrected = seen.clone();
                if let Some(reading) = corrected.probes_c.get_mut(correction.probe.0) {
                    *reading = correction.reading_c;
                }
                Cow::Owned(corrected)
            }
        };
        self.commands.clear();
        self.inner.decide(&inside, &mut self.commands)?;
        self.wanted.take(seen.now_ms, self.commands.list());
        self.guard.check(seen, &self.wanted, &mut self.verdict);
        self.pass_on(commands);
        Ok(())
    }

    fn restarted(&mut self, restart: Restart) {
        self.inner.restarted(restart);
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(Self {
            inner: self.inner.twin()?,
            guard: self.guard.twin(),
            commands: self.commands.clone(),
            wanted: self.wanted.clone(),
            verdict: self.verdict.clone(),
            held: self.held.clone(),
        }))
    }
}

impl Bound {
    /// What the inside commands, but for what is held; what is held no more gets back what is wanted of it.
    fn pass_on(&mut self, commands: &mut Commands) {
        for (index, held) in self.held.iter_mut().enumerate() {
            let contact = ContactId(index);
            let course = self.wanted.of(contact);
            let hold = self.verdict.hold_of(contact);
            match hold {
                Some(Hold::Closed) => commands.set(contact, ContactState::Closed),
                Some(Hold::Open { from_ms, until_ms }) => {
                    let is_held = |delay_ms: Millis| (from_ms..until_ms).contains(&delay_ms);
                    let now = if is_held(0) {
                        ContactState::Open
                    } else {
                        course.at(0)
                    };
                    commands.set(contact, now);
                    if from_ms > 0 {
                        commands.set_after(contact, from_ms, ContactState::Open);
                    }
                    for (delay_ms, state) in course.later() {
                        if !is_held(*delay_ms) {
                            commands.set_after(contact, *delay_ms, *state);
                        }
                    }
                    if until_ms < Millis::MAX {
                        commands.set_after(contact, until_ms, course.at(until_ms));
                    }
                }
                None if *held => commands.set(contact, course.at(0)),
                None => {}
            }
            *held = hold.is_some();
        }
        for command in self.commands.list() {
            if self.verdict.hold_of(command.contact).is_none() {
                commands.set_after(command.contact, command.delay_ms, command.state);
            }
        }
        for alert in self.commands.alerts().iter().chain(self.verdict.alerts()) {
            commands.raise(alert);
        }
    }
}
