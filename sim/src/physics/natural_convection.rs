//! Natural convection: Nusselt numbers of faces that warm or cool still fluid.
//!
//! # Equation
//! Vertical plate and horizontal cylinder, all Rayleigh numbers ([`ChurchillChu`]):
//! `Nu = {b + 0.387 Ra^(1/6) / [1 + (c/Pr)^(9/16)]^(8/27)}²`, b = 0.825, c = 0.492 (plate); b = 0.60, c = 0.559 (cylinder).
//! Horizontal plate, warm face up or cool face down ([`warm_face_up`]): `Nu = 0.54 Ra^¼` to Ra 10⁷, `0.15 Ra^⅓` above.
//! Warm face down or cool face up ([`warm_face_down`]): `Nu = 0.52 Ra^⅕`.
//!
//! # Units
//! All unitless. `Ra = g β |ΔT| L³/(ν a)`, properties at film temperature; L: wetted height of a side, diameter of a
//! cylinder, area over perimeter of a horizontal face. `h = Nu k/L`.
//!
//! # Source
//! Churchill and Chu 1975, International Journal of Heat and Mass Transfer 18 (plate: 1323, cylinder: 1049).
//! Warm face up: McAdams as printed in heat transfer textbooks and in `ht` 1.2.0. Warm face down: Incropera and others,
//! equation 9.32 (Pr ≥ 0.7), as read in public code that cites it; that it goes back to Radziemska and Lewandowski 2001
//! is from memory. Area over perimeter as the length: the same textbook.
//!
//! # Valid for
//! Plate to Ra 10¹², cylinder to 10¹², warm face up 10⁴–10¹¹, warm face down 10⁴–10⁹ (tanks: 10⁵–10⁹). Extrapolates
//! down to Ra = 0, where plate and cylinder keep their finite value and the horizontal faces go to zero.
//!
//! # Left out
//! Draughts and neighbouring walls. Published forms for a warm face up differ by up to 91 %; for a warm face down
//! McAdams' `0.27 Ra^¼` lies 8 % below at Ra 10⁵ and 46 % above at 10⁹; at Ra = 10⁷ the two branches of the
//! former differ by 6 %, a small step that is kept.
//!
//! # Checked by
//! `tests/verification/natural_convection_table.rs` against `ht`: 1e-9 relative for the named functions. No worked
//! number for `0.52 Ra^⅕` was found: the warm face down lies no farther from a newer form (Nellis and Klein 2021) than
//! McAdams' does, 1 to 24 % above the newer one.

/// A correlation of Churchill and Chu at one Prandtl number: its powers of Pr are worked out once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChurchillChu {
    /// Nusselt number's root at Ra = 0.
    at_rest: f64,
    /// Factor of the sixth root of Ra.
    per_sixth_root: f64,
}

impl ChurchillChu {
    /// Vertical plate; the length is its height.
    #[must_use]
    pub fn vertical_plate(prandtl: f64) -> Self {
        Self::new(0.825, 0.492, prandtl)
    }

    /// Horizontal cylinder; the length is its diameter.
    #[must_use]
    pub fn horizontal_cylinder(prandtl: f64) -> Self {
        Self::new(0.60, 0.559, prandtl)
    }

    fn new(at_rest: f64, pivot: f64, prandtl: f64) -> Self {
        let blend = 1.0 + libm::pow(pivot / prandtl, 9.0 / 16.0);
        Self {
            at_rest,
            per_sixth_root: 0.387 / libm::pow(blend, 8.0 / 27.0),
        }
    }

    /// Nusselt number at a Rayleigh number ≥ 0.
    #[must_use]
    pub fn nusselt(&self, rayleigh: f64) -> f64 {
        let root = self.at_rest + self.per_sixth_root * libm::cbrt(rayleigh.sqrt());
        root * root
    }
}

/// Rayleigh number above which the flow over a warm face up is turbulent, unitless. Source: McAdams, as `ht` 1.2.0 has it.
const TURBULENT_ABOVE: f64 = 1e7;

/// Nusselt number of a warm face up or a cool face down, at a Rayleigh number ≥ 0.
#[must_use]
pub fn warm_face_up(rayleigh: f64) -> f64 {
    if rayleigh <= TURBULENT_ABOVE {
        0.54 * rayleigh.sqrt().sqrt()
    } else {
        0.15 * libm::cbrt(rayleigh)
    }
}

/// Nusselt number of a warm face down or a cool face up, at a Rayleigh number ≥ 0.
#[must_use]
pub fn warm_face_down(rayleigh: f64) -> f64 {
    0.52 * libm::exp(0.2 * libm::log(rayleigh))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_temperature_difference_gives_a_finite_number() {
        assert_eq!(ChurchillChu::vertical_plate(0.71).nusselt(0.0), 0.825 * 0.825);
        assert_eq!(warm_face_up(0.0), 0.0);
        assert_eq!(warm_face_down(0.0), 0.0);
    }

    #[test]
    fn the_warm_face_down_is_right_where_it_can_be_worked_by_hand() {
        // The fifth root of 1e5 is 10.
        assert!((warm_face_down(1e5) - 5.2).abs() < 1e-9);
    }

    #[test]
    fn air_trapped_under_a_warm_face_carries_less_than_air_above_it() {
        for rayleigh in [1e5, 1e6, 1e7, 1e8, 1e9] {
            assert!(warm_face_down(rayleigh) < warm_face_up(rayleigh));
        }
    }
}
