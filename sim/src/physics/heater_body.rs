//! The body of an immersed heater: its size, how it gives heat to water, and what it does in air.
//!
//! # Equation
//! Water: `K_h = A h` at rated power, where `P = A h ΔT`; h the larger of natural convection from a horizontal cylinder
//! and cross-flow at the local speed, properties at film temperature ([`conductance_in_water_w_per_k`]).
//! Air: `Q = A [h_c (T_h − T_a) + ε σ (T_h⁴ − T_a⁴)]` ([`loss_in_air_w`]).
//!
//! # Units
//! K_h W/K; A = π D L, m²; h W/(m² K); P W; Q W, positive out of the body; temperatures °C, kelvin in T⁴.
//!
//! # Source
//! Churchill and Chu 1975 (`natural_convection.rs`), Churchill and Bernstein 1977 (`forced_convection.rs`). Size and
//! heat capacity from memory: see each constant, and what an error costs in `docs/model.md`.
//!
//! # Valid for
//! Glass or metal tubes 20–40 mm thick; body in air up to 400 °C.
//!
//! # Left out
//! An upright tube (within 20 % of a lying one, from memory), the temperature drop inside the tube, its ends, salt in the film (2 %, from memory).
//! K_h is held at its value for rated power: at a tenth of it the body is about 1 K warmer than computed.
//!
//! # Checked by
//! Tests in this file against an independent computation; `tests/verification/fresh_water_table.rs`,
//! `dry_air_table.rs`, `natural_convection_table.rs`, `forced_convection_table.rs` for what goes in.

use super::dry_air::DryAir;
use super::forced_convection::cylinder;
use super::moist_air::Air;
use super::natural_convection::ChurchillChu;
use super::radiation::{PANE_EMISSIVITY, net_flux_w_per_m2};
use super::{GRAVITY_M_PER_S2, water};
use crate::scenario::HeaterBody;

/// Usual diameter of a heater's tube, m. From memory: 20 to 40 mm are sold.
pub const USUAL_DIAMETER_M: f64 = 0.026;
/// Rated power, W, whose length is stated. A choice.
const STATED_POWER_W: f64 = 300.0;
/// Heated length of a tube of that power, m: 0.027 m² at the usual diameter. From memory.
const LENGTH_AT_STATED_POWER_M: f64 = 0.33;
/// Heat capacity of tube and filling per watt rated, J/(K W). From memory. Valid for glass tubes filled with sand.
const CAPACITY_J_PER_K_W: f64 = 1.0;
/// Prandtl number of air at the film temperature of a body that runs dry (100–200 °C), unitless. Source: `CoolProp`
/// 8.0.0, 0.70 within 1 %, see `tests/verification/data/air_dry_hot.csv`.
const DRY_FILM_PRANDTL: f64 = 0.70;
/// Fixed-point steps for the body's excess temperature. A choice: each closes in by about three.
const STEPS: u32 = 40;
/// Excess temperature where those steps start, K. A choice: the result does not depend on it.
const FIRST_GUESS_K: f64 = 10.0;

/// The usual body of a heater of a rated power in W, in water that does not move along it.
///
/// The heated length grows as the square root of the power: small heaters are longer than their share. From memory.
#[must_use]
pub fn usual_body(rated_w: f64) -> HeaterBody {
    HeaterBody {
        heat_capacity_j_per_k: CAPACITY_J_PER_K_W * rated_w,
        length_m: LENGTH_AT_STATED_POWER_M * (rated_w / STATED_POWER_W).sqrt(),
        diameter_m: USUAL_DIAMETER_M,
        water_speed_m_per_s: 0.0,
        speed_pump: None,
    }
}

/// Surface that gives off heat, m².
#[must_use]
pub fn surface_m2(body: &HeaterBody) -> f64 {
    std::f64::consts::PI * body.diameter_m * body.length_m
}

/// Conductance from body to water, W/K, at rated power (W), in water of a temperature in °C that moves past at a speed
/// in m/s (0 while the pump that makes it stands still).
#[must_use]
pub fn conductance_in_water_w_per_k(
    body: &HeaterBody,
    rated_w: f64,
    water_c: f64,
    water_speed_m_per_s: f64,
) -> f64 {
    let mut conductance =
        surface_m2(body) * film_in_water_w_per_m2_k(body, FIRST_GUESS_K, water_c, water_speed_m_per_s);
    for _ in 0..STEPS {
        let warmer_k = rated_w / conductance;
        conductance =
            surface_m2(body) * film_in_water_w_per_m2_k(body, warmer_k, water_c, water_speed_m_per_s);
    }
    conductance
}

