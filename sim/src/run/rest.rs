//! Decisions that are left out because the strategy said that they would change nothing, nearly all of a year's three million, and looks of
//! watches at water that is well.

use super::loops::{Loop, Watching};
use super::timeline::NEVER;
use crate::time::{MINUTE, Millis};

impl Loop<'_, '_> {
    /// Leaves out the decision that is due now, where nothing could tell the difference: not as the last before a happening, which may
    /// freeze what a probe then read.
    #[inline]
    pub(super) fn leaves_out(&mut self, now_ms: Millis) -> bool {
        let Some(rest) = self.controller.waits_for() else {
            return false;
        };
        let next_ms = self.next_decision_ms + self.interval_ms;
        if now_ms >= rest.until_ms
            || next_ms >= self.timeline.next_ms()
            || !self.probes.read_within(rest, now_ms, self.stepper.state())
        {
            return false;
        }
        self.controller.rest(now_ms);
        self.next_decision_ms = next_ms;
        true
    }

    /// Leaves out all decisions before `due_ms` in the stride under way, or those before the first that the ends of the stride leave open;
    /// returns where the stride ends.
    pub(super) fn leaves_out_ahead(&mut self, due_ms: Millis) -> Millis {
        let Some(rest) = self.controller.waits_for().filter(|_| self.decides_at_ticks) else {
            return NEVER;
        };
        let watching = Watching {
            plant: self.plant,
            chains: &self.chains,
            tally: &mut self.tally,
            oxygen: None,
        };
        let stride = self.stepper.look_ahead(&mut self.surroundings, &watching);
        let (first_ms, every_ms) = (self.next_decision_ms, self.interval_ms);
        let end_ms = (stride.to_ms + 1)
            .min(due_ms)
            .min(rest.until_ms)
            .min(self.timeline.next_ms() - every_ms);
        if first_ms < end_ms {
            let open_ms = self
                .probes
                .first_to_look_at(rest, &stride, first_ms..end_ms, every_ms);
            let next_ms = open_ms.unwrap_or_else(|| {
                let mut next_ms = first_ms;
                while next_ms < end_ms {
                    next_ms += every_ms;
                }
                next_ms
            });
            if next_ms > first_ms {
                self.controller.rest(next_ms - every_ms);
                self.next_decision_ms = next_ms;
            }
        }
        stride.to_ms
    }

    /// Whether the watches need not look at this minute, since nothing could tell the difference: not as the last look before a happening,
    /// which may freeze what a probe then read.
    #[inline]
    pub(super) fn leaves_unlooked(&self, now_ms: Millis) -> bool {
        self.may_rest
            && now_ms + MINUTE < self.timeline.next_ms()
            && self.watches.rest().is_some_and(|quiet| {
                let state = self.stepper.state();
                quiet
                    .iter()
                    .all(|rest| self.probes.read_within(*rest, now_ms, state))
            })
    }
}
