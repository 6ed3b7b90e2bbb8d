//! Dry air: what films of air need to know of it.
//!
//! # Equation
//! `ρ = p / (R T)`; `β = 1/T`; viscosity and conductivity of Sutherland's form
//! `y = y0 (T/T0)^1.5 (T0 + s)/(T + s)`, T0 = 273.15 K; `c_p` a cubic in °C. All by [`DryAir::at`]; derived:
//! `ν = μ/ρ`, `a = k/(ρ c_p)`, `Pr = μ c_p/k`, and `g β/(ν a)`, which times ΔT L³ is the Rayleigh number.
//!
//! # Units
//! ρ kg/m³; p Pa; T kelvin; β 1/K; μ Pa s; k W/(m K); c_p J/(kg K); ν, a m²/s; Pr unitless.
//!
//! # Source
//! R: ASHRAE Handbook Fundamentals. y0, s and the cubic: least-squares fits made for this model to `CoolProp`
//! 8.0.0 (Lemmon and others 2000 and 2004) every 10 K from −20 to 400 °C; largest misfit μ 0.4 %, k 0.9 %,
//! c_p 0.03 %. The textbook constants of Sutherland's formula for μ miss by 2.4 % at 400 °C.
//!
//! # Valid for
//! −20 to 400 °C near atmospheric pressure: room films and a heater that runs dry. Extrapolates beyond.
//!
//! # Left out
//! Humidity: moist air of a room is up to 1 % lighter and more viscous by less; its effect on a film is below 1 %.
//! Real-gas terms: ρ 0.1 %, β 0.4 %.
//!
//! # Checked by
//! `tests/verification/dry_air_table.rs` against `CoolProp`: 5–45 °C and −20–400 °C.

use super::{DRY_AIR_GAS_CONSTANT_J_PER_KG_K, GRAVITY_M_PER_S2, ZERO_CELSIUS_K};

/// Viscosity at 0 °C, Pa s. Fit to `CoolProp`, see the page.
const VISCOSITY_AT_0_C_PA_S: f64 = 1.717_838_34e-5;
/// Sutherland temperature of the viscosity, K. Fit, see the page.
const VISCOSITY_SUTHERLAND_K: f64 = 125.767_381;
/// Conductivity at 0 °C, W/(m K). Fit, see the page.
const CONDUCTIVITY_AT_0_C_W_PER_M_K: f64 = 2.423_449_16e-2;
/// Sutherland temperature of the conductivity, K. Fit, see the page.
const CONDUCTIVITY_SUTHERLAND_K: f64 = 181.931_212;
/// `273.15^-1.5`, K^-1.5: turns `T^1.5` into `(T/T0)^1.5` without a division. Exact to the digits of a double; a test below
/// works it out.
const INVERSE_T0_TO_1_5: f64 = 2.215_124_766_083_301_8e-4;

/// Dry air at one temperature and pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryAir {
    /// Temperature, K.
    pub temp_k: f64,
    /// Density, kg/m³.
    pub density_kg_per_m3: f64,
    /// Specific heat at constant pressure, J/(kg K).
    pub specific_heat_j_per_kg_k: f64,
    /// Thermal conductivity, W/(m K).
    pub conductivity_w_per_m_k: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
}

impl DryAir {
    /// Air at a temperature in °C and a pressure in Pa.
    #[must_use]
    pub fn at(temp_c: f64, pressure_pa: f64) -> Self {
        let t = temp_c + ZERO_CELSIUS_K;
        let ratio_to_1_5 = t * t.sqrt() * INVERSE_T0_TO_1_5;
        Self {
            temp_k: t,
            density_kg_per_m3: pressure_pa / (DRY_AIR_GAS_CONSTANT_J_PER_KG_K * t),
            specific_heat_j_per_kg_k: specific_heat_j_per_kg_k(temp_c),
            conductivity_w_per_m_k: CONDUCTIVITY_AT_0_C_W_PER_M_K
                * ratio_to_1_5
                * ((ZERO_CELSIUS_K + CONDUCTIVITY_SUTHERLAND_K) / (t + CONDUCTIVITY_SUTHERLAND_K)),
            viscosity_pa_s: VISCOSITY_AT_0_C_PA_S
                * ratio_to_1_5
                * ((ZERO_CELSIUS_K + VISCOSITY_SUTHERLAND_K) / (t + VISCOSITY_SUTHERLAND_K)),
        }
    }

    /// Kinematic viscosity, m²/s.
    #[must_use]
    pub fn kinematic_viscosity_m2_per_s(&self) -> f64 {
        self.viscosity_pa_s / self.density_kg_per_m3
    }

    /// Thermal diffusivity, m²/s.
    #[must_use]
    pub fn thermal_diffusivity_m2_per_s(&self) -> f64 {
        self.conductivity_w_per_m_k / (self.density_kg_per_m3 * self.specific_heat_j_per_kg_k)
    }

    /// Prandtl number, unitless.
    #[must_use]
    pub fn prandtl(&self) -> f64 {
        self.viscosity_pa_s * self.specific_heat_j_per_kg_k / self.conductivity_w_per_m_k
    }

    /// Volumetric expansion, 1/K, of an ideal gas.
    #[must_use]
    pub fn expansion_per_k(&self) -> f64 {
        1.0 / self.temp_k
    }

    /// `g β/(ν a)`, 1/(K m³): times a temperature difference in K and a length cubed in m³ the Rayleigh number.
    #[must_use]
    pub fn rayleigh_per_k_m3(&self) -> f64 {
        GRAVITY_M_PER_S2 * self.density_kg_per_m3 * self.density_kg_per_m3 * self.specific_heat_j_per_kg_k
            / (self.temp_k * self.viscosity_pa_s * self.conductivity_w_per_m_k)
    }
}

/// Specific heat of dry air at constant pressure, J/(kg K), at a temperature in °C: fit, see the page.
#[must_use]
pub fn specific_heat_j_per_kg_k(temp_c: f64) -> f64 {
    1_005.718_58 + temp_c * (5.240_376_42e-3 + temp_c * (5.348_602_5e-4 - temp_c * 3.859_654_09e-7))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_stored_power_of_t0_is_what_its_name_says() {
        assert_relative_eq!(
            INVERSE_T0_TO_1_5,
            1.0 / libm::pow(ZERO_CELSIUS_K, 1.5),
            max_relative = 1e-14
        );
    }

    #[test]
    fn the_rayleigh_factor_is_g_beta_over_nu_and_a() {
        let air = DryAir::at(23.0, 90_000.0);
        let by_parts = GRAVITY_M_PER_S2 * air.expansion_per_k()
            / (air.kinematic_viscosity_m2_per_s() * air.thermal_diffusivity_m2_per_s());
        assert_relative_eq!(air.rayleigh_per_k_m3(), by_parts, max_relative = 1e-14);
    }

    #[test]
    fn mountain_air_is_thinner_but_as_viscous() {
        let (sea, mountain) = (DryAir::at(20.0, 101_325.0), DryAir::at(20.0, 80_000.0));
        assert!(mountain.density_kg_per_m3 < sea.density_kg_per_m3);
        assert_eq!(mountain.viscosity_pa_s, sea.viscosity_pa_s);
    }
}
