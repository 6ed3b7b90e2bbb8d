//! Oxygen of one and two tanks: closed forms, and `oxygen_two_tanks.csv` (matrix exponential by scipy).

use crate::table::{Table, Worst};
use tepid_sim::physics::oxygen_balance::{Exchange, TankOxygen, advance, steady_mg_per_l};

/// The pair of the table.
const PAIR: [TankOxygen; 2] = [
    TankOxygen {
        volume_m3: 0.25,
        transfer_m3_per_s: 1.2e-5,
        saturation_mg_per_l: 7.9,
        demand_mg_per_s: 0.045,
    },
    TankOxygen {
        volume_m3: 0.06,
        transfer_m3_per_s: 6e-6,
        saturation_mg_per_l: 7.7,
        demand_mg_per_s: 0.004,
    },
];

const PIPE: Exchange = Exchange {
    a: 0,
    b: 1,
    rate_m3_per_s: 4.2e-4,
};

/// Minute by minute, as a run does.
fn after_minutes(minutes: u32) -> [f64; 2] {
    let mut oxygen = [7.0, 3.0];
    for _ in 0..minutes {
        advance(&PAIR, &[PIPE], 60.0, &mut oxygen);
    }
    oxygen
}

pub fn a_still_closed_tank_loses_oxygen_in_a_straight_line() {
    // 200 L, nothing from the air, 100 mg/h: 0.5 mg/L an hour.
    let tank = TankOxygen {
        volume_m3: 0.2,
        transfer_m3_per_s: 1e-12,
        saturation_mg_per_l: 8.0,
        demand_mg_per_s: 100.0 / 3600.0,
    };
    let mut oxygen = [8.0];
    for hour in 1..=10 {
        for _ in 0..60 {
            advance(&[tank], &[], 60.0, &mut oxygen);
        }
        let expected = 8.0 - 0.5 * f64::from(hour);
        // 1e-12 m³/s brings in 1e-7 mg/L in that time; the rest is e^x − 1 at x = 3e-10, times 1e8 mg/L, at 1e-16.
        assert!(
            (oxygen[0] - expected).abs() < 1e-4,
            "{} after {hour} h",
            oxygen[0]
        );
    }
}

pub fn an_open_tank_tends_exponentially_to_where_uptake_meets_demand() {
    // V/G = 0.2/4e-6 s = 50 000 s; G (C_sat − C) = d at 8 − 0.012/0.004 = 5 mg/L.
    let tank = TankOxygen {
        volume_m3: 0.2,
        transfer_m3_per_s: 4e-6,
        saturation_mg_per_l: 8.0,
        demand_mg_per_s: 0.012,
    };
    let mut oxygen = [8.0];
    for _ in 0..5000 {
        advance(&[tank], &[], 10.0, &mut oxygen);
    }
    let expected = 5.0 + 3.0 * (-1.0_f64).exp();
    assert!((oxygen[0] - expected).abs() < 1e-10, "{}", oxygen[0]);
    assert!((tank.tends_to_mg_per_l() - 5.0).abs() < 1e-12);
    assert!((steady_mg_per_l(&[tank], &[])[0] - 5.0).abs() < 1e-12);
}

pub fn two_tanks_that_exchange_water_follow_the_matrix_exponential() {
    let (mut first, mut second) = (Worst::of("oxygen of one tank"), Worst::of("oxygen of the other"));
    let (mut first_late, mut second_late) = (
        Worst::of("oxygen of one tank from 10 min on"),
        Worst::of("oxygen of the other from 10 min on"),
    );
    for row in Table::read("oxygen_two_tanks.csv").rows() {
        let minutes = row.text("minutes").parse().expect("minutes");
        let oxygen = after_minutes(minutes);
        first.absolute(row, "C1_mg_L", oxygen[0]);
        second.absolute(row, "C2_mg_L", oxygen[1]);
        if minutes >= 10 {
            first_late.absolute(row, "C1_mg_L", oxygen[0]);
            second_late.absolute(row, "C2_mg_L", oxygen[1]);
        }
    }
    // The two mix within minutes, from 4 mg/L apart; a second-order step of a minute may be off by z³/6 of that, z = 0.52 (0.095 mg/L), meanwhile.
    first.is_within(0.1);
    second.is_within(0.1);
    // Mixed, the slow change is left, z = 0.0035: what a keeper's meter shows is 0.1 mg/L.
    first_late.is_within(0.01);
    second_late.is_within(0.01);
}

pub fn two_tanks_rest_where_uptake_and_demand_of_both_meet() {
    let steady = steady_mg_per_l(&PAIR, &[PIPE]);
    let uptake: f64 = PAIR
        .iter()
        .zip(&steady)
        .map(|(tank, oxygen)| tank.transfer_m3_per_s * 1000.0 * (tank.saturation_mg_per_l - oxygen))
        .sum();
    assert!((uptake - 0.049).abs() < 1e-12, "{uptake}");
    let mut oxygen = [steady[0], steady[1]];
    advance(&PAIR, &[PIPE], 60.0, &mut oxygen);
    assert!((oxygen[0] - steady[0]).abs() < 1e-12 && (oxygen[1] - steady[1]).abs() < 1e-12);
}
