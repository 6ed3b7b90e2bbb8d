//! The exact solution of the linear part over a length of time.
//!
//! # Equation
//! x' = A x + s₀ + s₁ t has, after a time h,
//!
//! ```text
//! x(h)      = x(0) + D x(0) + P₁ s₀ + P₂ s₁
//! ∫₀ʰ x dt  =        P₁ x(0) + P₂ s₀ + P₃ s₁
//! D = e^{hA} − 1,   Pₖ = hᵏ φₖ(hA),   φ₀ = eᶻ,   φₖ(z) = (φₖ₋₁(z) − 1/(k−1)!) / z
//! ```
//!
//! [`Propagator::of`] sums the power series of all four for one millisecond; [`Propagator::then`] joins two lengths a, b:
//!
//! ```text
//! D(a+b)  = D(b) D(a) + D(a) + D(b)
//! P₁(a+b) = D(b) P₁(a) + P₁(a) + P₁(b)
//! P₂(a+b) = D(b) P₂(a) + P₂(a) + P₂(b) + a P₁(b)
//! P₃(a+b) = D(b) P₃(a) + P₃(a) + P₃(b) + a P₂(b) + a²/2 P₁(b)
//! ```
//!
//! D rather than e^{hA} is kept, so that its small entries keep their relative precision through thousands of joins; A need not
//! have an inverse.
//!
//! # Units
//! x in K above the reference, A in 1/s, s₀ in K/s, s₁ in K/s², h in s; D is a ratio, Pₖ in sᵏ.
//!
//! # Source
//! M. Hochbruck, A. Ostermann, Exponential integrators, Acta Numerica 19 (2010) 209–286, section 2 (from memory); the joins are the
//! composition of two exact steps.
//!
//! # Valid for
//! Any A. Where a time constant lies below a millisecond the first series is halved until it converges.
//!
//! # Left out
//! Nothing: the solution is exact up to rounding (about 1e-15 per step relative to the change).
//!
//! # Checked by
//! `sim/src/network/propagator.rs` against nalgebra's matrix exponential of the augmented matrix;
//! `tests/verification/lumped_step.rs`, `tests/verification/two_node.rs`.

use super::matrix::{Matrix, Vector};

/// The exact step of one length.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagator {
    /// Length h, s.
    pub length_s: f64,
    /// D, without unit.
    pub d: Matrix,
    /// P₁, s.
    pub p1: Matrix,
    /// P₂, s².
    pub p2: Matrix,
    /// P₃, s³.
    pub p3: Matrix,
}

/// Largest ‖hA‖ that the power series is used for, unitless. A choice: beyond it the length is halved.
const LARGEST_NORM: f64 = 0.25;

/// Most halvings. A choice: a length of 2⁶⁴ times the shortest time constant, far beyond any network.
const MOST_HALVINGS: u32 = 64;

/// Terms of the power series. A choice: with ‖hA‖ ≤ 1/4 the next would be below 4^-18/18! ≈ 2e-27.
const SERIES_TERMS: u32 = 18;

impl Propagator {
    /// The propagator of `a`, 1/s, over `length_s`, meant for short lengths.
    #[must_use]
    pub fn of(a: &Matrix, length_s: f64) -> Self {
        let mut halvings = 0_u32;
        let mut h = length_s;
        while a.row_sum_norm() * h > LARGEST_NORM && halvings < MOST_HALVINGS {
            h *= 0.5;
            halvings += 1;
        }
        let mut step = Self::by_series(a, h);
        for _ in 0..halvings {
            step = step.then(&step);
        }
        step
    }

    fn by_series(a: &Matrix, h: f64) -> Self {
        let size = a.size();
        let mut d = Matrix::zero(size);
        let mut p1 = Matrix::zero(size);
        let mut p2 = Matrix::zero(size);
        let mut p3 = Matrix::zero(size);
        // term = Aᵏ hᵏ / k!
        let mut term = Matrix::scaled_identity(size, 1.0);
        for k in 0..=SERIES_TERMS {
            let n = f64::from(k);
            if k > 0 {
                let mut next = Matrix::zero(size);
                next.add_scaled(h / n, &term.times(a));
                term = next;
                d.add_scaled(1.0, &term);
            }
            p1.add_scaled(h / (n + 1.0), &term);
            p2.add_scaled(h * h / ((n + 1.0) * (n + 2.0)), &term);
            p3.add_scaled(h * h * h / ((n + 1.0) * (n + 2.0) * (n + 3.0)), &term);
        }
        Self {
            length_s: h,
            d,
            p1,
            p2,
            p3,
        }
    }

