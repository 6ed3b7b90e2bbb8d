//! Evaporation under a fan, as a mass conductance of the surface.
//!
//! # Equation
//! Heat and mass transfer are alike (Chilton and Colburn): `h_f = Nu k/L`, Nu of a tripped boundary layer;
//! `g_f = h_f M_w/(ρ c_p Le^⅔ R T)` ([`forced_conductance_kg_per_s_m2_pa`]). With still air, over the shares x of the open surface
//! that fans reach: `g = Σ x (g_0³ + g_f³)^⅓ + (1 − Σ x) g_0` ([`under_fans_kg_per_s_m2_pa`]). Several fans each have a share of
//! their own while there is room; where their shares are more than the whole, the stronger stream has the place.
//!
//! # Units
//! h_f W/(m² K); g kg/(s m² Pa); R/M_w = 461.5 J/(kg K) in the form R_a/ε; Le Lewis number, unitless; T kelvin; air
//! properties at film temperature and at the air pressure. Speed m/s and length along the flow m.
//!
//! # Source
//! Chilton and Colburn 1934. Le: thermal diffusivity of air 2.20e-5 m²/s at 25 °C (`CoolProp`) over the diffusivity of
//! vapour in air, 2.6e-5 m²/s in public code. Cubic blend of natural and forced convection: Incropera and others, chapter 9,
//! as a public calculator cites it.
//!
//! # Valid for
//! A stream along the surface, 0.3–5 m/s over 0.1–2 m. Speed, length and share matter more than the formula.
//!
//! # Left out
//! The film of water cooled below the bulk: a tank under a fan stays up to 0.2 K warmer than computed. A jet that
//! strikes the surface steeply. What two streams do where they meet: a rule, no source.
//!
//! # Checked by
//! Tests in this file and in `surface.rs` (where a tank without gains settles);
//! `tests/verification/forced_convection_table.rs` for Nu.

use super::dry_air::DryAir;
use super::forced_convection::plate_tripped;
use super::{DRY_AIR_GAS_CONSTANT_J_PER_KG_K, VAPOUR_TO_AIR_MASS_RATIO};

/// `Le^⅔` for water vapour in air, Le = 0.85, unitless. Source: see the page. Valid 0–45 °C; a diffusivity by Fuller's form
/// (2.50e-5 m²/s) would make it 2.3 % larger.
pub const LEWIS_TO_TWO_THIRDS: f64 = 0.897_317_113_181_300_7;

/// Mass conductance of a surface under a stream of air alone, kg/(s m² Pa).
#[must_use]
pub fn forced_conductance_kg_per_s_m2_pa(
    speed_m_per_s: f64,
    length_m: f64,
    water_c: f64,
    air_c: f64,
    pressure_pa: f64,
) -> f64 {
    let film = DryAir::at(0.5 * (water_c + air_c), pressure_pa);
    let reynolds = speed_m_per_s * length_m / film.kinematic_viscosity_m2_per_s();
    let h_w_per_m2_k = plate_tripped(reynolds, film.prandtl()) * film.conductivity_w_per_m_k / length_m;
    let vapour_gas_constant = DRY_AIR_GAS_CONSTANT_J_PER_KG_K / VAPOUR_TO_AIR_MASS_RATIO;
    h_w_per_m2_k
        / (film.density_kg_per_m3
            * film.specific_heat_j_per_kg_k
            * LEWIS_TO_TWO_THIRDS
            * vapour_gas_constant
            * film.temp_k)
}

/// One running fan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnderFan {
    /// Mass conductance under its stream alone, kg/(s m² Pa).
    pub forced_kg_per_s_m2_pa: f64,
    /// Share of the open surface that it reaches, 0..=1.
    pub share_frac: f64,
}

/// Mass conductance of a surface partly under fans, kg/(s m² Pa), from that of still air and of each stream alone.
#[must_use]
pub fn under_fans_kg_per_s_m2_pa(still: f64, mut fans: Vec<UnderFan>) -> f64 {
    fans.sort_by(|a, b| b.forced_kg_per_s_m2_pa.total_cmp(&a.forced_kg_per_s_m2_pa));
    let (mut free_frac, mut sum) = (1.0, 0.0);
    for fan in fans {
        let share_frac = fan.share_frac.min(free_frac);
        let forced = fan.forced_kg_per_s_m2_pa;
        sum += share_frac * libm::cbrt(still * still * still + forced * forced * forced);
        free_frac -= share_frac;
    }
    sum + free_frac * still
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_stored_power_of_the_lewis_number_is_what_its_name_says() {
        assert_relative_eq!(
            LEWIS_TO_TWO_THIRDS,
            libm::pow(0.85, 2.0 / 3.0),
            max_relative = 1e-14
        );
    }

    #[test]
    fn two_metres_per_second_along_half_a_metre_come_out_as_worked_by_hand() {
        // Properties of dry air at 25 °C by `CoolProp`: Re = 1/1.55770e-5 = 64197, Nu = 0.037 Re^0.8 0.7073^⅓ = 231.2,
        // h = 231.2 × 0.026247/0.5 = 12.14 W/(m² K); over 1.18432 × 1006.31 × 0.8973 × 461.52 × 298.15: 8.25e-8.
        let conductance = forced_conductance_kg_per_s_m2_pa(2.0, 0.5, 26.0, 24.0, 101_325.0);
        assert_relative_eq!(conductance, 8.25e-8, max_relative = 0.005);
    }

    #[test]
    fn a_faster_stream_takes_more() {
        let at = |speed| forced_conductance_kg_per_s_m2_pa(speed, 0.5, 26.0, 24.0, 101_325.0);
        assert_eq!(at(0.0), 0.0);
        assert!(at(2.0) > at(1.0));
    }

    #[test]
    fn a_fan_that_reaches_nothing_changes_nothing_and_no_stream_is_still_air() {
        assert_eq!(under_fans_kg_per_s_m2_pa(3e-8, vec![fan(9e-8, 0.0)]), 3e-8);
        assert_relative_eq!(
            under_fans_kg_per_s_m2_pa(3e-8, vec![fan(0.0, 1.0)]),
            3e-8,
            max_relative = 1e-14
        );
    }

    fn fan(forced_kg_per_s_m2_pa: f64, share_frac: f64) -> UnderFan {
        UnderFan {
            forced_kg_per_s_m2_pa,
            share_frac,
        }
    }

    #[test]
    fn fans_that_reach_different_parts_add_up_and_none_takes_another_ones_place() {
        let of = |fans: &[UnderFan]| under_fans_kg_per_s_m2_pa(3e-8, fans.to_vec());
        let (weak, strong) = (fan(4e-8, 0.5), fan(9e-8, 0.5));
        assert_relative_eq!(
            of(&[weak, strong]) - 3e-8,
            (of(&[weak]) - 3e-8) + (of(&[strong]) - 3e-8),
            max_relative = 1e-12
        );
        let everywhere = [fan(4e-8, 1.0), fan(9e-8, 1.0)];
        assert_eq!(of(&everywhere), of(&everywhere[1..]));
        // The weaker one has what the stronger leaves.
        assert_eq!(of(&[fan(4e-8, 0.8), strong]), of(&[weak, strong]));
    }
}
