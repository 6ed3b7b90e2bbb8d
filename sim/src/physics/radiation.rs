//! Radiation between a small grey surface and the large surroundings that enclose it.
//!
//! # Equation
//! `h_r = ε σ (T₁² + T₂²)(T₁ + T₂)` ([`coefficient_w_per_m2_k`]); `q = h_r (T₁ − T₂) = ε σ (T₁⁴ − T₂⁴)`
//! ([`net_flux_w_per_m2`]).
//!
//! # Units
//! q W/m², positive where the surface (1) is warmer than its surroundings (2) and loses heat; h_r W/(m² K);
//! ε emissivity, unitless; T kelvin (arguments in °C).
//!
//! # Source
//! Stefan–Boltzmann law, textbook form for a surface much smaller than its enclosure.
//!
//! # Valid for
//! Any temperature; grey, diffuse surfaces.
//!
//! # Left out
//! View factors: a pane that faces a near cold window loses more. Reflection between tank and stand.
//!
//! # Checked by
//! `tests/verification/radiation_table.rs` against the closed form at 40 digits: 1e-12 relative.

use super::ZERO_CELSIUS_K;

/// Stefan–Boltzmann constant, W/(m² K⁴). CODATA by `scipy` 1.17.1, exact to the digits shown.
pub const STEFAN_BOLTZMANN_W_PER_M2_K4: f64 = 5.670_374_419e-8;

/// Emissivity of a water surface, unitless. Textbooks give 0.95 to 0.96 (from memory); a thermal camera's table 0.96 for
/// distilled water, a public model of a solar still 0.95. Valid for the long waves of room temperatures, looked at from
/// all sides.
pub const WATER_EMISSIVITY: f64 = 0.95;

/// Emissivity of panes, lids and heater tubes, unitless. An assumption in the middle of what is printed for glass: 0.84 to
/// 0.95 in textbooks (from memory), 0.80 to 0.94 in a thermal camera's table. Acrylic: the same, from memory. Valid for bare
/// glass and plastic, not for polished metal.
pub const PANE_EMISSIVITY: f64 = 0.9;

/// Radiative film coefficient, W/(m² K), between two temperatures in °C.
#[must_use]
pub fn coefficient_w_per_m2_k(emissivity: f64, surface_c: f64, surroundings_c: f64) -> f64 {
    let (a, b) = (surface_c + ZERO_CELSIUS_K, surroundings_c + ZERO_CELSIUS_K);
    emissivity * STEFAN_BOLTZMANN_W_PER_M2_K4 * (a * a + b * b) * (a + b)
}

/// Net flux out of the surface, W/m², temperatures in °C.
#[must_use]
pub fn net_flux_w_per_m2(emissivity: f64, surface_c: f64, surroundings_c: f64) -> f64 {
    coefficient_w_per_m2_k(emissivity, surface_c, surroundings_c) * (surface_c - surroundings_c)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_warmer_surface_loses_heat() {
        assert!(net_flux_w_per_m2(0.9, 25.0, 20.0) > 0.0);
        assert!(net_flux_w_per_m2(0.9, 15.0, 20.0) < 0.0);
        assert_eq!(net_flux_w_per_m2(0.9, 20.0, 20.0), 0.0);
    }
}
