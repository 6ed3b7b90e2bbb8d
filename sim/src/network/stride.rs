//! A stride: the course from where something last changed to the next whole minute.
//!
//! # Equation
//! With x' the rate of change where the stride begins and s₁ the slope of the sources, the state is, exactly,
//!
//! ```text
//! x(t) = x(0) + P₁(t) x'(0) + P₂(t) s₁          x'(0) = A x(0) + s₀
//! ```
//!
//! and lies off the straight line between the ends of a stride of length h by
//!
//! ```text
//! x(t) − x(0) − (t/h) (x(h) − x(0)) = (P₁(t) − t/h P₁(h)) x'(0) + (P₂(t) − t/h P₂(h)) s₁
//! ```
//!
//! The two brackets hang on the network alone, so their largest entries over the ticks of a stride, made once, bound how far any tick can
//! lie off the line: [`Chord`]. Who looks at the state can see from the ends and that bound that nothing happened between, which is so
//! in nearly all of a year's half million minutes, and walks through the ticks where it cannot.
//!
//! # Units
//! As `propagator.rs`.
//!
//! # Source
//! The solution in `propagator.rs`, rearranged: D = P₁ A.
//!
//! # Valid for
//! As `propagator.rs`. The bound holds at ticks, not between them.
//!
//! # Left out
//! Nothing.
//!
//! # Checked by
//! The tests below; `tests/determinism/rest.rs`.

use super::matrix::Matrix;
use super::propagator::Propagator;
use super::{MAX_NODES, Vector};
use crate::time::Millis;

/// Most ticks in a stride. A choice: ticks of ten seconds make a minute.
pub(super) const STRIDE_TICKS: usize = 6;

/// A number of whole ticks, and how far the state can be off the straight line at those between.
#[derive(Debug, Clone)]
pub(super) struct Chord {
    pub(super) whole: Propagator,
    /// Bound per rate of change at the start, s.
    off_per_rate_s: Matrix,
    /// Bound per slope of the sources, s².
    off_per_slope_s2: Matrix,
}

/// What the slope of the sources does over a chord.
#[derive(Debug, Clone, Default)]
pub(super) struct SlopeEffect {
    /// Adds to the state at the end, K.
    pub(super) adds_k: Vector,
    /// Adds to how far ticks may lie off the straight line, K.
    pub(super) off_line_k: Vector,
}

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

/// The stride under way.
#[derive(Debug, Clone, Default)]
pub(super) struct Stride {
    /// What follows holds; else it is worked out when somebody looks ahead.
    pub(super) is_known: bool,
    pub(super) end_ms: Millis,
    /// Rate of change where it begins, K/s.
    pub(super) rate: Vector,
    /// The state at its end if nothing switches.
    pub(super) to: Vector,
    /// How far no tick lies off the straight line there, K.
    pub(super) off_line_k: Vector,
    /// ∫ state dt over what lies behind its last whole tick, K s, where there is such a part.
    pub(super) part_k_s: Vector,
    /// Something may switch on the way.
    pub(super) may_cross: bool,
}

impl Stride {
    /// Works out a stride of a chord's length from a state and the sources there; `slope` what their slope does. The innermost work of a
    /// run: written at the network's own width (4, 8, 12 or 16 instead of 16), so that sums stay in registers.
    #[inline]
    pub(super) fn run_over(
        &mut self,
        chord: &Chord,
        a: &Matrix,
        from: &Vector,
        sources: &Vector,
        slope: &SlopeEffect,
    ) {
        match a.stride() {
            4 => self.run_over_strided::<4>(chord, a, from, sources, slope),
            8 => self.run_over_strided::<8>(chord, a, from, sources, slope),
            12 => self.run_over_strided::<12>(chord, a, from, sources, slope),
            _ => self.run_over_strided::<16>(chord, a, from, sources, slope),
        }
    }

    #[inline]
    fn run_over_strided<const STRIDE: usize>(
        &mut self,
        chord: &Chord,
        a: &Matrix,
        from: &Vector,
        sources: &Vector,
        slope: &SlopeEffect,
    ) {
        let mut rate: [f64; STRIDE] = std::array::from_fn(|row| sources[row]);
        a.add_product(from, &mut rate);
        let mut change_k: [f64; STRIDE] = std::array::from_fn(|row| slope.adds_k[row]);
        chord.whole.p1.add_product(&rate, &mut change_k);
        let mut off_line_k: [f64; STRIDE] = std::array::from_fn(|row| slope.off_line_k[row]);
        chord
            .off_per_rate_s
            .add_product(&rate.map(f64::abs), &mut off_line_k);
        for row in 0..STRIDE {
            self.rate[row] = rate[row];
            self.to[row] = from[row] + change_k[row];
            self.off_line_k[row] = off_line_k[row];
        }
    }
}

