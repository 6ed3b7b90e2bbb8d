//! `seawater.csv`: sea water, TEOS-10 by `gsw`.

use crate::table::{Table, Worst};
use tepid_sim::physics::{vapour, water};

pub fn sea_water_is_that_of_teos_10() {
    let (mut density, mut specific_heat) = (Worst::of("density"), Worst::of("specific heat"));
    let (mut practical, mut latent) = (Worst::of("practical salinity"), Worst::of("latent heat"));
    for row in Table::read("seawater.csv").rows() {
        let (salinity, temp_c) = (row.number("S_A_g_kg"), row.number("T_C"));
        density.relative(row, "rho_kg_m3", water::density_kg_per_m3(salinity, temp_c));
        specific_heat.relative(row, "cp_J_kgK", water::specific_heat_j_per_kg_k(salinity, temp_c));
        practical.absolute(row, "S_P", water::practical_salinity(salinity));
        latent.relative(row, "h_fg_J_kg", vapour::latent_heat_j_per_kg(temp_c));
    }
    // The 1980 equation of state and its specific heat are known to lie 8e-6 and 1.1e-3 from TEOS-10.
    density.is_within(3e-4);
    specific_heat.is_within(3e-3);
    practical.is_within(1e-5);
    // `gsw` takes evaporation into air, 1.4e-3 below that into pure vapour; salt is not in the model's line.
    latent.is_within(3e-3);
}
