//! `air_dry.csv`, `air_dry_hot.csv`: dry air by `CoolProp` (Lemmon and others 2000 and 2004).
//!
//! The formulas for viscosity, conductivity and specific heat were fitted to the same library, so these tables tell
//! that the fit was coded and holds between its points, not that the library is right; its own uncertainty is 1–2 %.

use crate::table::{Table, Worst};
use tepid_sim::physics::dry_air::DryAir;

struct Tolerances {
    density: f64,
    specific_heat: f64,
    transport: f64,
    expansion: f64,
}

fn check(file: &str, tolerances: &Tolerances) {
    let (mut density, mut specific_heat) = (Worst::of("density"), Worst::of("specific heat"));
    let (mut conductivity, mut viscosity) = (Worst::of("conductivity"), Worst::of("viscosity"));
    let (mut prandtl, mut kinematic) = (Worst::of("Prandtl number"), Worst::of("kinematic viscosity"));
    let mut expansion = Worst::of("expansion");
    for row in Table::read(file).rows() {
        let air = DryAir::at(row.number("T_C"), 101_325.0);
        density.relative(row, "rho_kg_m3", air.density_kg_per_m3);
        specific_heat.relative(row, "cp_J_kgK", air.specific_heat_j_per_kg_k);
        conductivity.relative(row, "k_W_mK", air.conductivity_w_per_m_k);
        viscosity.relative(row, "mu_Pa_s", air.viscosity_pa_s);
        prandtl.relative(row, "Pr", air.prandtl());
        kinematic.relative(row, "nu_m2_s", air.kinematic_viscosity_m2_per_s());
        expansion.relative(row, "beta_1_K", air.expansion_per_k());
    }
    density.is_within(tolerances.density);
    specific_heat.is_within(tolerances.specific_heat);
    for worst in [conductivity, viscosity, prandtl, kinematic] {
        worst.is_within(tolerances.transport);
    }
    expansion.is_within(tolerances.expansion);
}

pub fn room_air_is_that_of_the_library() {
    // The ideal gas is 5.1e-4 off in density and 3.3e-3 in expansion; good formulas for viscosity and conductivity
    // differ by 0.5 and 0.8 %, which a film sees by its fourth root.
    check(
        "air_dry.csv",
        &Tolerances {
            density: 1e-3,
            specific_heat: 3e-3,
            transport: 0.015,
            expansion: 5e-3,
        },
    );
}

pub fn air_around_a_dry_heater_is_that_of_the_library() {
    // Same bounds: Sutherland's form with its own constants holds from −20 to 400 °C.
    check(
        "air_dry_hot.csv",
        &Tolerances {
            density: 1e-3,
            specific_heat: 3e-3,
            transport: 0.015,
            expansion: 5e-3,
        },
    );
}