/// Sums over whole strides that are not yet in the ledger: what the propagator does to them is worked out when somebody looks.
#[derive(Debug, Clone, Default)]
pub(super) struct WholeStrides {
    state: Vector,
    sources: Sources,
}

impl WholeStrides {
    /// Adds a stride of `length_s` that began with this state of `size` nodes and these sources, which it moves on.
    #[inline]
    pub(super) fn add(&mut self, size: usize, state: &Vector, sources: &mut Sources, length_s: f64) {
        match size {
            ..=4 => self.add_strided::<4>(state, sources, length_s),
            5..=8 => self.add_strided::<8>(state, sources, length_s),
            _ => self.add_strided::<MAX_NODES>(state, sources, length_s),
        }
    }

    #[inline]
    fn add_strided<const STRIDE: usize>(&mut self, state: &Vector, sources: &mut Sources, length_s: f64) {
        add_first::<STRIDE>(&mut self.state, state, 1.0);
        add_first::<STRIDE>(&mut self.sources.value, &sources.value, 1.0);
        add_first::<STRIDE>(&mut self.sources.slope, &sources.slope, 1.0);
        add_first::<STRIDE>(&mut sources.value, &sources.slope, length_s);
    }

    /// Adds ∫ state dt over them to `integral`, K s, and begins anew.
    pub(super) fn book(&mut self, whole: &Propagator, integral: &mut Vector) {
        whole.book(&self.state, &self.sources.value, &self.sources.slope, integral);
        *self = Self::default();
    }
}

/// All strides of 1 to [`STRIDE_TICKS`] ticks.
pub(super) fn chords(tick: Propagator) -> Vec<Chord> {
    let mut wholes = vec![tick];
    while wholes.len() < STRIDE_TICKS {
        let longer = wholes[wholes.len() - 1].then(&wholes[0]);
        wholes.push(longer);
    }
    let off = |count: usize, of: fn(&Propagator) -> &Matrix| {
        let mut largest = Matrix::zero(of(&wholes[0]).size());
        for ticks in 1..count {
            let mut bracket = of(&wholes[ticks - 1]).clone();
            bracket.add_scaled(-(ticks as f64 / count as f64), of(&wholes[count - 1]));
            largest.raise_to_size_of(&bracket);
        }
        largest
    };
    let bounds: Vec<_> = (1..=STRIDE_TICKS)
        .map(|count| (off(count, |step| &step.p1), off(count, |step| &step.p2)))
        .collect();
    wholes
        .into_iter()
        .zip(bounds)
        .map(|(whole, (off_per_rate_s, off_per_slope_s2))| Chord {
            whole,
            off_per_rate_s,
            off_per_slope_s2,
        })
        .collect()
}

impl Chord {
    /// What the slope of the sources does.
    pub(super) fn slope_effect(&self, slope: &Vector) -> SlopeEffect {
        let mut effect = SlopeEffect::default();
        self.whole.p2.multiply_add(slope, &mut effect.adds_k);
        self.off_per_slope_s2
            .multiply_add(&slope.map(f64::abs), &mut effect.off_line_k);
        effect
    }

    /// The state at the end.
    #[inline]
    pub(super) fn end(&self, from: &Vector, rate: &Vector, slope: &SlopeEffect) -> Vector {
        let mut change_k = slope.adds_k;
        self.whole.p1.multiply_add_all(rate, &mut change_k);
        std::array::from_fn(|node| from[node] + change_k[node])
    }

    /// How far no tick lies off the straight line, K.
    #[inline]
    pub(super) fn off_line_k(&self, rate: &Vector, slope: &SlopeEffect) -> Vector {
        let mut off_k = slope.off_line_k;
        self.off_per_rate_s
            .multiply_add_all(&rate.map(f64::abs), &mut off_k);
        off_k
    }
}

/// Adds `factor` times the first entries.
#[inline]
fn add_first<const STRIDE: usize>(to: &mut Vector, what: &Vector, factor: f64) {
    for (sum, entry) in to.iter_mut().zip(what).take(STRIDE) {
        *sum += factor * entry;
    }
}

/// A piece of a run's course in which nothing changed but temperatures, as an [`super::Observer`] sees it.
#[derive(Debug, Clone, Copy)]
pub struct Passage<'a> {
    /// When it begins, ms.
    pub from_ms: Millis,
    /// The state there, K above the network's reference.
    pub from: &'a Vector,
    /// When it ends, ms.
    pub to_ms: Millis,
    /// The state there.
    pub to: &'a Vector,
    /// How far no tick between lies off the straight line from the one to the other, K; infinite where nothing is known.
    pub off_line_k: &'a Vector,
    pub(super) tick_ms: Millis,
    pub(super) chords: &'a [Chord],
    pub(super) rate: &'a Vector,
    pub(super) slope: &'a Vector,
}

