//! One switch by one probe: what on-off, set-back, fan cooling and the chiller are once it is known where they switch.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::strategy::{BindError, Commands, Readings, Rest, Strategy, StrategyFailure, Wiring};
use tepid_sim::time::Millis;

use crate::control_loop::{ControlLoop, WithoutReading, reading_c};
use crate::decision_clock::{DecisionClock, Tick};
use crate::switch::{Switch, SwitchPoints, rest};

/// Switches all its contacts alike.
#[derive(Clone)]
pub(crate) struct Thermostat {
    probe: ProbeId,
    contacts: Vec<ContactId>,
    without: WithoutReading,
    clock: DecisionClock,
    switch: Switch,
    /// It begins with a rest, at the start and after a gap.
    rests_first: bool,
}

impl Thermostat {
    pub(crate) fn new(
        control: &ControlLoop,
        wiring: &Wiring,
        contacts: Vec<ContactId>,
        switch: Switch,
    ) -> Result<Self, BindError> {
        Ok(Self {
            probe: control.probe(wiring)?,
            contacts,
            without: control.without_reading,
            clock: DecisionClock::new(control.interval_ms),
            switch,
            rests_first: false,
        })
    }

    /// The same, with the minimum time open before anything else, at the start and after a gap.
    pub(crate) fn resting_first(self) -> Self {
        Self {
            rests_first: true,
            ..self
        }
    }

    /// Switches elsewhere from now on.
    pub(crate) fn move_to(&mut self, points: SwitchPoints) {
        self.switch.move_to(points);
    }

    /// When it decided last, ms.
    pub(crate) fn last_ms(&self) -> Option<Millis> {
        self.clock.last_ms()
    }
}

impl Strategy for Thermostat {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let tick = self.clock.tick(seen.now_ms);
        if self.rests_first && matches!(tick, Tick::First | Tick::Jumped) {
            self.switch.open_anew(seen.now_ms);
        }
        let state = self
            .switch
            .decide(seen.now_ms, tick, reading_c(seen, self.probe), self.without);
        for contact in &self.contacts {
            commands.set(*contact, state);
        }
        Ok(())
    }

    fn rests(&self) -> Option<Rest> {
        Some(rest(self.probe, [&self.switch]))
    }

    fn rested(&mut self, last_ms: Millis) {
        self.clock.rested(last_ms);
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
