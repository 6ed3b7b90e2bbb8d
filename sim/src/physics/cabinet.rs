//! Air of a cabinet around a tank: warmer and damper than the room.
//!
//! # Equation
//! `T = T_a + ΔT`; `p_v = min(1, RH + ΔRH) p_sat(T)` ([`cabinet_air`]).
//!
//! # Units
//! Temperatures °C, differences K, humidities fractions, pressure Pa.
//!
//! # Source
//! None: a stated difference stands in for the ventilation of a cabinet. Common values are a few kelvin and 20 points.
//!
//! # Valid for
//! A cabinet that breathes with the room.
//!
//! # Left out
//! That the difference grows with the heat given off in the cabinet: plausible values are worth 19–39 W on a sump.
//!
//! # Checked by
//! Tests in this file.

use super::moist_air::Air;
use crate::scenario::CabinetAir;

/// Air in a cabinet that stands in the given room air.
#[must_use]
pub fn cabinet_air(air: Air, cabinet: CabinetAir) -> Air {
    let humidity = (air.relative_humidity_frac() + cabinet.more_humid_frac).min(1.0);
    Air::from_relative_humidity(air.temp_c + cabinet.warmer_k, humidity, air.pressure_pa)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const CABINET: CabinetAir = CabinetAir {
        warmer_k: 2.0,
        more_humid_frac: 0.2,
    };

    #[test]
    fn a_cabinet_is_warmer_and_damper_than_its_room() {
        let inside = cabinet_air(Air::from_relative_humidity(21.0, 0.5, 101_325.0), CABINET);
        assert_eq!(inside.temp_c, 23.0);
        assert_relative_eq!(inside.relative_humidity_frac(), 0.7, max_relative = 1e-14);
    }

    #[test]
    fn cabinet_air_is_at_most_saturated() {
        let inside = cabinet_air(Air::from_relative_humidity(21.0, 0.95, 101_325.0), CABINET);
        assert_relative_eq!(inside.relative_humidity_frac(), 1.0, max_relative = 1e-14);
    }
}
