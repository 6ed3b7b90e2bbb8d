//! Fresh and salt water: density, specific heat, and what a heater's film needs to know.
//!
//! # Equation
//! Density: the 1980 equation of state at atmospheric pressure, `ρ = ρ_w(t) + A(t) S + B(t) S^1.5 + C S²`
//! ([`density_kg_per_m3`]); specific heat `c_p = c_0(t) + A(t) S + B(t) S^1.5` ([`specific_heat_j_per_kg_k`]);
//! polynomials in t. Viscosity and conductivity `Σ a_i (T/300 K)^b_i` ([`viscosity_pa_s`],
//! [`conductivity_w_per_m_k`]); expansion `β = −ρ'(t)/ρ` ([`expansion_per_k`]).
//! Specific gravity: the S for which `ρ(S, t)/ρ(0, t_ref)` is the reading
//! ([`absolute_salinity_from_specific_gravity`]).
//!
//! # Units
//! ρ kg/m³; c_p J/(kg K); t °C (ITS-90 in arguments, t68 = 1.00024 t inside); T kelvin; S practical salinity inside,
//! absolute salinity in g/kg (35.16504 g/kg = practical 35) in arguments; μ Pa s; k W/(m K); β 1/K.
//!
//! # Source
//! Density and specific heat: UNESCO Technical Papers in Marine Science 44 (1983), after Millero and Poisson 1981 and
//! Millero, Perron and Desnoyers 1973; coefficients as in the public library `seawater` 3.3.5 (7.643575 as in the
//! paper's own Fortran, where that library rounds), held against published check values and TEOS-10.
//! Viscosity and conductivity: IAPWS SR6-08, liquid water at 0.1 MPa (Pátek and others 2009), held against IAPWS-95's
//! tables. Viscosity as in `iapws` 1.5.5; conductivity of a later edition, coefficients from memory, 0.1 to 0.5 % above that library's
//! at 10 to 60 °C.
//!
//! # Valid for
//! 0–40 °C, 0–42 g/kg; extrapolates smoothly to the 60 °C of a heater's film. Viscosity, conductivity and expansion
//! are those of fresh water.
//!
//! # Left out
//! Pressure (a metre of water: 4e-6 of ρ). Salt in viscosity (+8 %), conductivity (−1 %) and expansion (+16 %):
//! together 2 % of a heater's film; from memory.
//!
//! # Checked by
//! `tests/verification/unesco_check.rs` (published values to their last digit), `seawater_table.rs` (TEOS-10: ρ 1e-5,
//! c_p 1.2e-3), `fresh_water_table.rs` (IAPWS-95).

use super::ZERO_CELSIUS_K;

/// Absolute salinity of practical salinity 35, g/kg. TEOS-10 reference composition, by `gsw` 3.6.23 (source).
/// Valid for water of the ocean's composition.
const ABSOLUTE_AT_PRACTICAL_35_G_PER_KG: f64 = 35.165_04;
/// Temperature on the scale of 1968 over that on the scale of 1990, unitless. Saunders 1990, as `seawater` 3.3.5 has it.
/// Valid −2 to 40 °C, from memory.
pub(super) const T68_PER_T90: f64 = 1.000_24;
/// Upper end of the search for a salinity, g/kg. A choice: far beyond any tank, where the density is still rising.
const SALTIEST_G_PER_KG: f64 = 60.0;
/// Bisections of that search. A choice: 60 g/kg halved 50 times is below the rounding of a salinity.
const HALVINGS: u32 = 50;
/// Temperature that viscosity and conductivity are reduced by, K. Exact, part of SR6-08.
const REDUCING_K: f64 = 300.0;

/// Density at atmospheric pressure, kg/m³, of absolute salinity in g/kg and temperature in °C.
///
/// ```
/// // UNESCO 44 (1983), page 19: practical salinity 35 at 25 °C (IPTS-68) is 1023.34306 kg/m³
/// let density = tepid_sim::physics::water::density_kg_per_m3(35.16504, 25.0 / 1.00024);
/// assert!((density - 1023.34306).abs() < 1e-5);
/// ```
#[must_use]
pub fn density_kg_per_m3(salinity_g_per_kg: f64, temp_c: f64) -> f64 {
    let (s, t) = (practical_salinity(salinity_g_per_kg), temp_c * T68_PER_T90);
    let fresh = 999.842_594
        + t * (6.793_952e-2
            + t * (-9.095_290e-3 + t * (1.001_685e-4 + t * (-1.120_083e-6 + t * 6.536_332e-9))));
    let a = 0.824_493 + t * (-4.089_9e-3 + t * (7.643_8e-5 + t * (-8.246_7e-7 + t * 5.387_5e-9)));
    let b = -5.724_66e-3 + t * (1.022_7e-4 - t * 1.654_6e-6);
    fresh + s * (a + b * s.sqrt() + 4.831_4e-4 * s)
}

