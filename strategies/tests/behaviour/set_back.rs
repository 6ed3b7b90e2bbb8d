use tepid_sim::scenario::Role;
use tepid_sim::time::{DAY, HOUR, MINUTE};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::{TARGET_C, wiring};

const ONE_HEATER: &[Option<Role>] = &[Some(Role::Heat)];

/// The lowest reading, in steps of 0.01 K, at which a fresh one leaves the heater open at this time of day.
fn lower_edge_c(at_ms: i64) -> f64 {
    let mut edge_c = TARGET_C - 2.0;
    loop {
        let mut bench = Bench::new(&*recipe("set-back", &[]), &wiring(ONE_HEATER));
        bench.now_ms = at_ms;
        bench.step(Some(edge_c), |_, _| {});
        if !bench.states[0].is_closed() {
            return edge_c;
        }
        edge_c += 0.01;
    }
}

#[test]
fn the_setpoint_falls_and_rises_along_its_ramp() {
    for (at_ms, lowered_k) in [
        (21 * HOUR, 0.0),
        (22 * HOUR, 0.0),
        (24 * HOUR, 0.5),
        (26 * HOUR, 1.0),
        (31 * HOUR, 1.0),
        (33 * HOUR, 0.75),
        (34 * HOUR + 30 * MINUTE, 0.375),
        (36 * HOUR, 0.0),
        (-12 * HOUR, 0.0),
        (-23 * HOUR, 0.75),
    ] {
        let edge_c = lower_edge_c(at_ms);
        let expected_c = 25.3 - lowered_k;
        assert!(
            (edge_c - expected_c).abs() < 0.011,
            "{} h: {edge_c} °C, expected {expected_c} °C",
            at_ms / HOUR
        );
    }
}

#[test]
fn the_water_swings_by_the_drop() {
    let mut tank = FirstOrderTank::at(TARGET_C, &[400.0]);
    // A lively tank: the room takes its heat as fast as the ramp lets it.
    tank.loss_w_per_k = 120.0;
    tank.heat_w = vec![900.0];
    let mut bench = Bench::new(&*recipe("set-back", &[]), &wiring(ONE_HEATER));
    tank.run(&mut bench, 2 * DAY, |_, _| {});
    let (mut lowest_c, mut highest_c) = (f64::INFINITY, f64::NEG_INFINITY);
    tank.run(&mut bench, 3 * DAY, |_, temp_c| {
        lowest_c = lowest_c.min(temp_c);
        highest_c = highest_c.max(temp_c);
    });
    // The drop and the deadband, and what 900 W move in one interval.
    assert!(
        (highest_c - lowest_c - 1.4).abs() < 0.007,
        "{lowest_c} to {highest_c} °C"
    );
}

#[test]
fn a_ramp_too_slow_for_the_drop_is_refused() {
    let set_back = tepid_strategies::find("set-back").unwrap();
    let mut values = set_back.defaults();
    values.set("drop", Value::Number(3.0)).unwrap();
    let refused = (set_back.build)(&values).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "`ramp` is 0.25 K/h, too slow for a `drop` of 3 K in 10 h, the shorter of night and day"
    );
}
