//! `radiation.csv`: net grey radiation, closed form at 40 digits by `mpmath`.

use crate::table::{Table, Worst};
use tepid_sim::physics::radiation::{coefficient_w_per_m2_k, net_flux_w_per_m2};

pub fn radiation_is_the_closed_form() {
    let (mut flux, mut coefficient) = (Worst::of("flux"), Worst::of("film coefficient"));
    for row in Table::read("radiation.csv").rows() {
        let (emissivity, surface_c, around_c) = (row.number("eps"), row.number("T1_C"), row.number("T2_C"));
        flux.absolute(row, "q_W_m2", net_flux_w_per_m2(emissivity, surface_c, around_c));
        coefficient.relative(
            row,
            "h_r_W_m2K",
            coefficient_w_per_m2_k(emissivity, surface_c, around_c),
        );
    }
    // Closed form in double precision; 15 digits printed.
    flux.is_within(1e-9);
    coefficient.is_within(1e-12);
}
