//! Oxygen in water: how much it holds, how fast it takes it up, how much animals need.
//!
//! # Equation
//! ```text
//! ln C* = A₀ + A₁ t + … + A₅ t⁵ + S (B₀ + B₁ t + B₂ t² + B₃ t³) + C₀ S²,   t = ln((298.15 − T₆₈)/(273.15 + T₆₈))
//! C_sat = C* ρ M (p − p_v)/(p₀ − p_v)                       ([`saturation_mg_per_l`])
//! k(T)  = k₂₀ 1.024^(T − 20)                                 ([`transfer_factor`])
//! d(T)  = d_ref Q10^((T − T_ref)/10)                         ([`demand_factor`])
//! ```
//!
//! # Units
//! C* µmol/kg, C_sat mg/L; T °C (ITS-90; T₆₈ = 1.00024 T); S practical salinity inside, absolute salinity in g/kg in arguments; ρ kg/m³; M g/mol; p, p_v Pa;
//! the factors have no unit.
//!
//! # Source
//! C*: H. E. Garcia, L. I. Gordon, Limnol. Oceanogr. 37 (1992) 1307–1312, equation 8 with the coefficients fitted to the data of Benson and
//! Krause 1984; coefficients as in public code for it. Pressure: Benson and Krause 1984, without their third factor (1e-5 here).
//! 1.024 per kelvin: as public models of rivers and ponds have it (after Elmore and West 1961, from memory). Q10: by its definition.
//!
//! # Valid for
//! 0–40 °C, 0–42 g/kg, water in balance with air saturated with moisture near 1 atm.
//!
//! # Left out
//! Bubbles that are under pressure; what a stressed or fed animal needs more; animals that need less as oxygen gets scarce.
//!
//! # Checked by
//! `tests/verification/oxygen_saturation.rs`: the published check value to its last digit, TEOS-10's `gsw`, and the equation of Benson and
//! Krause in its own form.

use super::vapour::{saturation_pressure_pa, water_activity};
use super::water::{T68_PER_T90, density_kg_per_m3, practical_salinity};
use super::{STANDARD_PRESSURE_PA, ZERO_CELSIUS_K};

/// Molar mass of O₂, g/mol. Twice IUPAC's 15.999, as public programs of chemistry have it (source).
const MOLAR_MASS_G_PER_MOL: f64 = 31.998;
/// Rise of a transfer coefficient per kelvin, unitless. Source: public programs of rivers and ponds, see the page.
const TRANSFER_PER_K: f64 = 1.024;
/// The temperature at which transfer coefficients are stated, °C. A convention.
pub const TRANSFER_STATED_AT_C: f64 = 20.0;

/// Oxygen in water in balance with moist air at 1 atm, µmol/kg, of absolute salinity in g/kg and temperature in °C.
///
/// ```
/// // Garcia and Gordon 1992: practical salinity 35 at 10 °C (IPTS-68) holds 274.610 µmol/kg
/// let held = tepid_sim::physics::oxygen::saturation_umol_per_kg(35.16504, 10.0 / 1.00024);
/// assert!((held - 274.610).abs() < 5e-4);
/// ```
#[must_use]
pub fn saturation_umol_per_kg(salinity_g_per_kg: f64, temp_c: f64) -> f64 {
    let s = practical_salinity(salinity_g_per_kg);
    let temp68_c = temp_c * T68_PER_T90;
    let t = libm::log((298.15 - temp68_c) / (ZERO_CELSIUS_K + temp68_c));
    let fresh =
        5.808_71 + t * (3.202_91 + t * (4.178_87 + t * (5.100_06 + t * (-9.866_43e-2 + t * 3.803_69))));
    let salt = -7.015_77e-3 + t * (-7.700_28e-3 + t * (-1.138_64e-2 - t * 9.515_19e-3));
    libm::exp(fresh + s * (salt - 2.759_15e-7 * s))
}

/// Oxygen in water in balance with moist air, mg/L, of absolute salinity in g/kg, temperature in °C and air pressure in Pa.
#[must_use]
pub fn saturation_mg_per_l(salinity_g_per_kg: f64, temp_c: f64, pressure_pa: f64) -> f64 {
    // µmol/kg × kg/m³ × g/mol = µg/m³; 1e6 µg/m³ are 1 mg/L.
    let at_1_atm = saturation_umol_per_kg(salinity_g_per_kg, temp_c)
        * density_kg_per_m3(salinity_g_per_kg, temp_c)
        * MOLAR_MASS_G_PER_MOL
        * 1e-6;
    if pressure_pa == STANDARD_PRESSURE_PA {
        return at_1_atm;
    }
    let vapour_pa = saturation_pressure_pa(temp_c) * water_activity(salinity_g_per_kg);
    at_1_atm * (pressure_pa - vapour_pa) / (STANDARD_PRESSURE_PA - vapour_pa)
}

/// A transfer coefficient at a temperature, °C, over the one stated at 20 °C.
#[must_use]
pub fn transfer_factor(temp_c: f64) -> f64 {
    libm::pow(TRANSFER_PER_K, temp_c - TRANSFER_STATED_AT_C)
}

/// The demand of animals at a temperature, °C, over the one at `stated_at_c`, where it rises `q10`-fold per 10 K.
#[must_use]
pub fn demand_factor(q10: f64, stated_at_c: f64, temp_c: f64) -> f64 {
    libm::pow(q10, (temp_c - stated_at_c) / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn warm_and_salt_water_hold_less_oxygen() {
        let held = |salinity, temp_c| saturation_mg_per_l(salinity, temp_c, STANDARD_PRESSURE_PA);
        assert!(held(0.0, 30.0) < held(0.0, 20.0));
        assert!(held(35.0, 25.0) < held(0.0, 25.0));
    }

    #[test]
    fn thin_air_leaves_less_oxygen_in_the_water() {
        let low = saturation_mg_per_l(0.0, 25.0, 0.8 * STANDARD_PRESSURE_PA);
        let high = saturation_mg_per_l(0.0, 25.0, STANDARD_PRESSURE_PA);
        // Of the dry air alone: (0.8 − 0.0313)/(1 − 0.0313) with 3169 Pa of vapour.
        assert_relative_eq!(low / high, 0.7935, epsilon = 1e-3);
    }

    #[test]
    fn ten_kelvin_make_the_demand_q10_times_as_large() {
        assert_relative_eq!(demand_factor(2.0, 25.0, 35.0), 2.0);
        assert_relative_eq!(demand_factor(2.0, 25.0, 15.0), 0.5);
        assert_relative_eq!(demand_factor(2.0, 25.0, 25.0), 1.0);
    }
}
