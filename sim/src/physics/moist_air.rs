//! Moist air: humidity in its several forms, density, wet bulb and dew point.
//!
//! # Equation
//! `W = ε p_v/(p − p_v)` ([`humidity_ratio`]); `ρ_dry = (p − p_v)/(R_a T)`, kg of dry air in a cubic metre of moist
//! air ([`dry_air_density_kg_per_m3`]); `ρ_moist = ρ_dry (1 + W)` ([`moist_air_density_kg_per_m3`]);
//! wet bulb t*: `W = [(2501 − 2.326 t*) W_s(t*) − 1.006 (t − t*)] / (2501 + 1.86 t − 4.186 t*)` ([`wet_bulb_c`]);
//! dew point: `p_sat(t_d) = p_v` ([`dew_point_c`]).
//!
//! # Units
//! p, p_v Pa; W kg of vapour per kg of dry air; ε = 0.621945; ρ kg/m³; t °C, T kelvin; relative humidity a fraction.
//!
//! # Source
//! ASHRAE Handbook Fundamentals 2017, SI chapter 1; the numbers of its wet bulb relation (kJ/kg, kJ/(kg K)) stand so in
//! `psychrolib` 2.5.0.
//!
//! # Valid for
//! 0–60 °C at pressures of inhabited places. Vapour pressure below that of saturation is the caller's business.
//!
//! # Left out
//! Ice: wet bulbs and dew points below 0 °C are over supercooled water. Real-gas effects: 0.5 % of W.
//!
//! # Checked by
//! `tests/verification/air_table.rs` against `psychrolib`: p_v, W, volumes, density 1e-6 relative; wet bulb and
//! dew point above 0 °C within 0.001 K.

use super::vapour::saturation_pressure_pa;
use super::{DRY_AIR_GAS_CONSTANT_J_PER_KG_K, VAPOUR_TO_AIR_MASS_RATIO, ZERO_CELSIUS_K};
use crate::bisection::rising_root;

/// State of the air outside a tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Temperature, °C.
    pub temp_c: f64,
    /// Partial pressure of water vapour, Pa.
    pub vapour_pressure_pa: f64,
    /// Total pressure, Pa.
    pub pressure_pa: f64,
}

impl Air {
    /// The air a share of the way to another, in a straight line.
    #[must_use]
    pub fn towards(self, other: Self, share: f64) -> Self {
        Self {
            temp_c: self.temp_c + (other.temp_c - self.temp_c) * share,
            vapour_pressure_pa: self.vapour_pressure_pa
                + (other.vapour_pressure_pa - self.vapour_pressure_pa) * share,
            pressure_pa: self.pressure_pa,
        }
    }

    /// Air of a temperature in °C and a relative humidity as a fraction, at a pressure in Pa.
    #[must_use]
    pub fn from_relative_humidity(temp_c: f64, relative_humidity_frac: f64, pressure_pa: f64) -> Self {
        Self {
            temp_c,
            vapour_pressure_pa: relative_humidity_frac * saturation_pressure_pa(temp_c),
            pressure_pa,
        }
    }

    /// Air of a temperature in °C and a humidity ratio in kg/kg, at a pressure in Pa.
    #[must_use]
    pub fn from_humidity_ratio(temp_c: f64, humidity_ratio: f64, pressure_pa: f64) -> Self {
        Self {
            temp_c,
            vapour_pressure_pa: vapour_pressure_pa(humidity_ratio, pressure_pa),
            pressure_pa,
        }
    }

    /// Relative humidity, 0..=1 for air that is not oversaturated.
    #[must_use]
    pub fn relative_humidity_frac(self) -> f64 {
        self.vapour_pressure_pa / saturation_pressure_pa(self.temp_c)
    }

    /// Humidity ratio, kg of vapour per kg of dry air.
    #[must_use]
    pub fn humidity_ratio(self) -> f64 {
        humidity_ratio(self.vapour_pressure_pa, self.pressure_pa)
    }
}

/// Humidity ratio, kg/kg, of a vapour pressure and a total pressure, both Pa.
#[must_use]
pub fn humidity_ratio(vapour_pressure_pa: f64, pressure_pa: f64) -> f64 {
    VAPOUR_TO_AIR_MASS_RATIO * vapour_pressure_pa / (pressure_pa - vapour_pressure_pa)
}

