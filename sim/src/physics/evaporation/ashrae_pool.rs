//! Evaporation from a pool by the form of the ASHRAE Handbook, with its activity factor.
//!
//! # Equation
//! `w = F_a A (p_w − p_a) (0.089 + 0.0782 V) / h_fg`, as a conductance ([`conductance_kg_per_s_m2_pa`]):
//! `g = F_a (0.089 + 0.0782 V) / h_fg(T_w)`.
//!
//! # Units
//! As printed w kg/s, p kPa, h_fg kJ/kg; the same numbers hold for w kg/s, p Pa, h_fg J/kg. g kg/(s m² Pa); A m²;
//! V speed of the air over the water, m/s, here 0.10; F_a activity factor, unitless.
//!
//! # Source
//! ASHRAE Handbook HVAC Applications, chapter on natatoriums; 0.089 and 0.0782 as public programs cite them from it in
//! these units, within 0.6 % of the equation behind them, (95 + 0.425 v)(p_w − p_a)/Y in Btu, ft/min and inHg, as read in
//! the abstract of C. C. Smith, ASHRAE Transactions 1998, 104(1A), paper 4146. V: the handbook's short form 0.1 lb/(h ft² inHg), as read in the source of a
//! public building simulation program that cites it, belongs to 0.10 m/s (20 ft/min; 10–30 ft/min from memory).
//! F_a: public 1 and residential 0.5 as a report quotes the handbook of 2007; hotel 0.8 from memory.
//!
//! # Valid for
//! Swimming pools, tens to hundreds of m², water 24–30 °C and air a little warmer: F_a is fitted to pools in use, and
//! nothing in it knows that warm, damp air rises, so it tells less than Shah's of a tank in a cold room. Measured over
//! quiet pools F_a was 0.74 (Smith 1998, abstract) and 0.50–0.57 (477 h in two halls, E3S Web of Conferences, January
//! 2022, abstract): a spread of a third. Here for any p_w − p_a, condensation included.
//!
//! # Left out
//! Natural convection; any dependence on size.
//!
//! # Checked by
//! `tests/verification/evaporation_pools.rs`: 1.5 % from two rates of that program.

use crate::physics::vapour::latent_heat_j_per_kg;

/// Term without air speed, W/(m² Pa). Source: ASHRAE, see the page; 0.0885 by the equation in other units.
const STILL_W_PER_M2_PA: f64 = 0.089;
/// Term with air speed, W s/(m³ Pa), which is W/(m² Pa) per m/s. Source: ASHRAE, see the page; 0.0779 by the
/// equation in other units.
const PER_SPEED_W_S_PER_M3_PA: f64 = 0.0782;
/// Speed of a room's air over the water, m/s: see Source of the page.
const ROOM_AIR_M_PER_S: f64 = 0.10;

/// Mass conductance of a surface under room air, kg/(s m² Pa).
///
/// `activity` factor F_a, unitless; `water_c` °C.
#[must_use]
pub fn conductance_kg_per_s_m2_pa(activity: f64, water_c: f64) -> f64 {
    activity * (STILL_W_PER_M2_PA + PER_SPEED_W_S_PER_M3_PA * ROOM_AIR_M_PER_S)
        / latent_heat_j_per_kg(water_c)
}
