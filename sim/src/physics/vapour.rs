//! Saturated water vapour: its pressure, its latent heat, and what salt takes off it.
//!
//! # Equation
//! `ln p_sat = c1/T + c2 + c3 T + c4 T² + c5 T³ + c6 ln T` ([`saturation_pressure_pa`]);
//! `h_fg = 2.501e6 − 2361 t` ([`latent_heat_j_per_kg`]); `a_w = 1 − 0.000537 S` ([`water_activity`]).
//!
//! # Units
//! p_sat Pa over liquid water; T kelvin, t °C; h_fg J/kg; S absolute salinity, g/kg; a_w unitless, multiplies p_sat.
//!
//! # Source
//! p_sat: Hyland and Wexler 1983 as printed in ASHRAE Handbook Fundamentals 2017, SI chapter 1.
//! Its coefficients stand so in `psychrolib` 2.5.0. h_fg: straight line after Harrison 1963, as public programs of
//! evapotranspiration cite it (2.501 − 0.002361 t in MJ/kg). a_w: a line laid through TEOS-10 for this model.
//!
//! # Valid for
//! p_sat 0–200 °C; below 0 °C it is the pressure over supercooled water, not over ice. h_fg 0–45 °C.
//! a_w 0–42 g/kg. Nothing is clamped.
//!
//! # Left out
//! Enhancement of the vapour pressure by air (0.5 %), ice, the salt's small effect on h_fg (0.14 %).
//!
//! # Checked by
//! `tests/verification/air_table.rs` (p_sat, 1e-9 relative), `fresh_water_table.rs` (p_sat 2.3e-4, h_fg 3.2e-4
//! against IAPWS-95), `seawater_table.rs` (h_fg 1.6e-3), `seawater_vapour_pressure.rs` (a_w 3.3e-4).

use super::ZERO_CELSIUS_K;

/// Saturation pressure of water vapour over liquid water, Pa, at a temperature in °C.
///
/// ```
/// // ASHRAE Handbook Fundamentals 2017, SI, as `psychrolib` evaluates it at 20 °C: 2338.80 Pa
/// let pressure_pa = tepid_sim::physics::vapour::saturation_pressure_pa(20.0);
/// assert!((pressure_pa - 2338.80).abs() < 0.01);
/// ```
#[must_use]
pub fn saturation_pressure_pa(temp_c: f64) -> f64 {
    let t = temp_c + ZERO_CELSIUS_K;
    let polynomial = 1.391_499_3 + t * (-4.864_023_9e-2 + t * (4.176_476_8e-5 - t * 1.445_209_3e-8));
    libm::exp(-5.800_220_6e3 / t + polynomial + 6.545_967_3 * libm::log(t))
}

/// Latent heat of evaporation of water, J/kg, at a temperature in °C: Harrison's line, see the page.
#[must_use]
pub fn latent_heat_j_per_kg(temp_c: f64) -> f64 {
    2.501e6 - 2361.0 * temp_c
}

/// Vapour pressure over salt water relative to fresh water, unitless, at an absolute salinity in g/kg: fit, see the page.
#[must_use]
pub fn water_activity(salinity_g_per_kg: f64) -> f64 {
    1.0 - 0.000_537 * salinity_g_per_kg
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn salt_water_evaporates_less_than_fresh_water() {
        assert_eq!(water_activity(0.0), 1.0);
        assert!(water_activity(35.0) < 1.0);
    }

    #[test]
    fn the_normal_boiling_point_is_near_100_c() {
        // At 1 atm water boils at 99.974 °C on ITS-90; 3.6 kPa/K there.
        assert!((saturation_pressure_pa(99.974) - 101_325.0).abs() < 40.0);
    }
}
