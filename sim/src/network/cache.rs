//! Propagators of one network, made when first needed and kept.
//!
//! Every length is a sum of powers of two of a millisecond, so that a split at any millisecond needs no new exponential; up to six
//! ticks are kept whole because nearly every stride has that length, and so is the refresh interval, which nearly every prediction
//! spans.

use super::matrix::Matrix;
use super::propagator::Propagator;
use super::stride::{Chord, chords};
use super::{Network, Present};
use crate::time::{Millis, SECOND};

/// Powers of two kept: up to 2¹⁶ ms = 65.5 s in one step. A choice: longer ones take more steps.
const POWERS: usize = 17;

/// Modes kept before the cache starts afresh. A choice: a bound on memory, far above what a scenario reaches.
const MODES: usize = 64;

/// Propagators by mode.
#[derive(Debug, Clone)]
pub(super) struct PropagatorCache {
    tick_ms: Millis,
    refresh_ms: Millis,
    modes: Vec<ModeEntry>,
}

#[derive(Debug, Clone)]
struct ModeEntry {
    mode: u32,
    matrix: Matrix,
    powers: Vec<Propagator>,
    chords: Vec<Chord>,
    refresh: Propagator,
}

impl PropagatorCache {
    pub(super) fn new(tick_ms: Millis, refresh_ms: Millis) -> Self {
        Self {
            tick_ms,
            refresh_ms,
            modes: Vec::new(),
        }
    }

    /// Position of the entry of the present mode, made if it is new.
    pub(super) fn entry_of(&mut self, network: &Network, present: &Present) -> usize {
        if let Some(found) = self.modes.iter().position(|entry| entry.mode == present.mode) {
            return found;
        }
        if self.modes.len() == MODES {
            self.modes.clear();
        }
        self.modes
            .push(ModeEntry::new(network, present, self.tick_ms, self.refresh_ms));
        self.modes.len() - 1
    }

    /// Heat capacities changed: nothing kept holds any more.
    pub(super) fn clear(&mut self) {
        self.modes.clear();
    }

    /// The matrix A, 1/s.
    #[inline]
    pub(super) fn matrix(&self, entry: usize) -> &Matrix {
        &self.modes[entry].matrix
    }

    /// Strides of one tick, of two and so on.
    #[inline]
    pub(super) fn chords(&self, entry: usize) -> &[Chord] {
        &self.modes[entry].chords
    }

    /// The whole refresh interval.
    pub(super) fn refresh(&self, entry: usize) -> &Propagator {
        &self.modes[entry].refresh
    }

    /// The largest kept power of two not above `length_ms` (> 0), and its length in ms.
    pub(super) fn largest_power(&self, entry: usize, length_ms: Millis) -> (&Propagator, Millis) {
        largest_power(&self.modes[entry].powers, length_ms)
    }
}

impl ModeEntry {
    fn new(network: &Network, present: &Present, tick_ms: Millis, refresh_ms: Millis) -> Self {
        let a = network.matrix(present);
        let mut powers = vec![Propagator::of(&a, 1.0 / SECOND as f64)];
        for power in 1..POWERS {
            let half = &powers[power - 1];
            powers.push(half.then(half));
        }
        let (tick, refresh) = (join(&powers, tick_ms), join(&powers, refresh_ms));
        Self {
            mode: present.mode,
            matrix: a,
            powers,
            chords: chords(tick),
            refresh,
        }
    }
}

fn largest_power(powers: &[Propagator], length_ms: Millis) -> (&Propagator, Millis) {
    let power = (63 - length_ms.leading_zeros() as usize).min(POWERS - 1);
    (&powers[power], 1 << power)
}

/// The propagator of a length, ms, > 0.
fn join(powers: &[Propagator], length_ms: Millis) -> Propagator {
    let (first, first_ms) = largest_power(powers, length_ms);
    let mut joined = first.clone();
    let mut left_ms = length_ms - first_ms;
    while left_ms > 0 {
        let (next, next_ms) = largest_power(powers, left_ms);
        joined = joined.then(next);
        left_ms -= next_ms;
    }
    joined
}