impl Passage<'_> {
    /// Walks through it tick by tick: calls `step` with each one's start, ms, the state there, its end, ms, and the state there.
    pub fn walk(&self, mut step: impl FnMut(Millis, &Vector, Millis, &Vector)) {
        let (mut before_ms, mut before) = (self.from_ms, *self.from);
        for chord in self.chords {
            let at_ms = before_ms + self.tick_ms;
            if at_ms >= self.to_ms {
                break;
            }
            let at = chord.end(self.from, self.rate, &chord.slope_effect(self.slope));
            step(before_ms, &before, at_ms, &at);
            (before_ms, before) = (at_ms, at);
        }
        step(before_ms, &before, self.to_ms, self.to);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A heater's body of 20 s, a sensor of 45 s, water of hours.
    fn chords_of_a_tank() -> (Matrix, Vec<Chord>) {
        let rows = [
            [-0.05, 0.05, 0.0],
            [0.0005, -0.0006, 0.0],
            [0.0, 1.0 / 45.0, -1.0 / 45.0],
        ];
        let mut a = Matrix::zero(3);
        for (i, row) in rows.iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                *a.at_mut(i, j) = *value;
            }
        }
        let chords = chords(Propagator::of(&a, 10.0));
        (a, chords)
    }

    fn vector(values: [f64; 3]) -> Vector {
        let mut vector = [0.0; MAX_NODES];
        vector[..3].copy_from_slice(&values);
        vector
    }

    #[test]
    fn no_tick_lies_further_off_the_line_than_the_bound_and_some_come_near_it() {
        let (a, chords) = chords_of_a_tank();
        let mut nearest: f64 = 0.0;
        for (state, value, slope) in [
            ([10.0, 0.2, 0.1], [0.5, 0.0, 0.0], [0.0, 1e-7, 0.0]),
            ([0.0, 0.0, 0.3], [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]),
            ([-3.0, 1.0, 0.9], [0.1, -0.001, 0.0], [1e-4, 0.0, -1e-5]),
        ] {
            let (state, slope) = (vector(state), vector(slope));
            let mut rate = vector(value);
            a.multiply_add(&state, &mut rate);
            for count in 1..=STRIDE_TICKS {
                let whole = &chords[count - 1];
                let effect = whole.slope_effect(&slope);
                let to = whole.end(&state, &rate, &effect);
                let off_line_k = whole.off_line_k(&rate, &effect);
                let passage = Passage {
                    from_ms: 0,
                    from: &state,
                    to_ms: 10_000 * count as Millis,
                    to: &to,
                    off_line_k: &off_line_k,
                    tick_ms: 10_000,
                    chords: &chords,
                    rate: &rate,
                    slope: &slope,
                };
                passage.walk(|_, _, at_ms, at| {
                    let share = at_ms as f64 / passage.to_ms as f64;
                    for node in 0..3 {
                        let on_line = state[node] + share * (to[node] - state[node]);
                        let off_k = (at[node] - on_line).abs();
                        assert!(
                            off_k <= off_line_k[node] + 1e-12,
                            "{count} {at_ms} {node}: {off_k}"
                        );
                        nearest = nearest.max(off_k / off_line_k[node].max(1e-9));
                    }
                });
            }
        }
        assert!(nearest > 0.9, "{nearest}");
    }

    #[test]
    fn a_stride_of_six_ticks_ends_where_six_ticks_end() {
        let (a, chords) = chords_of_a_tank();
        let (start, slope) = (vector([10.0, 0.2, 0.1]), vector([1e-4, 1e-6, 0.0]));
        let rate_of = |state: &Vector, at_s: f64| {
            let mut rate: Vector =
                std::array::from_fn(|node| vector([0.5, 0.0, 0.0])[node] + at_s * slope[node]);
            a.multiply_add(state, &mut rate);
            rate
        };
        let mut by_ticks = start;
        for tick in 0..STRIDE_TICKS {
            let rate = rate_of(&by_ticks, 10.0 * tick as f64);
            by_ticks = chords[0].end(&by_ticks, &rate, &chords[0].slope_effect(&slope));
        }
        let six = &chords[STRIDE_TICKS - 1];
        let at_once = six.end(&start, &rate_of(&start, 0.0), &six.slope_effect(&slope));
        for node in 0..3 {
            approx::assert_relative_eq!(by_ticks[node], at_once[node], epsilon = 1e-11);
        }
    }
}