    /// Adds ∫ x dt over the length to `integral`, from a state, sources and their slope at its start.
    pub fn book(&self, state: &Vector, sources: &Vector, slope: &Vector, integral: &mut Vector) {
        self.p1.multiply_add(state, integral);
        self.p2.multiply_add(sources, integral);
        self.p3.multiply_add(slope, integral);
    }

    /// This length, then `next`.
    #[must_use]
    pub fn then(&self, next: &Self) -> Self {
        let a = self.length_s;
        let join = |mine: &Matrix, theirs: &Matrix| {
            let mut sum = next.d.times(mine);
            sum.add_scaled(1.0, mine);
            sum.add_scaled(1.0, theirs);
            sum
        };
        let d = join(&self.d, &next.d);
        let p1 = join(&self.p1, &next.p1);
        let mut p2 = join(&self.p2, &next.p2);
        p2.add_scaled(a, &next.p1);
        let mut p3 = join(&self.p3, &next.p3);
        p3.add_scaled(a, &next.p2);
        p3.add_scaled(0.5 * a * a, &next.p1);
        Self {
            length_s: a + next.length_s,
            d,
            p1,
            p2,
            p3,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::DMatrix;

    /// A stiff three-node network: time constants 2 s, 140 s, 9 h.
    fn example() -> Matrix {
        let rows = [[-0.5, 0.5, 0.0], [0.001, -0.007, 0.006], [0.0, 0.0013, -0.00133]];
        let mut a = Matrix::zero(3);
        for (i, row) in rows.iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                *a.at_mut(i, j) = *value;
            }
        }
        a
    }

    #[test]
    fn a_propagator_agrees_with_the_matrix_exponential_of_the_augmented_matrix() {
        let a = example();
        let h = 10.0;
        // exp of [[A, 1, 0, 0], [0, 0, 1, 0], [0, 0, 0, 1], [0, 0, 0, 0]] h has D + 1, P1, P2, P3 in its first row of blocks.
        let mut augmented = DMatrix::<f64>::zeros(12, 12);
        for i in 0..3 {
            for j in 0..3 {
                augmented[(i, j)] = a.at(i, j) * h;
            }
            for block in 0..3 {
                augmented[(block * 3 + i, (block + 1) * 3 + i)] = h;
            }
        }
        let exact = augmented.exp();
        let step = Propagator::of(&a, h);
        for i in 0..3 {
            for j in 0..3 {
                let unit = if i == j { 1.0 } else { 0.0 };
                approx::assert_relative_eq!(step.d.at(i, j) + unit, exact[(i, j)], epsilon = 1e-13);
                approx::assert_relative_eq!(step.p1.at(i, j), exact[(i, 3 + j)], epsilon = 1e-12);
                approx::assert_relative_eq!(step.p2.at(i, j), exact[(i, 6 + j)], epsilon = 1e-11);
                approx::assert_relative_eq!(step.p3.at(i, j), exact[(i, 9 + j)], epsilon = 1e-10);
            }
        }
    }

    #[test]
    fn two_halves_make_a_whole() {
        let a = example();
        let whole = Propagator::of(&a, 8.0);
        let joined = Propagator::of(&a, 3.0).then(&Propagator::of(&a, 5.0));
        for i in 0..3 {
            for j in 0..3 {
                approx::assert_relative_eq!(
                    whole.p3.at(i, j),
                    joined.p3.at(i, j),
                    max_relative = 1e-12,
                    epsilon = 1e-15
                );
                approx::assert_relative_eq!(
                    whole.d.at(i, j),
                    joined.d.at(i, j),
                    max_relative = 1e-12,
                    epsilon = 1e-15
                );
            }
        }
    }
}
