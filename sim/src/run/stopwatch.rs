//! For how much of the scored time something held, in all and at a stretch.

use crate::time::Millis;

/// Runs while something holds.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Stopwatch {
    since_ms: Option<Millis>,
    pub(super) total_ms: Millis,
    pub(super) longest_ms: Millis,
}

impl Stopwatch {
    /// It holds from now on, or no longer.
    pub(super) fn set(&mut self, now_ms: Millis, holds: bool) {
        if holds {
            self.since_ms.get_or_insert(now_ms);
        } else if let Some(since_ms) = self.since_ms.take() {
            let lasted_ms = now_ms.max(0) - since_ms.max(0);
            self.total_ms += lasted_ms;
            self.longest_ms = self.longest_ms.max(lasted_ms);
        }
    }
}
