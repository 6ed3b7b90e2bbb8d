//! `evaporation_published.csv`: the pool form of the ASHRAE Handbook and VDI 2089, and where they lie beside Shah's.

use crate::ledger::compare;
use crate::table::{Row, Table, Worst};
use tepid_sim::physics::evaporation::{ashrae_pool, shah, vdi_2089};
use tepid_sim::physics::moist_air::Air;
use tepid_sim::physics::vapour::{latent_heat_j_per_kg, saturation_pressure_pa};

/// What a row of a building simulation's unit test states beside its rate.
struct Pool {
    water_c: f64,
    air_c: f64,
    humidity_ratio: f64,
    activity: f64,
    cover_frac: f64,
}

const AREA_M2: f64 = 10.0;
const PRESSURE_PA: f64 = 101_400.0;

fn pool(row: Row<'_>) -> Option<Pool> {
    match row.text("id") {
        "ashrae_rate_30_20" => Some(Pool {
            water_c: 30.0,
            air_c: 20.0,
            humidity_ratio: 0.005,
            activity: 0.5,
            cover_frac: 0.3,
        }),
        "ashrae_rate_27_22" => Some(Pool {
            water_c: 27.0,
            air_c: 22.0,
            humidity_ratio: 0.010,
            activity: 1.0,
            cover_frac: 1.0,
        }),
        _ => None,
    }
}

pub fn a_pool_loses_what_a_building_simulation_says_of_it() {
    let mut rate = Worst::of("pool evaporation");
    for row in Table::read("evaporation_published.csv").rows() {
        let Some(pool) = pool(row) else { continue };
        // W = 0.621945 p_a/(p − p_a) solved for p_a.
        let air_pa = PRESSURE_PA * pool.humidity_ratio / (0.621_945 + pool.humidity_ratio);
        assert!(air_pa < saturation_pressure_pa(pool.air_c));
        let difference_pa = saturation_pressure_pa(pool.water_c) - air_pa;
        let conductance = ashrae_pool::conductance_kg_per_s_m2_pa(pool.activity, pool.water_c);
        rate.relative(
            row,
            "value",
            conductance * difference_pa * AREA_M2 * pool.cover_frac,
        );
    }
    // Its rates have three digits (0.25 %), its short form rounds 0.0968/2.42 to 0.1 lb/(h ft² inHg) (1 %) and takes no
    // account of the latent heat's fall with temperature (0.5 % over these two).
    rate.is_within(1.5e-2);
}

pub fn the_pool_form_is_the_equation_in_british_units_behind_it() {
    // (95 + 0.425 v) Btu/(h ft² inHg), v = 0.10 m/s = 19.685 ft/min; 1 Btu = 1055.06 J, 1 ft² = 0.092903 m²,
    // 1 inHg = 3386.39 Pa.
    let w_per_m2_pa = (95.0 + 0.425 * 19.685) * 1055.06 / 3600.0 / 0.092_903 / 3386.39;
    let found = ashrae_pool::conductance_kg_per_s_m2_pa(1.0, 27.0) * latent_heat_j_per_kg(27.0);
    // 0.089 and 0.0782 are the handbook's roundings of 0.0885 and 0.0779.
    compare(
        "pool form in British units, W/(m² Pa)",
        "ASHRAE Handbook HVAC Applications, by hand",
        "27 °C, 0.10 m/s",
        (found, w_per_m2_pa),
        0.006 * w_per_m2_pa,
    );
}

pub fn an_unused_pool_of_28_c_under_air_of_30_c_loses_83_grams_an_hour_per_square_metre() {
    // VDI 2089 by hand: p_w 3782.1 Pa and p_a 0.5 × 4246.7 Pa (ASHRAE's saturation pressures), T_m 302.15 K:
    // 7/(461.52 × 302.15) × (3782.1 − 2123.3) = 0.08327 kg/(m² h).
    let air = Air::from_relative_humidity(30.0, 0.5, 101_325.0);
    let difference_pa = saturation_pressure_pa(28.0) - air.vapour_pressure_pa;
    let per_hour = vdi_2089::conductance_kg_per_s_m2_pa(28.0, air) * difference_pa * 3600.0;
    compare(
        "unused pool, kg/(m² h)",
        "VDI 2089, by hand",
        "water 28 °C, air 30 °C, 50 %",
        (per_hour, 0.083_27),
        0.083_27 * 1e-3,
    );
}

pub fn over_water_warmer_than_its_room_buoyancy_lifts_shahs_rate_above_a_quiet_pools() {
    let air = Air::from_relative_humidity(19.0, 0.45, 101_325.0);
    let shah = shah::conductance_kg_per_s_m2_pa(25.5, saturation_pressure_pa(25.5), air);
    let quiet = ashrae_pool::conductance_kg_per_s_m2_pa(0.5, 25.5);
    let unused = vdi_2089::conductance_kg_per_s_m2_pa(25.5, air);
    assert!(shah > quiet && quiet > unused, "{shah} {quiet} {unused}");
}

pub fn over_a_pool_under_warm_damp_air_the_published_forms_differ_by_less_than_half() {
    // The conditions all three are made for: their spread is the honest error of any of them.
    let air = Air::from_relative_humidity(30.0, 0.5, 101_325.0);
    let rates = [
        shah::conductance_kg_per_s_m2_pa(28.0, saturation_pressure_pa(28.0), air),
        ashrae_pool::conductance_kg_per_s_m2_pa(0.5, 28.0),
        vdi_2089::conductance_kg_per_s_m2_pa(28.0, air),
    ];
    let (low, high) = rates.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), rate| {
        (low.min(*rate), high.max(*rate))
    });
    // Quiet pools measured: 0.50 to 0.74 of the pool equation (`smith1998_quiet`, `ashrae_af_quiet_low`), a factor of 1.48.
    assert!(high / low < 1.48, "{rates:?}");
}