/// Vapour pressure, Pa, of a humidity ratio in kg/kg at a total pressure in Pa: the inverse of [`humidity_ratio`].
#[must_use]
pub fn vapour_pressure_pa(humidity_ratio: f64, pressure_pa: f64) -> f64 {
    pressure_pa * humidity_ratio / (VAPOUR_TO_AIR_MASS_RATIO + humidity_ratio)
}

/// Dry air in a cubic metre of moist air, kg/m³: what Shah's correlation calls density.
#[must_use]
pub fn dry_air_density_kg_per_m3(temp_c: f64, vapour_pressure_pa: f64, pressure_pa: f64) -> f64 {
    (pressure_pa - vapour_pressure_pa) / (DRY_AIR_GAS_CONSTANT_J_PER_KG_K * (temp_c + ZERO_CELSIUS_K))
}

/// Mass of a cubic metre of moist air, dry air and vapour together, kg/m³.
#[must_use]
pub fn moist_air_density_kg_per_m3(air: Air) -> f64 {
    dry_air_density_kg_per_m3(air.temp_c, air.vapour_pressure_pa, air.pressure_pa)
        * (1.0 + air.humidity_ratio())
}

/// How far below the air the two inverse functions look, K. A choice: no wet bulb or dew point of a room lies deeper.
const DEEPEST_K: f64 = 100.0;
/// Bisections of the two inverse functions. A choice: 100 K halved 50 times is below the rounding of a temperature.
const HALVINGS: u32 = 50;

/// Psychrometric wet-bulb temperature, °C, over liquid water.
///
/// ```
/// use tepid_sim::physics::moist_air::{Air, wet_bulb_c};
/// // `psychrolib` 2.5.0 at 30 °C, 40 %: 20.064 °C
/// let air = Air::from_relative_humidity(30.0, 0.4, 101_325.0);
/// assert!((wet_bulb_c(air) - 20.064).abs() < 0.001);
/// ```
#[must_use]
pub fn wet_bulb_c(air: Air) -> f64 {
    let t = air.temp_c;
    let actual = air.humidity_ratio();
    rising_root((t - DEEPEST_K, t), HALVINGS, |bulb| {
        let saturated = humidity_ratio(saturation_pressure_pa(bulb), air.pressure_pa);
        let implied =
            ((2501.0 - 2.326 * bulb) * saturated - 1.006 * (t - bulb)) / (2501.0 + 1.86 * t - 4.186 * bulb);
        implied - actual
    })
}

/// Dew point, °C, over liquid water.
#[must_use]
pub fn dew_point_c(air: Air) -> f64 {
    rising_root((air.temp_c - DEEPEST_K, air.temp_c), HALVINGS, |dew| {
        saturation_pressure_pa(dew) - air.vapour_pressure_pa
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn humidity_ratio_and_vapour_pressure_are_inverse() {
        let w = humidity_ratio(1800.0, 95_000.0);
        assert_relative_eq!(vapour_pressure_pa(w, 95_000.0), 1800.0, max_relative = 1e-14);
    }

    #[test]
    fn relative_humidity_comes_back() {
        let air = Air::from_relative_humidity(24.0, 0.55, 101_325.0);
        assert_relative_eq!(air.relative_humidity_frac(), 0.55, max_relative = 1e-15);
    }

    #[test]
    fn damp_air_is_lighter_than_dry_air() {
        let dry = Air::from_relative_humidity(25.0, 0.1, 101_325.0);
        let damp = Air::from_relative_humidity(25.0, 0.9, 101_325.0);
        assert!(moist_air_density_kg_per_m3(damp) < moist_air_density_kg_per_m3(dry));
    }

    #[test]
    fn saturated_air_has_wet_bulb_and_dew_point_at_its_own_temperature() {
        let air = Air::from_relative_humidity(22.0, 1.0, 101_325.0);
        assert!((wet_bulb_c(air) - 22.0).abs() < 1e-9);
        assert!((dew_point_c(air) - 22.0).abs() < 1e-9);
    }
}
