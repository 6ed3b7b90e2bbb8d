//! Forced convection: Nusselt numbers of flow along a plate and across a cylinder.
//!
//! # Equation
//! Plate, mean over its length: laminar `0.664 Re^½ Pr^⅓` ([`plate_laminar`]), turbulent from the edge on
//! `0.037 Re^0.8 Pr^⅓` ([`plate_turbulent`]); [`plate_tripped`] is the larger of both.
//! Cylinder ([`cylinder`]): `Nu = 0.3 + 0.62 Re^½ Pr^⅓ [1 + (0.4/Pr)^⅔]^(−¼) [1 + (Re/282000)^⅝]^⅘`.
//!
//! # Units
//! All unitless. `Re = u L/ν`: L the plate's length along the flow, or the diameter.
//!
//! # Source
//! Plate: boundary layer solution of Blasius and Pohlhausen; turbulent: Incropera and others, section 7.2, whose mixed form
//! `(0.037 Re^0.8 − 871) Pr^⅓` it is without a laminar start, as read in public code that cites it (0.036 is printed too).
//! Cylinder: Churchill and Bernstein 1977, Journal of Heat Transfer 99, 300.
//!
//! # Valid for
//! Plate Pr 0.6–60; the larger of both from Re 1.5e4 on is the turbulent one, because a fan's jet is turbulent and
//! the tank's rim trips it. Cylinder Re Pr > 0.2.
//!
//! # Left out
//! A laminar start of the boundary layer; the shape of the jet; the free-stream's turbulence beyond tripping.
//! Another textbook form for the turbulent plate (with Pr in a denominator) gives 9–13 % less in air.
//!
//! # Checked by
//! `tests/verification/forced_convection_table.rs` against `ht`: laminar plate and cylinder 1e-9 relative, the turbulent
//! plate's form 1e-9 with its constant 2.8 % above the table's.

/// Mean Nusselt number of a laminar boundary layer along a plate.
#[must_use]
pub fn plate_laminar(reynolds: f64, prandtl: f64) -> f64 {
    0.664 * reynolds.sqrt() * libm::cbrt(prandtl)
}

/// Mean Nusselt number of a boundary layer that is turbulent from the plate's edge on.
#[must_use]
pub fn plate_turbulent(reynolds: f64, prandtl: f64) -> f64 {
    0.037 * libm::exp(0.8 * libm::log(reynolds)) * libm::cbrt(prandtl)
}

/// Mean Nusselt number under a fan: the larger of laminar and turbulent.
#[must_use]
pub fn plate_tripped(reynolds: f64, prandtl: f64) -> f64 {
    plate_laminar(reynolds, prandtl).max(plate_turbulent(reynolds, prandtl))
}

/// Nusselt number of a cylinder in cross-flow.
#[must_use]
pub fn cylinder(reynolds: f64, prandtl: f64) -> f64 {
    let blend = libm::pow(1.0 + libm::pow(0.4 / prandtl, 2.0 / 3.0), 0.25);
    let turbulence = libm::pow(1.0 + libm::pow(reynolds / 282_000.0, 0.625), 0.8);
    0.3 + 0.62 * reynolds.sqrt() * libm::cbrt(prandtl) / blend * turbulence
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn still_air_over_a_plate_carries_nothing() {
        assert_eq!(plate_tripped(0.0, 0.71), 0.0);
    }

    #[test]
    fn a_long_fast_plate_is_turbulent_and_a_short_slow_one_laminar() {
        assert_eq!(plate_tripped(1e3, 0.71), plate_laminar(1e3, 0.71));
        assert_eq!(plate_tripped(1e5, 0.71), plate_turbulent(1e5, 0.71));
    }
}
