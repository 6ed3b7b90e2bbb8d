//! Decisions that are left out because the strategy said that they would change nothing: nearly all of a year's three million.

use super::loops::Loop;
use crate::time::Millis;

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
}
