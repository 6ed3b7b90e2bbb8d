//! `seawater_vapour_pressure.csv`: vapour pressure over sea water relative to pure water, TEOS-10 by `gsw`.

use crate::table::{Table, Worst};
use tepid_sim::physics::vapour::water_activity;

pub fn salt_lowers_the_vapour_pressure_as_teos_10_says() {
    let mut ratio = Worst::of("vapour pressure ratio");
    for row in Table::read("seawater_vapour_pressure.csv").rows() {
        ratio.absolute(row, "ratio", water_activity(row.number("S_A_g_kg")));
    }
    // A straight line and the formula of Weiss and Price are both within 3.4e-4; a Raoult form (2e-3) must not pass.
    ratio.is_within(5e-4);
}
