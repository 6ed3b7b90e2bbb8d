//! Since when something has no electricity, and how long a battery of its own carries it over that.

use crate::time::Millis;

/// Electricity of one thing.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Electricity {
    out_since_ms: Option<Millis>,
}

impl Electricity {
    /// It has electricity from now on, or none.
    pub(super) fn set(&mut self, now_ms: Millis, on: bool) {
        self.out_since_ms = if on {
            None
        } else {
            self.out_since_ms.or(Some(now_ms))
        };
    }

    /// When a battery that lasts this long will be empty; `None`: nothing drains it.
    pub(super) fn empty_at_ms(self, battery_ms: Millis) -> Option<Millis> {
        self.out_since_ms.map(|since_ms| since_ms + battery_ms)
    }

    /// Whether it goes on, with a battery that lasts this long.
    pub(super) fn lasts(self, now_ms: Millis, battery_ms: Millis) -> bool {
        self.empty_at_ms(battery_ms)
            .is_none_or(|empty_ms| now_ms < empty_ms)
    }
}