fn film_in_water_w_per_m2_k(body: &HeaterBody, warmer_k: f64, water_c: f64, speed_m_per_s: f64) -> f64 {
    let film_c = water_c + 0.5 * warmer_k;
    let (viscosity, conductivity) = (
        water::viscosity_pa_s(film_c),
        water::conductivity_w_per_m_k(film_c),
    );
    let (density, specific_heat) = (
        water::density_kg_per_m3(0.0, film_c),
        water::specific_heat_j_per_kg_k(0.0, film_c),
    );
    let prandtl = viscosity * specific_heat / conductivity;
    let kinematic = viscosity / density;
    let d = body.diameter_m;
    let grashof = GRAVITY_M_PER_S2 * water::expansion_per_k(film_c).max(0.0) * warmer_k * d * d * d
        / (kinematic * kinematic);
    let natural = ChurchillChu::horizontal_cylinder(prandtl).nusselt(grashof * prandtl);
    let forced = cylinder(speed_m_per_s * d / kinematic, prandtl);
    natural.max(forced) * conductivity / d
}

/// Heat from a body in air, W, at its temperature in °C.
#[must_use]
pub fn loss_in_air_w(body: &HeaterBody, body_c: f64, air: Air) -> f64 {
    let warmer_k = body_c - air.temp_c;
    let film = DryAir::at(0.5 * (body_c + air.temp_c), air.pressure_pa);
    let d = body.diameter_m;
    let rayleigh = film.rayleigh_per_k_m3() * warmer_k.abs() * d * d * d;
    let nusselt = ChurchillChu::horizontal_cylinder(DRY_FILM_PRANDTL).nusselt(rayleigh);
    let convective = nusselt * film.conductivity_w_per_m_k / d * warmer_k;
    surface_m2(body) * (convective + net_flux_w_per_m2(PANE_EMISSIVITY, body_c, air.temp_c))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room() -> Air {
        Air::from_relative_humidity(21.0, 0.5, 101_325.0)
    }

    /// Body temperature of 300 W in air after a time, by steps of one second from 25.5 °C.
    fn dry_body_c(body: &HeaterBody, seconds: u32) -> f64 {
        (0..seconds).fold(25.5, |body_c, _| {
            body_c + (300.0 - loss_in_air_w(body, body_c, room())) / body.heat_capacity_j_per_k
        })
    }

    #[test]
    fn a_body_gives_heat_to_what_is_colder() {
        let body = usual_body(300.0);
        assert!(loss_in_air_w(&body, 80.0, room()) > 0.0);
        assert!(loss_in_air_w(&body, 5.0, room()) < 0.0);
    }

    #[test]
    fn still_water_takes_20_w_per_k_from_a_300_w_heater_and_a_stream_of_10_cm_per_s_40_w_per_k() {
        // An independent computation, rounded: 20 W/K natural, 40 W/K at 0.1 m/s; hence 5 %.
        let body = usual_body(300.0);
        let natural = conductance_in_water_w_per_k(&body, 300.0, 25.5, 0.0);
        let stream = conductance_in_water_w_per_k(&body, 300.0, 25.5, 0.1);
        assert!((natural / 20.0 - 1.0).abs() < 0.05, "{natural} W/K");
        assert!((stream / 40.0 - 1.0).abs() < 0.05, "{stream} W/K");
    }

    #[test]
    fn a_quarter_of_the_power_has_half_the_length() {
        assert!((usual_body(75.0).length_m - 0.165).abs() < 1e-12);
        assert_eq!(usual_body(75.0).heat_capacity_j_per_k, 75.0);
    }

    #[test]
    fn the_conductance_has_settled() {
        let body = usual_body(300.0);
        let conductance = conductance_in_water_w_per_k(&body, 300.0, 25.5, 0.0);
        let again = surface_m2(&body) * film_in_water_w_per_m2_k(&body, 300.0 / conductance, 25.5, 0.0);
        assert!((again / conductance - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_300_w_heater_in_air_is_past_150_c_in_minutes_and_ends_near_355_to_385_c() {
        // An independent computation: 150 °C after about 140 s, 250–260 °C after 5 min, 355–385 °C in the end for
        // 0.027 and 0.023 m².
        let body = usual_body(300.0);
        assert!(
            (dry_body_c(&body, 140) - 150.0).abs() < 10.0,
            "{}",
            dry_body_c(&body, 140)
        );
        assert!(
            (250.0..=260.0).contains(&dry_body_c(&body, 300)),
            "{}",
            dry_body_c(&body, 300)
        );
        assert!(
            (dry_body_c(&body, 7200) - 355.0).abs() < 5.0,
            "{}",
            dry_body_c(&body, 7200)
        );
        let small = HeaterBody {
            length_m: body.length_m * 0.023 / 0.027,
            ..body
        };
        assert!(
            (dry_body_c(&small, 7200) - 385.0).abs() < 5.0,
            "{}",
            dry_body_c(&small, 7200)
        );
    }
}
