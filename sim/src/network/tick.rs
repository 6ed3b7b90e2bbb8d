//! Whole ticks: the innermost loop of a run.
//!
//! Nearly every step has the length of a tick, and a year has three million of them, so this is the one place of the network that is
//! written for speed: vectors are handled at the network's own width (4, 8, 12 or 16 instead of 16), what the sources add is one
//! vector that grows by another, and sums for the ledger cost one addition a tick: what the sources do to them is worked out when
//! somebody looks.

use super::propagator::Propagator;
use super::{MAX_NODES, Vector};

/// Sources at an instant, K/s, and their slope, K/s².
#[derive(Debug, Clone, Default)]
pub(super) struct Sources {
    pub(super) value: Vector,
    pub(super) slope: Vector,
}

impl Sources {
    /// Moves them on along their slope.
    #[inline]
    pub(super) fn advance(&mut self, by_s: f64) {
        for (value, slope) in self.value.iter_mut().zip(&self.slope) {
            *value += slope * by_s;
        }
    }
}

/// Whole ticks under way in one mode.
#[derive(Debug, Clone, Default)]
pub(super) struct Ticks {
    /// What the sources add in the next tick and how that grows from tick to tick; meaningful while `known`.
    increment: Vector,
    growth: Vector,
    known: bool,
    /// Ticks that the sources have not been moved on by.
    behind: u32,
    /// Sums over whole ticks not yet in the ledger: state and sources at the start of each, and slopes.
    state: Vector,
    sources: Sources,
    /// The state one tick on.
    next: Vector,
}

impl Ticks {
    /// Works out the state one tick on.
    #[inline]
    pub(super) fn look_ahead(&mut self, tick: &Propagator, state: &Vector, sources: &Sources) {
        if !self.known {
            self.find_increment(tick, sources);
        }
        match tick.d.stride() {
            4 => self.look_ahead_strided::<4>(tick, state),
            8 => self.look_ahead_strided::<8>(tick, state),
            12 => self.look_ahead_strided::<12>(tick, state),
            _ => self.look_ahead_strided::<16>(tick, state),
        }
    }

    #[inline]
    fn look_ahead_strided<const STRIDE: usize>(&mut self, tick: &Propagator, state: &Vector) {
        let mut total: [f64; STRIDE] = std::array::from_fn(|row| self.increment[row]);
        tick.d.add_product(state, &mut total);
        for (row, change_k) in total.iter().enumerate() {
            self.next[row] = change_k + state[row];
        }
    }

    fn find_increment(&mut self, tick: &Propagator, sources: &Sources) {
        self.increment = [0.0; MAX_NODES];
        tick.p1.multiply_add(&sources.value, &mut self.increment);
        tick.p2.multiply_add(&sources.slope, &mut self.increment);
        self.growth = [0.0; MAX_NODES];
        tick.p1.multiply_add(&sources.slope, &mut self.growth);
        for entry in &mut self.growth {
            *entry *= tick.length_s;
        }
        self.known = true;
    }

    /// The state looked ahead to.
    #[inline]
    pub(super) fn next(&self) -> &Vector {
        &self.next
    }

    /// Makes the step looked ahead to.
    #[inline]
    pub(super) fn commit(&mut self, tick: &Propagator, state: &mut Vector) {
        match tick.d.stride() {
            4 => self.commit_strided::<4>(state),
            8 => self.commit_strided::<8>(state),
            12 => self.commit_strided::<12>(state),
            _ => self.commit_strided::<16>(state),
        }
    }

    #[inline]
    fn commit_strided<const STRIDE: usize>(&mut self, state: &mut Vector) {
        self.behind += 1;
        for (sum, now_k) in self.state.iter_mut().zip(state.iter()).take(STRIDE) {
            *sum += now_k;
        }
        for (increment, growth) in self.increment.iter_mut().zip(&self.growth).take(STRIDE) {
            *increment += growth;
        }
        state[..STRIDE].copy_from_slice(&self.next[..STRIDE]);
    }

    /// Moves the sources on to now and sums them over the ticks since: n s₀ + n (n − 1)/2 · h s₁, a line's sum. Whoever then changes the
    /// sources or leaves the grid of ticks gets a new increment.
    pub(super) fn catch_up(&mut self, tick_s: f64, sources: &mut Sources) {
        let n = f64::from(self.behind);
        let triangle_s = 0.5 * n * (n - 1.0) * tick_s;
        for i in 0..MAX_NODES {
            self.sources.value[i] += n * sources.value[i] + triangle_s * sources.slope[i];
            self.sources.slope[i] += n * sources.slope[i];
        }
        sources.advance(n * tick_s);
        self.behind = 0;
        self.known = false;
    }

    /// Adds ∫ state dt over the ticks since the last call to `integral`, K s. Sources must have caught up.
    pub(super) fn book(&mut self, tick: &Propagator, integral: &mut Vector) {
        tick.p1.multiply_add(&self.state, integral);
        tick.p2.multiply_add(&self.sources.value, integral);
        tick.p3.multiply_add(&self.sources.slope, integral);
        self.state = [0.0; MAX_NODES];
        self.sources = Sources::default();
    }
}
