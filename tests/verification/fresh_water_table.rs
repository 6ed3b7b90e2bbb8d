//! `fresh_water.csv`: pure water, IAPWS-95 by `iapws`.

use crate::table::{Table, Worst};
use tepid_sim::physics::{vapour, water};

pub fn fresh_water_is_that_of_iapws_95() {
    let (mut density, mut specific_heat) = (Worst::of("density"), Worst::of("specific heat"));
    let (mut latent, mut pressure) = (Worst::of("latent heat"), Worst::of("saturation pressure"));
    let (mut conductivity, mut viscosity) = (Worst::of("conductivity"), Worst::of("viscosity"));
    let mut expansion = Worst::of("expansion");
    for row in Table::read("fresh_water.csv").rows() {
        let temp_c = row.number("T_C");
        density.relative(row, "rho_kg_m3", water::density_kg_per_m3(0.0, temp_c));
        specific_heat.relative(row, "cp_J_kgK", water::specific_heat_j_per_kg_k(0.0, temp_c));
        latent.relative(row, "h_fg_J_kg", vapour::latent_heat_j_per_kg(temp_c));
        pressure.relative(row, "p_sat_Pa", vapour::saturation_pressure_pa(temp_c));
        conductivity.relative(row, "k_W_mK", water::conductivity_w_per_m_k(temp_c));
        viscosity.relative(row, "mu_Pa_s", water::viscosity_pa_s(temp_c));
        // Expansion passes zero at 4 °C, where a relative bound has no meaning.
        if temp_c >= 10.0 {
            expansion.relative(row, "beta_1_K", water::expansion_per_k(temp_c));
        }
    }
    // Good formulations differ by up to 3.3e-4 (IF97's specific heat); density by 1e-5.
    density.is_within(2e-4);
    specific_heat.is_within(2e-3);
    // A straight line against a curve: 0.1 % of the evaporation is far below what its correlation knows.
    latent.is_within(1e-3);
    // Hyland and Wexler 1983 is known to lie 2.3e-4 from IAPWS-95.
    pressure.is_within(1e-3);
    // Uncertainty of the release for conductivity, 1 %.
    conductivity.is_within(0.01);
    // The short formula for liquid water was made to reproduce the full one of the same release.
    viscosity.is_within(1e-3);
    // A heater's film goes with the fourth root of it: 3 % is 0.75 % of the film.
    expansion.is_within(0.03);
}
