//! Any instant of the stride under way: the state there, and where something switches.

use super::super::propagator::Propagator;
use super::super::stride::{STRIDE_TICKS, SlopeEffect, Sources};
use super::super::{MAX_NODES, Vector};
use super::{Observer, Stepper};
use crate::time::{Millis, seconds};

impl Stepper<'_> {
    /// How many whole ticks a length from the stride's start on has, and what is left of it, ms. Counted, since a division would be waited for at
    /// every look.
    pub(super) fn in_ticks(&self, length_ms: Millis) -> (usize, Millis) {
        let (mut ticks, mut left_ms) = (0, length_ms);
        while left_ms >= self.settings.tick_ms && ticks < STRIDE_TICKS {
            ticks += 1;
            left_ms -= self.settings.tick_ms;
        }
        (ticks, left_ms)
    }

    /// What the slope of the sources does in a number of whole ticks.
    pub(super) fn slope_in(&self, ticks: usize) -> &SlopeEffect {
        self.stretch.slope_in_ticks[ticks - 1].get_or_init(|| {
            let chord = &self.cache.chords(self.entry)[ticks - 1];
            chord.slope_effect(&self.stretch.sources.slope)
        })
    }

    /// How far no tick in the first part of the stride lies off the straight line, K.
    pub(super) fn off_line_k(&self, length_ms: Millis) -> Vector {
        match self.in_ticks(length_ms) {
            (0, _) => [0.0; MAX_NODES],
            (ticks, 0) => {
                let chord = &self.cache.chords(self.entry)[ticks - 1];
                chord.off_line_k(&self.stride.rate, self.slope_in(ticks))
            }
            (_, _) => [f64::INFINITY; MAX_NODES],
        }
    }

    /// The state at an instant of the stride under way: whole ticks from its start at once, then powers of two of a millisecond; and ∫ state dt
    /// over the latter, K s.
    pub(super) fn at(&self, at_ms: Millis) -> (Vector, Vector) {
        let (ticks, mut left_ms) = self.in_ticks(at_ms - self.from_ms);
        let mut state = self.at_tick(ticks);
        let mut integral = [0.0; MAX_NODES];
        if left_ms > 0 {
            let mut sources = self.sources_at_tick(ticks);
            while left_ms > 0 {
                let (propagator, piece_ms) = self.cache.largest_power(self.entry, left_ms);
                propagator.book(&state, &sources.value, &sources.slope, &mut integral);
                state = solution(propagator, &state, &sources);
                sources.advance(propagator.length_s);
                left_ms -= piece_ms;
            }
        }
        (state, integral)
    }

    /// The state some whole ticks into the stride.
    #[inline]
    pub(super) fn at_tick(&self, ticks: usize) -> Vector {
        match ticks {
            0 => self.from,
            _ => {
                let chord = &self.cache.chords(self.entry)[ticks - 1];
                chord.end(&self.from, &self.stride.rate, self.slope_in(ticks))
            }
        }
    }

    fn sources_at_tick(&self, ticks: usize) -> Sources {
        let mut sources = self.stretch.sources.clone();
        sources.advance(seconds(ticks as Millis * self.settings.tick_ms));
        sources
    }

    /// The first millisecond after now, and at `stop_ms` at the latest, at which something switches, as ticks tell.
    pub(super) fn first_crossing(&self, stop_ms: Millis, observer: &impl Observer) -> Option<Millis> {
        let tick_ms = self.settings.tick_ms;
        let (ticks, _) = self.in_ticks(self.now_ms - self.from_ms);
        let mut before_ms = self.from_ms + ticks as Millis * tick_ms;
        while before_ms < stop_ms {
            let at_ms = (before_ms + tick_ms).min(stop_ms);
            if observer.crossed(&self.at(at_ms).0) {
                return Some(self.creep(before_ms, at_ms, observer));
            }
            before_ms = at_ms;
        }
        None
    }

    /// The first millisecond at which something switches, known to do so at `crossed_ms` and not yet at `before_ms`, a whole tick: the longest
    /// pieces that do not cross, then one millisecond more.
    fn creep(&self, before_ms: Millis, crossed_ms: Millis, observer: &impl Observer) -> Millis {
        let (ticks, _) = self.in_ticks(before_ms - self.from_ms);
        let (mut state, mut sources) = (self.at_tick(ticks), self.sources_at_tick(ticks));
        let (mut now_ms, mut limit_ms) = (before_ms, crossed_ms);
        while limit_ms - now_ms > 1 {
            let (propagator, piece_ms) = self.cache.largest_power(self.entry, limit_ms - now_ms - 1);
            let next = solution(propagator, &state, &sources);
            if observer.crossed(&next) {
                limit_ms = now_ms + piece_ms;
            } else {
                state = next;
                sources.advance(propagator.length_s);
                now_ms += piece_ms;
            }
        }
        limit_ms
    }
}

/// The state one propagator on.
pub(super) fn solution(propagator: &Propagator, state: &Vector, sources: &Sources) -> Vector {
    let mut change = [0.0; MAX_NODES];
    propagator.d.multiply_add(state, &mut change);
    propagator.p1.multiply_add(&sources.value, &mut change);
    propagator.p2.multiply_add(&sources.slope, &mut change);
    let mut next = *state;
    for (theta_k, by_k) in next.iter_mut().zip(&change) {
        *theta_k += by_k;
    }
    next
}
