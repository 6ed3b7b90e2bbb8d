//! A duty between 0 and 1 as closed and open time of a cycle.
//!
//! A cycle's duty is fixed when the cycle begins. Decisions come more often than cycles and drop what is still
//! pending, so each decision gives the rest of the cycle again; and cycles may begin between two decisions, so
//! each decision gives everything up to the next one. So the duty is exact to 1 ms at any interval.

use tepid_sim::ids::ContactId;
use tepid_sim::strategy::{Commands, ContactState};
use tepid_sim::time::Millis;

use crate::control_loop::WithoutReading;
use crate::decision_clock::Tick;

#[derive(Debug, Clone, Copy, PartialEq)]
struct Cycle {
    starts_ms: Millis,
    on_ms: Millis,
}

/// The memory of one time-proportioned output.
#[derive(Debug, Clone)]
pub(crate) struct DutyCycle {
    length_ms: Millis,
    interval_ms: Millis,
    cycle: Option<Cycle>,
    /// The duty of the last cycle; `None`: none began yet.
    last_duty_frac: Option<f64>,
    /// The state that is held while there is no reading.
    held: Option<ContactState>,
}

impl DutyCycle {
    /// A cycle of `length_ms`, for decisions every `interval_ms`.
    pub(crate) fn new(length_ms: Millis, interval_ms: Millis) -> Self {
        Self {
            length_ms,
            interval_ms,
            cycle: None,
            last_duty_frac: None,
            held: None,
        }
    }

    /// Commands up to the next decision; `duty_frac` (0..=1) serves the cycles that begin before it.
    pub(crate) fn drive(
        &mut self,
        now_ms: Millis,
        tick: Tick,
        duty_frac: f64,
        contacts: &[ContactId],
        commands: &mut Commands,
    ) {
        let was_held = self.held.take().is_some();
        let mut give = |delay_ms, state| {
            for contact in contacts {
                commands.set_after(*contact, delay_ms, state);
            }
        };
        let mut cycle = match self.cycle {
            Some(cycle) if tick != Tick::Jumped && !was_held && now_ms < cycle.starts_ms + self.length_ms => {
                cycle
            }
            _ => self.begin(now_ms, duty_frac),
        };
        let opens_ms = cycle.starts_ms + cycle.on_ms;
        give(0, ContactState::closed_if(now_ms < opens_ms));
        if now_ms < opens_ms && cycle.on_ms < self.length_ms {
            give(opens_ms - now_ms, ContactState::Open);
        }
        while cycle.starts_ms + self.length_ms < now_ms + self.interval_ms {
            cycle = self.begin(cycle.starts_ms + self.length_ms, duty_frac);
            let delay_ms = cycle.starts_ms - now_ms;
            give(delay_ms, ContactState::closed_if(cycle.on_ms > 0));
            if cycle.on_ms > 0 && cycle.on_ms < self.length_ms {
                give(delay_ms + cycle.on_ms, ContactState::Open);
            }
        }
        self.cycle = Some(cycle);
    }

    /// Commands while there is no reading.
    pub(crate) fn drive_blind(
        &mut self,
        now_ms: Millis,
        tick: Tick,
        without: WithoutReading,
        contacts: &[ContactId],
        commands: &mut Commands,
    ) {
        let state = match (without, self.last_duty_frac) {
            (WithoutReading::LastDuty, Some(duty_frac)) => {
                return self.drive(now_ms, tick, duty_frac, contacts, commands);
            }
            // The power was out: what is held is a contact that fell open.
            (WithoutReading::Hold, _) if tick != Tick::Jumped => {
                self.held.unwrap_or_else(|| self.state_at(now_ms))
            }
            _ => ContactState::Open,
        };
        self.held = Some(state);
        for contact in contacts {
            commands.set(*contact, state);
        }
    }

    fn begin(&mut self, starts_ms: Millis, duty_frac: f64) -> Cycle {
        self.last_duty_frac = Some(duty_frac);
        Cycle {
            starts_ms,
            on_ms: libm::round(duty_frac.clamp(0.0, 1.0) * self.length_ms as f64) as Millis,
        }
    }

    /// The state just before `now_ms`; open where it opens at that instant.
    fn state_at(&self, now_ms: Millis) -> ContactState {
        ContactState::closed_if(
            self.cycle
                .is_some_and(|cycle| cycle.on_ms == self.length_ms || now_ms < cycle.starts_ms + cycle.on_ms),
        )
    }
}
