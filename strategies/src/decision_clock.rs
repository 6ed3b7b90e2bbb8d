//! How much time went by since the last decision, and whether the clock jumped.
//!
//! Decisions come at the control interval. A longer gap (the power was out) or a step back is a jump: what
//! happened meanwhile is unknown, so nothing may be summed up over it.

use tepid_sim::time::Millis;

/// What the clock says at one decision.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tick {
    /// The first decision.
    First,
    /// This long after the one before, ms, 0 < elapsed ≤ the interval.
    After(Millis),
    /// After a gap or a step back.
    Jumped,
}

#[derive(Debug, Clone)]
pub(crate) struct DecisionClock {
    interval_ms: Millis,
    last_ms: Option<Millis>,
}

impl DecisionClock {
    pub(crate) fn new(interval_ms: Millis) -> Self {
        Self {
            interval_ms,
            last_ms: None,
        }
    }

    pub(crate) fn tick(&mut self, now_ms: Millis) -> Tick {
        let tick = match self.last_ms {
            None => Tick::First,
            Some(last_ms) if last_ms < now_ms && now_ms - last_ms <= self.interval_ms => {
                Tick::After(now_ms - last_ms)
            }
            Some(_) => Tick::Jumped,
        };
        self.last_ms = Some(now_ms);
        tick
    }

    /// When the last decision was, ms; `None` before the first.
    pub(crate) fn last_ms(&self) -> Option<Millis> {
        self.last_ms
    }

    /// The decisions up to this one were left out.
    pub(crate) fn rested(&mut self, last_ms: Millis) {
        self.last_ms = Some(last_ms);
    }
}
