//! A duty between 0 and 1 as closed and open time of a cycle.
//!
//! A cycle's duty is fixed when the cycle begins. Decisions come more often than cycles and drop what is still
//! pending, so each decision gives the rest of the cycle again; and cycles may begin between two decisions, so
//! each decision gives everything up to the next one. So the duty is exact to 1 ms at any interval.
//!
//! A pulse, closed or open, that would be shorter than the shortest allowed is left out, and what is left out is owed to
//! the next cycle. So the mean duty holds: to within the shortest pulse, however many cycles there are.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::strategy::{Commands, ContactState, Rest};
use tepid_sim::time::{HOUR, MINUTE, Millis, SECOND};

use crate::control_loop::WithoutReading;
use crate::decision_clock::Tick;
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;

/// The cycle of every time-proportioned output.
pub(crate) const CYCLE: Param = Param {
    name: "cycle",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(5 * MINUTE),
    range: Some(ParamRange {
        from: SECOND as f64,
        to: HOUR as f64,
    }),
    doc: "time from one closing to the next",
    trade: Some("longer: fewer closings and less wear; shorter: less ripple"),
};

/// The shortest pulse where none is given, ms. A choice: a relay for mains follows it easily; no source.
const USUAL_SHORTEST_MS: Millis = SECOND;

/// The shortest pulse of every time-proportioned output.
pub(crate) const SHORTEST_PULSE: Param = Param {
    name: "shortest_pulse",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(USUAL_SHORTEST_MS),
    range: Some(ParamRange {
        from: 0.0,
        to: 10.0 * MINUTE as f64,
    }),
    doc: "shortest time closed or open; what is less is carried over to the next cycle",
    trade: Some("longer: spares the contact; shorter: finer doses of heat"),
};

/// How a duty becomes pulses.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pulses {
    pub(crate) cycle_ms: Millis,
    shortest_ms: Millis,
}

impl Pulses {
    /// From [`CYCLE`] and [`SHORTEST_PULSE`].
    pub(crate) fn from_values(values: &Values) -> Result<Self, ParamError> {
        let pulses = Self {
            cycle_ms: values.get_time_ms(CYCLE.name)?,
            shortest_ms: values.get_time_ms(SHORTEST_PULSE.name)?,
        };
        if pulses.shortest_ms > pulses.cycle_ms {
            return Err(ParamError::DoesNotFit {
                param: SHORTEST_PULSE.name,
                wrong: format!(
                    "is {}, longer than the `cycle` of {}",
                    print_millis(pulses.shortest_ms),
                    print_millis(pulses.cycle_ms)
                ),
            });
        }
        Ok(pulses)
    }

    /// "5 min cycle".
    pub(crate) fn settings_text(self) -> String {
        let cycle = print_millis(self.cycle_ms);
        if self.shortest_ms == USUAL_SHORTEST_MS {
            return format!("{cycle} cycle");
        }
        format!("{cycle} cycle, no pulse below {}", print_millis(self.shortest_ms))
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Cycle {
    starts_ms: Millis,
    on_ms: Millis,
}

/// The memory of one time-proportioned output.
#[derive(Debug, Clone)]
pub(crate) struct DutyCycle {
    pulses: Pulses,
    interval_ms: Millis,
    cycle: Option<Cycle>,
    /// Closed time that earlier cycles left out (less than the shortest pulse), or gave too much of where negative.
    owed_ms: Millis,
    /// The duty of the last cycle; `None`: none began yet.
    last_duty_frac: Option<f64>,
    /// The state that is held while there is no reading.
    held: Option<ContactState>,
}

impl DutyCycle {
    /// Pulses for decisions every `interval_ms`.
    pub(crate) fn new(pulses: Pulses, interval_ms: Millis) -> Self {
        Self {
            pulses,
            interval_ms,
            cycle: None,
            owed_ms: 0,
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
        let length_ms = self.pulses.cycle_ms;
        let interrupted = self.held.take().is_some() || tick == Tick::Jumped;
        if interrupted {
            // The water forgot long ago what was owed before.
            self.owed_ms = 0;
        }
        let mut give = |delay_ms, state| {
            for contact in contacts {
                commands.set_after(*contact, delay_ms, state);
            }
        };
        let mut cycle = match self.cycle {
            Some(cycle) if !interrupted && now_ms < cycle.starts_ms + length_ms => cycle,
            _ => self.begin(now_ms, duty_frac),
        };
        let opens_ms = cycle.starts_ms + cycle.on_ms;
        give(0, ContactState::closed_if(now_ms < opens_ms));
        if now_ms < opens_ms && cycle.on_ms < length_ms {
            give(opens_ms - now_ms, ContactState::Open);
        }
        while cycle.starts_ms + length_ms < now_ms + self.interval_ms {
            cycle = self.begin(cycle.starts_ms + length_ms, duty_frac);
            let delay_ms = cycle.starts_ms - now_ms;
            give(delay_ms, ContactState::closed_if(cycle.on_ms > 0));
            if cycle.on_ms > 0 && cycle.on_ms < length_ms {
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

    /// What a strategy waits for that drives this output by a probe: the duty is looked at where a cycle begins before the next decision.
    pub(crate) fn rest(&self, probe: Option<ProbeId>) -> Option<Rest> {
        let cycle = self.cycle.filter(|_| self.held.is_none())?;
        Some(Rest {
            probe,
            above_c: f64::NEG_INFINITY,
            below_c: f64::INFINITY,
            until_ms: cycle.starts_ms + self.pulses.cycle_ms - self.interval_ms + 1,
        })
    }

    fn begin(&mut self, starts_ms: Millis, duty_frac: f64) -> Cycle {
        self.last_duty_frac = Some(duty_frac);
        let Pulses {
            cycle_ms,
            shortest_ms,
        } = self.pulses;
        let asked_ms = libm::round(duty_frac.clamp(0.0, 1.0) * cycle_ms as f64) as Millis;
        let wanted_ms = asked_ms + self.owed_ms;
        let on_ms = if wanted_ms < shortest_ms && 2 * wanted_ms < cycle_ms {
            0
        } else if wanted_ms > cycle_ms - shortest_ms {
            cycle_ms
        } else {
            wanted_ms
        };
        self.owed_ms = wanted_ms - on_ms;
        Cycle { starts_ms, on_ms }
    }

    /// The state just before `now_ms`; open where it opens at that instant.
    fn state_at(&self, now_ms: Millis) -> ContactState {
        ContactState::closed_if(self.cycle.is_some_and(|cycle| {
            cycle.on_ms == self.pulses.cycle_ms || now_ms < cycle.starts_ms + cycle.on_ms
        }))
    }
}
