//! `oxygen_saturation.csv`: what water holds, by `gsw` and by the equation of Benson and Krause; and the published check values.

use crate::ledger::compare;
use crate::table::{Table, Worst};
use tepid_sim::physics::STANDARD_PRESSURE_PA;
use tepid_sim::physics::oxygen::{saturation_mg_per_l, saturation_umol_per_kg};
use tepid_sim::physics::water::absolute_salinity_g_per_kg;

pub fn water_holds_the_oxygen_of_garcia_and_gordon() {
    let (mut molar, mut by_mass) = (Worst::of("oxygen held, µmol/kg"), Worst::of("oxygen held, mg/L"));
    let mut own_form = Worst::of("oxygen held against Benson and Krause, mg/L");
    for row in Table::read("oxygen_saturation.csv").rows() {
        let (salinity, temp_c) = (row.number("S_A_g_kg"), row.number("T_C"));
        let held_mg_per_l = saturation_mg_per_l(salinity, temp_c, STANDARD_PRESSURE_PA);
        molar.relative(row, "held_umol_kg", saturation_umol_per_kg(salinity, temp_c));
        by_mass.relative(row, "held_mg_L", held_mg_per_l);
        own_form.relative(row, "benson_krause_mg_L", held_mg_per_l);
    }
    // The same equation: ten digits are printed.
    molar.is_within(1e-9);
    // The 1980 equation of state lies within 1e-5 of TEOS-10's density.
    by_mass.is_within(1.5e-5);
    // Benson and Krause give ±0.1 % for their values; the two equations are fits to the same measurements.
    own_form.is_within(1e-3);
}

pub fn the_published_check_value_is_met_to_its_last_digit() {
    // Garcia and Gordon 1992: 274.610 µmol/kg at practical salinity 35 and 10 °C (scale of 1968). The paper itself was not at hand; seen on
    // 2026-11-25 in the documentation of `Csat` of the R package airsea ("check values from Garcia and Gordon") and in two other public codes.
    let held = saturation_umol_per_kg(absolute_salinity_g_per_kg(35.0), 10.0 / 1.000_24);
    compare(
        "oxygen held, µmol/kg",
        "Garcia and Gordon 1992",
        "practical 35, 10 °C",
        (held, 274.610),
        5e-4,
    );
}

pub fn the_examples_of_teos_10_s_manual_are_met() {
    // gsw_O2sol_SP_pt of the toolbox's manual at teos-10.org, seen 2026-11-25; potential temperature at the surface is the temperature.
    for (practical, temp_c, expected) in [
        (34.7118, 28.8099, 194.682_543_169_294),
        (35.0256, 22.7862, 214.655_936_021_401_3),
        (34.8472, 10.2262, 273.565_283_269_871_3),
    ] {
        let held = saturation_umol_per_kg(absolute_salinity_g_per_kg(practical), temp_c);
        // The same equation, in double precision.
        let range = format!("practical {practical}, {temp_c} °C");
        compare(
            "oxygen held, µmol/kg",
            "TEOS-10's manual",
            &range,
            (held, expected),
            1e-9 * expected,
        );
    }
}
