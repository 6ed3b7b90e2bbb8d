//! Evaporation from a pool that nobody uses, after the guideline VDI 2089.
//!
//! # Equation
//! `m = β / (R_w T_m) (p_w − p_a) A`, `T_m = (T_w + T_a)/2`; as a conductance ([`conductance_kg_per_s_m2_pa`]):
//! `g = β / (R_w T_m)`.
//!
//! # Units
//! m kg/s; g kg/(s m² Pa); β transfer coefficient, m/s; R_w = 461.52 J/(kg K); T kelvin; p Pa; A m².
//!
//! # Source
//! VDI 2089 sheet 1, formula (1), β = 7 m/h for a pool not in use, 0.7 m/h covered: read in the source of the public
//! building library AixLib (`Fluid/Pool/IndoorSwimmingPool.mo`), which cites it. The guideline itself was not seen.
//!
//! # Valid for
//! Indoor pools out of hours, tens to hundreds of m², air 2–4 K warmer than the water (from memory). There the air over
//! the water is hardly lighter than the room's and lies still; over a tank warmer than its room it rises, so this form is a
//! lower bound for such a tank. Its scatter is not stated where it was read. Here for any p_w − p_a, condensation
//! included.
//!
//! # Left out
//! Natural convection; air currents; any dependence on size.
//!
//! # Checked by
//! `tests/verification/evaporation_pools.rs`: a hand-worked rate; ways it must lie from the others.

use crate::physics::moist_air::Air;
use crate::physics::{DRY_AIR_GAS_CONSTANT_J_PER_KG_K, VAPOUR_TO_AIR_MASS_RATIO, ZERO_CELSIUS_K};
use crate::time::{HOUR, seconds};

/// Transfer coefficient β of a pool not in use, m/h. Source: VDI 2089 sheet 1, as cited by a public library.
const UNUSED_M_PER_H: f64 = 7.0;

/// Mass conductance of an undisturbed surface, kg/(s m² Pa).
///
/// `water_c` °C.
#[must_use]
pub fn conductance_kg_per_s_m2_pa(water_c: f64, air: Air) -> f64 {
    let vapour_gas_constant = DRY_AIR_GAS_CONSTANT_J_PER_KG_K / VAPOUR_TO_AIR_MASS_RATIO;
    let mean_k = 0.5 * (water_c + air.temp_c) + ZERO_CELSIUS_K;
    UNUSED_M_PER_H / seconds(HOUR) / (vapour_gas_constant * mean_k)
}
