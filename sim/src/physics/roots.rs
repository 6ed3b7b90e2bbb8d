//! Cube and fifth roots, quick and the same on every machine.
//!
//! # Equation
//! A first guess from the bits of x, then twice Halley's step for `y^n = x`:
//! `y ← y [(n − 1) y^n + (n + 1) x] / [(n + 1) y^n + (n − 1) x]` ([`cube_root`], [`fifth_root`]).
//!
//! # Units
//! None.
//!
//! # Source
//! Halley's method, textbook. The bits of a double read as an integer are its binary logarithm but for a deviation of
//! 0 to 0.086, 0.043 in the middle.
//!
//! # Valid for
//! x ≥ 0 that is not subnormal, or 0. Additions, multiplications and divisions alone, so the bits do not depend on the
//! machine; a correctly rounded cube root takes three times as long, and films are most of a run's work.
//!
//! # Left out
//! The last digits: the guess is within 4 %, one step leaves 1e-4, two leave less than 1e-11.
//!
//! # Checked by
//! Tests in this file against `libm`.

/// Cube root of a number ≥ 0, relative error below 1e-12.
#[must_use]
pub fn cube_root(x: f64) -> f64 {
    halley(x, 3, |y| y * y * y)
}

/// Fifth root of a number ≥ 0, relative error below 1e-11.
#[must_use]
pub fn fifth_root(x: f64) -> f64 {
    halley(x, 5, |y| y * y * y * y * y)
}

/// Bits of 1.0 less the middle deviation of 0.043: what a logarithm of zero looks like.
const ZERO_OF_LOGARITHM: u64 = 0x3FF0_0000_0000_0000 - 0x0000_B020_C49B_A5E3;

#[inline]
fn halley(x: f64, n: u32, power: impl Fn(f64) -> f64) -> f64 {
    if x < f64::MIN_POSITIVE {
        return 0.0;
    }
    let degree = f64::from(n);
    let guess = x.to_bits() / u64::from(n) + ZERO_OF_LOGARITHM / u64::from(n) * u64::from(n - 1);
    let step = |y: f64| {
        let raised = power(y);
        y * (((degree - 1.0) * raised + (degree + 1.0) * x) / ((degree + 1.0) * raised + (degree - 1.0) * x))
    };
    step(step(f64::from_bits(guess)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers from 1e-30 to 1e30, 997 to a decade's e-fold.
    fn numbers() -> impl Iterator<Item = f64> {
        (-69_000..69_000).map(|step| libm::exp(f64::from(step) / 997.0))
    }

    #[test]
    fn cube_roots_agree_with_the_library() {
        for x in numbers() {
            assert!((cube_root(x) / libm::cbrt(x) - 1.0).abs() < 1e-12, "{x}");
        }
    }

    #[test]
    fn fifth_roots_agree_with_the_library() {
        for x in numbers() {
            assert!((fifth_root(x) / libm::pow(x, 0.2) - 1.0).abs() < 1e-11, "{x}");
        }
    }

    #[test]
    fn the_root_of_nothing_is_nothing() {
        assert_eq!((cube_root(0.0), fifth_root(0.0)), (0.0, 0.0));
    }
}