/// Specific heat at constant pressure, J/(kg K), of absolute salinity in g/kg and temperature in °C.
#[must_use]
pub fn specific_heat_j_per_kg_k(salinity_g_per_kg: f64, temp_c: f64) -> f64 {
    let (s, t) = (practical_salinity(salinity_g_per_kg), temp_c * T68_PER_T90);
    let fresh = 4217.4 + t * (-3.720_283 + t * (0.141_285_5 + t * (-2.654_387e-3 + t * 2.093_236e-5)));
    let a = -7.643_575 + t * (0.107_276_3 - t * 1.383_85e-3);
    let b = 0.177_038_3 + t * (-4.077_18e-3 + t * 5.148e-5);
    fresh + s * (a + b * s.sqrt())
}

/// Practical salinity, unitless, of absolute salinity in g/kg (reference composition).
#[must_use]
pub fn practical_salinity(absolute_g_per_kg: f64) -> f64 {
    absolute_g_per_kg * (35.0 / ABSOLUTE_AT_PRACTICAL_35_G_PER_KG)
}

/// Absolute salinity, g/kg, of practical salinity (reference composition).
#[must_use]
pub fn absolute_salinity_g_per_kg(practical: f64) -> f64 {
    practical * (ABSOLUTE_AT_PRACTICAL_35_G_PER_KG / 35.0)
}

/// Absolute salinity, g/kg, from a specific gravity: density of the sample at its temperature over that of fresh
/// water at the reference temperature, both °C. `None` where no salinity from 0 to 60 g/kg has that reading.
#[must_use]
pub fn absolute_salinity_from_specific_gravity(
    specific_gravity: f64,
    sample_temp_c: f64,
    reference_temp_c: f64,
) -> Option<f64> {
    let wanted = specific_gravity * density_kg_per_m3(0.0, reference_temp_c);
    let (mut low, mut high) = (0.0, SALTIEST_G_PER_KG);
    let reachable = density_kg_per_m3(low, sample_temp_c)..=density_kg_per_m3(high, sample_temp_c);
    if !reachable.contains(&wanted) {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if density_kg_per_m3(middle, sample_temp_c) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
}

/// Dynamic viscosity of fresh water, Pa s, at a temperature in °C.
#[must_use]
pub fn viscosity_pa_s(temp_c: f64) -> f64 {
    1e-6 * power_sum(
        temp_c,
        [(280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.459_03, -40.0)],
    )
}

/// Thermal conductivity of fresh water, W/(m K), at a temperature in °C.
#[must_use]
pub fn conductivity_w_per_m_k(temp_c: f64) -> f64 {
    power_sum(
        temp_c,
        [
            (0.802_01, -0.32),
            (-0.259_92, -5.7),
            (0.100_24, -12.0),
            (-0.032_005, -15.0),
        ],
    )
}

/// Volumetric expansion of fresh water, 1/K, at a temperature in °C; negative below 4 °C.
#[must_use]
pub fn expansion_per_k(temp_c: f64) -> f64 {
    let t = temp_c * T68_PER_T90;
    let slope = 6.793_952e-2
        + t * (2.0 * -9.095_290e-3
            + t * (3.0 * 1.001_685e-4 + t * (4.0 * -1.120_083e-6 + t * (5.0 * 6.536_332e-9))));
    -slope * T68_PER_T90 / density_kg_per_m3(0.0, temp_c)
}

/// `Σ a (T/300 K)^b`.
fn power_sum(temp_c: f64, terms: [(f64, f64); 4]) -> f64 {
    let reduced = (temp_c + ZERO_CELSIUS_K) / REDUCING_K;
    terms
        .iter()
        .map(|(factor, exponent)| factor * libm::pow(reduced, *exponent))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn salt_makes_water_denser_and_easier_to_warm() {
        assert!(density_kg_per_m3(35.0, 25.0) > density_kg_per_m3(0.0, 25.0));
        assert!(specific_heat_j_per_kg_k(35.0, 25.0) < specific_heat_j_per_kg_k(0.0, 25.0));
    }

    #[test]
    fn a_specific_gravity_gives_back_the_salinity_it_was_made_of() {
        let gravity = density_kg_per_m3(34.5, 27.0) / density_kg_per_m3(0.0, 20.0);
        let salinity = absolute_salinity_from_specific_gravity(gravity, 27.0, 20.0).unwrap();
        assert_relative_eq!(salinity, 34.5, max_relative = 1e-12);
    }

    #[test]
    fn fresh_water_has_specific_gravity_one_and_lighter_liquids_have_no_salinity() {
        let salinity = absolute_salinity_from_specific_gravity(1.0, 25.0, 25.0).unwrap();
        assert!(salinity.abs() < 1e-10);
        assert_eq!(absolute_salinity_from_specific_gravity(0.99, 25.0, 25.0), None);
        assert_eq!(absolute_salinity_from_specific_gravity(1.2, 25.0, 25.0), None);
    }

    #[test]
    fn expansion_is_the_slope_of_density() {
        let difference = density_kg_per_m3(0.0, 24.99) - density_kg_per_m3(0.0, 25.01);
        assert_relative_eq!(
            expansion_per_k(25.0),
            difference / 0.02 / density_kg_per_m3(0.0, 25.0),
            max_relative = 1e-6
        );
    }
}
