//! Evaporation from undisturbed water into a room, after Shah.
//!
//! # Equation
//! `E_n = C ρ_w (ρ_r − ρ_w)^⅓ (W_w − W_r)` where ρ_r > ρ_w and p_w ≥ p_a, else 0; `E_f = b (p_w − p_a)`;
//! `E = max(E_n, E_f)`. As a conductance, finite at p_w = p_a ([`conductance_kg_per_s_m2_pa`]):
//! `g = max(C ρ_w (ρ_r − ρ_w)^⅓ ε p / ((p − p_w)(p − p_a)), b) / 3600 s`.
//!
//! # Units
//! E kg/(m² h), g kg/(s m² Pa); ρ kg of *dry* air per m³ of moist air (the moist density would give 13 % less), w
//! saturated at the water's temperature, r the room's; W kg/kg; p Pa; C = 35, b = 0.00005 kg/(m² h Pa).
//!
//! # Source
//! M. M. Shah, ASHRAE Transactions 2014, 120(2), SE-14-001; C and b as a public pool calculator cites them from its equations
//! 1 and 2 (its own equation 1 lacks the factor ρ_w, worth 15 %). With C = 35 and that factor nine rates of another public
//! code's table are met within 0.2 %. The step to C = 40 at ρ_r − ρ_w ≤ 0.02 of Shah's papers up to 2003 is left out:
//! it misses three of the nine by 14 % and lets the loss fall as the water warms.
//!
//! # Valid for
//! Undisturbed pools and vessels of 0.07–425 m², water 7–94 °C, air 6–35 °C, humidity 28–95 %, quiet air: the eleven
//! sources of measurements behind it (Shah 2002, HVAC&R Research 8(1) 125–131, abstract), so that every tank from about
//! 25 × 28 cm on lies inside. It meets them within 18 % on average; the next best of eleven correlations within 26 %.
//! That scatter is between sources and does not average out for one tank: an evaporation loss is known to about a fifth.
//! Outside: the same formula. Condensation (p_w < p_a): the floor b alone.
//!
//! # Left out
//! Stirring of the water; a rim above the water that shields it.
//!
//! # Checked by
//! `tests/verification/evaporation_shah_table.rs`: the same formula over `psychrolib` air, 1e-4 relative.

use crate::physics::VAPOUR_TO_AIR_MASS_RATIO;
use crate::physics::moist_air::{Air, dry_air_density_kg_per_m3};
use crate::time::{HOUR, seconds};

/// Constant C of natural convection, kg/(m² h) over (kg/m³)^(4/3). Source: Shah 2014, see the page.
const NATURAL: f64 = 35.0;
/// Floor b by the room's air currents, kg/(m² h Pa). Source: Shah 2014, see the page.
const ROOM_CURRENTS_KG_PER_M2_H_PA: f64 = 5e-5;

/// Mass conductance of an undisturbed surface, kg/(s m² Pa).
///
/// `water_c` °C; `water_vapour_pressure_pa` over that water.
#[must_use]
pub fn conductance_kg_per_s_m2_pa(water_c: f64, water_vapour_pressure_pa: f64, air: Air) -> f64 {
    let p = air.pressure_pa;
    let at_water = dry_air_density_kg_per_m3(water_c, water_vapour_pressure_pa, p);
    let lighter = dry_air_density_kg_per_m3(air.temp_c, air.vapour_pressure_pa, p) - at_water;
    let per_hour = if lighter > 0.0 && water_vapour_pressure_pa >= air.vapour_pressure_pa {
        let ratio_per_pa =
            VAPOUR_TO_AIR_MASS_RATIO * p / ((p - water_vapour_pressure_pa) * (p - air.vapour_pressure_pa));
        (NATURAL * at_water * libm::cbrt(lighter) * ratio_per_pa).max(ROOM_CURRENTS_KG_PER_M2_H_PA)
    } else {
        ROOM_CURRENTS_KG_PER_M2_H_PA
    };
    per_hour / seconds(HOUR)
}
