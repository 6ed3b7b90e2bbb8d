//! `evaporation_shah.csv`, `evaporation_published.csv`: evaporation from undisturbed water after Shah.
//!
//! The first is the same correlation over another library's moist air: it tells that the correlation was coded as it is
//! written and which density goes in. The correlation itself misses measurements by 18 % on average.

use crate::table::{Row, Table, Worst};
use tepid_sim::physics::evaporation::shah::conductance_kg_per_s_m2_pa;
use tepid_sim::physics::moist_air::Air;
use tepid_sim::physics::vapour::saturation_pressure_pa;

const SECONDS_PER_HOUR: f64 = 3600.0;

/// Rate from water to air, kg/(m² h).
fn rate_per_hour(water_c: f64, activity: f64, air: Air) -> f64 {
    let over_water_pa = activity * saturation_pressure_pa(water_c);
    let conductance = conductance_kg_per_s_m2_pa(water_c, over_water_pa, air);
    conductance * (over_water_pa - air.vapour_pressure_pa) * SECONDS_PER_HOUR
}

fn computed(row: Row) -> f64 {
    let air = Air::from_relative_humidity(row.number("T_a_C"), row.number("RH"), 101_325.0);
    rate_per_hour(row.number("T_w_C"), row.number("aw"), air)
}

pub fn undisturbed_water_evaporates_as_the_written_correlation_says() {
    let mut rate = Worst::of("evaporation");
    for row in Table::read("evaporation_shah.csv").rows() {
        if row.number("E_C35_kg_m2h") > 0.0 {
            rate.relative(row, "E_C35_kg_m2h", computed(row));
        }
    }
    // Same closed form over two codings of the same moist air; the small density difference costs three digits.
    rate.is_within(1e-4);
}

pub fn water_colder_than_the_dew_point_takes_up_vapour_at_the_rate_of_room_currents() {
    let mut rate = Worst::of("condensation");
    for row in Table::read("evaporation_shah.csv").rows() {
        if row.number("E_forced_kg_m2h") < 0.0 {
            rate.relative(row, "E_forced_kg_m2h", computed(row));
        }
    }
    // Same closed form: 0.00005 (p_w − p_r), where the difference of two pressures costs two digits.
    rate.is_within(1e-6);
}

pub fn nine_rates_tabulated_elsewhere_come_out() {
    let mut rate = Worst::of("tabulated rate");
    for row in Table::read("evaporation_published.csv").rows() {
        // shah_tab_<water °C>_<air °C>: humidity 0.5, fresh water.
        if let Some(temperatures) = row.text("id").strip_prefix("shah_tab_") {
            let (water_c, air_c) = temperatures.split_once('_').expect("two temperatures");
            let air = Air::from_relative_humidity(air_c.parse().expect("a temperature"), 0.5, 101_325.0);
            rate.relative(
                row,
                "value",
                rate_per_hour(water_c.parse().expect("a temperature"), 1.0, air),
            );
        }
    }
    // Four decimals are printed (5e-4 of the smallest), and its densities differ from ours by up to 5e-5 kg/m³,
    // which is 0.15 % of a rate.
    rate.is_within(2.5e-3);
}
