//! Fastest change of temperature over a span of time.
//!
//! *Definition*: max |T(t) − T(t − span)|, K, from one sample at every whole minute of the scored time.
//! *Direction*: smaller is better. *Exact or sampled*: sampled once a minute. *Memory*: one number per minute of the span.

use crate::time::{MINUTE, Millis};

/// Keeps the fastest change over one span.
#[derive(Debug, Clone)]
pub(super) struct ChangeTally {
    ring: Vec<f64>,
    /// Where the next sample goes, and whether the ring was filled once.
    slot: usize,
    filled: bool,
    /// The largest change, K; `None` before a whole span was seen.
    largest_k: Option<f64>,
}

impl ChangeTally {
    pub(super) fn over(span_ms: Millis) -> Self {
        Self {
            ring: vec![0.0; (span_ms / MINUTE) as usize],
            slot: 0,
            filled: false,
            largest_k: None,
        }
    }

    /// The sample of the next minute.
    #[inline]
    pub(super) fn sample(&mut self, temp_c: f64) {
        let before_c = std::mem::replace(&mut self.ring[self.slot], temp_c);
        if self.filled {
            let change_k = (temp_c - before_c).abs();
            self.largest_k = Some(
                self.largest_k
                    .map_or(change_k, |largest_k| largest_k.max(change_k)),
            );
        }
        self.slot += 1;
        if self.slot == self.ring.len() {
            self.slot = 0;
            self.filled = true;
        }
    }

    /// The largest change, K; `None` before a whole span was seen.
    pub(super) fn largest_k(&self) -> Option<f64> {
        self.largest_k
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::HOUR;

    #[test]
    fn a_steady_rise_of_two_kelvin_an_hour_is_two_kelvin_an_hour() {
        let mut tally = ChangeTally::over(HOUR);
        for minute in 0..200 {
            tally.sample(25.0 + f64::from(minute) / 30.0);
        }
        approx::assert_relative_eq!(tally.largest_k().unwrap(), 2.0, epsilon = 1e-12);
    }

    #[test]
    fn less_than_a_span_gives_no_figure() {
        let mut tally = ChangeTally::over(HOUR);
        for _ in 0..60 {
            tally.sample(25.0);
        }
        assert_eq!(tally.largest_k(), None);
    }
}
