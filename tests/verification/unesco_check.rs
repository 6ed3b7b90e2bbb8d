//! `seawater_unesco_check.csv`: published check values of the 1980 equation of state.

use crate::table::{Table, Worst};
use tepid_sim::physics::water::{absolute_salinity_g_per_kg, density_kg_per_m3};

pub fn density_meets_the_published_check_values_at_the_surface_to_their_last_digit() {
    let mut density = Worst::of("density");
    for row in Table::read("seawater_unesco_check.csv").rows() {
        // The model has no depth: rows under pressure do not apply, and the one for specific heat is under pressure.
        if row.text("quantity") == "density" && row.number("p_dbar") == 0.0 {
            let salinity = absolute_salinity_g_per_kg(row.number("S_P"));
            density.absolute(
                row,
                "published",
                density_kg_per_m3(salinity, row.number("T68_C") / 1.000_24),
            );
        }
    }
    // Five decimals are printed.
    density.is_within(5e-6 + 1e-9);
}
