//! `air.csv`: moist air by `psychrolib` (ASHRAE Handbook Fundamentals 2017).

use crate::table::{Table, Worst};
use tepid_sim::physics::moist_air::{
    Air, dew_point_c, dry_air_density_kg_per_m3, moist_air_density_kg_per_m3, wet_bulb_c,
};
use tepid_sim::physics::vapour::saturation_pressure_pa;

const PRESSURE_PA: f64 = 101_325.0;

pub fn moist_air_is_that_of_the_ashrae_formulas() {
    let (mut saturation, mut vapour, mut ratio) = (
        Worst::of("saturation pressure"),
        Worst::of("vapour pressure"),
        Worst::of("humidity ratio"),
    );
    let (mut volume, mut density) = (Worst::of("volume"), Worst::of("density"));
    for row in Table::read("air.csv").rows() {
        let temp_c = row.number("T_C");
        let air = Air::from_relative_humidity(temp_c, row.number("RH"), PRESSURE_PA);
        saturation.relative(row, "p_sat_Pa", saturation_pressure_pa(temp_c));
        vapour.relative(row, "p_v_Pa", air.vapour_pressure_pa);
        ratio.relative(row, "W_kg_kg", air.humidity_ratio());
        let dry = dry_air_density_kg_per_m3(temp_c, air.vapour_pressure_pa, PRESSURE_PA);
        volume.relative(row, "v_m3_kgda", 1.0 / dry);
        density.relative(row, "rho_moist_kg_m3", moist_air_density_kg_per_m3(air));
    }
    // The same formulas: only the ten digits of the table and the handbook's rounded 1.607858 stand between.
    for worst in [saturation, vapour, ratio, volume, density] {
        worst.is_within(1e-6);
    }
}

pub fn wet_bulb_and_dew_point_are_those_of_the_ashrae_formulas() {
    let (mut wet_bulb, mut dew_point) = (Worst::of("wet bulb"), Worst::of("dew point"));
    for row in Table::read("air.csv").rows() {
        let air = Air::from_relative_humidity(row.number("T_C"), row.number("RH"), PRESSURE_PA);
        // The table is over ice below 0 °C, the model over water.
        if row.number("T_wb_C") > 0.0 {
            wet_bulb.absolute(row, "T_wb_C", wet_bulb_c(air));
        }
        if row.number("T_dp_C") > 0.0 {
            dew_point.absolute(row, "T_dp_C", dew_point_c(air));
        }
    }
    // The same relations, iterated to 1e-10 K in the table, ten digits printed; a sensor shows 0.1 K.
    wet_bulb.is_within(1e-3);
    dew_point.is_within(1e-3);
}
