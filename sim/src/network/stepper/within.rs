//! Any instant of the stride under way: the state there, and where something switches.

use super::super::propagator::Propagator;
use super::super::stride::{STRIDE_TICKS, Sources};
use super::super::{MAX_NODES, Vector};
use super::{Observer, Stepper};
use crate::time::Millis;

impl Stepper<'_> {
    /// How many whole ticks a length from the stride's start on has, and what is left of it, ms.
    pub(super) fn in_ticks(&self, length_ms: Millis) -> (usize, Millis) {
        let ticks = (length_ms / self.settings.tick_ms).min(STRIDE_TICKS as Millis);
        (ticks as usize, length_ms - ticks * self.settings.tick_ms)
    }

    /// How far no tick in the first part of the stride lies off the straight line, K.
    pub(super) fn off_line_k(&self, length_ms: Millis) -> Vector {
        match self.in_ticks(length_ms) {
            (0, _) => [0.0; MAX_NODES],
            (ticks, 0) => {
                let chord = &self.cache.chords(self.entry)[ticks - 1];
                chord.off_line_k(&self.stride.rate, &chord.slope_off_k(&self.stretch.sources.slope))
            }
            (_, _) => [f64::INFINITY; MAX_NODES],
        }
    }

    /// The state at an instant of the stride under way: whole ticks from its start at once, then powers of two of a millisecond.
    pub(super) fn state_at(&self, at_ms: Millis) -> Vector {
        let (ticks, left_ms) = self.in_ticks(at_ms - self.from_ms);
        let (state, mut sources) = self.at_tick(ticks);
        self.pieces(left_ms, state, &mut sources, |_, _, _| {})
    }

    /// The state and the sources some whole ticks into the stride.
    pub(super) fn at_tick(&self, ticks: usize) -> (Vector, Sources) {
        let mut sources = self.stretch.sources.clone();
        let Some(chord) = ticks.checked_sub(1).map(|at| &self.cache.chords(self.entry)[at]) else {
            return (self.from, sources);
        };
        let adds_k = chord.slope_adds_k(&sources.slope);
        sources.advance(chord.whole.length_s);
        (chord.end(&self.from, &self.stride.rate, &adds_k), sources)
    }

    /// The state `length_ms` on, in powers of two of a millisecond, each told to `each` with what it starts from.
    pub(super) fn pieces(
        &self,
        mut length_ms: Millis,
        mut state: Vector,
        sources: &mut Sources,
        mut each: impl FnMut(&Propagator, &Vector, &Sources),
    ) -> Vector {
        while length_ms > 0 {
            let (propagator, piece_ms) = self.cache.largest_power(self.entry, length_ms);
            each(propagator, &state, sources);
            state = solution(propagator, &state, sources);
            sources.advance(propagator.length_s);
            length_ms -= piece_ms;
        }
        state
    }

    /// The first millisecond after now, and at `stop_ms` at the latest, at which something switches, as ticks tell.
    pub(super) fn first_crossing(&self, stop_ms: Millis, observer: &impl Observer) -> Option<Millis> {
        let tick_ms = self.settings.tick_ms;
        let over_ms = self.now_ms - self.from_ms;
        let mut before_ms = self.from_ms + over_ms / tick_ms * tick_ms;
        while before_ms < stop_ms {
            let at_ms = (before_ms + tick_ms).min(stop_ms);
            if observer.crossed(&self.state_at(at_ms)) {
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
        let (mut state, mut sources) = self.at_tick(ticks);
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
