//! Evaporation into still air, as a mass conductance of the surface.
//!
//! # Equation
//! `E = g_0 (p_w − p_a)`, `g_0 = a_s g`, g by the correlation that the scenario names
//! ([`still_air_conductance_kg_per_s_m2_pa`]).
//!
//! # Units
//! E kg/(m² s), positive where water evaporates; g_0 kg/(s m² Pa), never negative, finite also where p_w = p_a;
//! p_w vapour pressure over the water, p_a in the air, Pa; a_s agitation factor, unitless, 1 = undisturbed.
//!
//! # Source
//! Each correlation's own file. The agitation factor has no source: it is a parameter, and stays 1 with a correlation
//! that has an activity factor of its own.
//!
//! # Valid for
//! As the correlation says.
//!
//! # Left out
//! Splash and spray, bubbles, the film of cooler water at the surface.
//!
//! # Checked by
//! `tests/verification/evaporation_shah_table.rs`, `evaporation_pools.rs` there.

pub mod ashrae_pool;
pub mod shah;
pub mod vdi_2089;

use crate::physics::moist_air::Air;
use crate::scenario::Evaporation;

/// Mass conductance of a surface under still air, kg/(s m² Pa).
///
/// `water_c` °C; `water_vapour_pressure_pa` over that water, salt included; `agitation` unitless.
#[must_use]
pub fn still_air_conductance_kg_per_s_m2_pa(
    correlation: Evaporation,
    agitation: f64,
    water_c: f64,
    water_vapour_pressure_pa: f64,
    air: Air,
) -> f64 {
    let undisturbed = match correlation {
        Evaporation::Shah => shah::conductance_kg_per_s_m2_pa(water_c, water_vapour_pressure_pa, air),
        Evaporation::AshraePool { activity } => ashrae_pool::conductance_kg_per_s_m2_pa(activity, water_c),
        Evaporation::Vdi2089 => vdi_2089::conductance_kg_per_s_m2_pa(water_c, air),
    };
    agitation * undisturbed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agitation_multiplies_the_rate_of_every_correlation() {
        let air = Air::from_relative_humidity(21.0, 0.5, 101_325.0);
        for correlation in [
            Evaporation::Shah,
            Evaporation::AshraePool { activity: 0.5 },
            Evaporation::Vdi2089,
        ] {
            let conductance =
                |agitation| still_air_conductance_kg_per_s_m2_pa(correlation, agitation, 25.0, 3100.0, air);
            assert_eq!(conductance(1.5), 1.5 * conductance(1.0), "{correlation:?}");
            assert!(conductance(1.0) > 0.0, "{correlation:?}");
        }
    }
}
