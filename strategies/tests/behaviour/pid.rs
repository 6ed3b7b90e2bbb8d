use tepid_sim::scenario::Role;
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis, SECOND};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::wiring::{TARGET_C, wiring};
use crate::support::{recipe, text};

const ONE_HEATER: &[Option<Role>] = &[Some(Role::Heat)];

/// Closed time over ten minutes at one reading, after these readings, each for so long.
fn closed_ms(given: &[(&str, Value)], before: &[(Millis, f64)], reading_c: f64) -> Millis {
    let mut bench = Bench::new(&*recipe("pid", given), &wiring(ONE_HEATER));
    for (length_ms, reading_c) in before {
        bench.run(*length_ms, Some(*reading_c));
    }
    let closed_ms = bench.closed_ms[0];
    bench.run(10 * MINUTE, Some(reading_c));
    bench.closed_ms[0] - closed_ms
}

/// Without derivative it is the PI, decision by decision, once both have the same integral: at a start far below both give all.
#[test]
fn without_derivative_it_holds_a_tank_as_pi_does() {
    let course = |name: &str, given: &[(&str, Value)]| {
        let mut tank = FirstOrderTank::at(22.0, &[300.0]);
        let mut bench = Bench::new(&*recipe(name, given), &wiring(ONE_HEATER));
        let mut seen_c = Vec::new();
        tank.run(&mut bench, 2 * DAY, |_, temp_c| seen_c.push(temp_c));
        seen_c
    };
    let none = [("derivative_time", Value::Time(0))];
    assert_eq!(course("pi", &[]), course("pid", &none));
    assert_ne!(course("pi", &[]), course("pid", &[]), "with one it differs");
}

#[test]
fn rests_on_the_setpoint_whatever_the_heater() {
    for heater_w in [220.0, 300.0, 600.0] {
        let mut tank = FirstOrderTank::at(25.0, &[heater_w]);
        let mut bench = Bench::new(&*recipe("pid", &[]), &wiring(ONE_HEATER));
        tank.run(&mut bench, 5 * DAY, |_, _| {});
        let ripple_k = heater_w * 300.0 / 1.41e6;
        tank.run(&mut bench, HOUR, |_, temp_c| {
            assert!((temp_c - TARGET_C).abs() < ripple_k, "{heater_w} W: {temp_c} °C");
        });
    }
}

#[test]
fn water_that_rises_is_given_less_and_water_that_falls_more() {
    let given = [("cycle", Value::Time(10 * SECOND))];
    let steady_ms = closed_ms(&given, &[(HOUR, TARGET_C - 0.2)], TARGET_C - 0.2);
    let mut rising = Bench::new(&*recipe("pid", &given), &wiring(ONE_HEATER));
    let mut falling = Bench::new(&*recipe("pid", &given), &wiring(ONE_HEATER));
    // 0.3 K in ten minutes, ending at the same reading.
    for step in -60..=0 {
        let by_k = 0.005 * f64::from(step);
        rising.step(Some(TARGET_C - 0.2 + by_k), |_, _| {});
        falling.step(Some(TARGET_C - 0.2 - by_k), |_, _| {});
    }
    let last_ms = |bench: &mut Bench| {
        let before_ms = bench.closed_ms[0];
        bench.run(10 * SECOND, Some(TARGET_C - 0.2));
        (bench.closed_ms[0] - before_ms) * 60
    };
    assert!(last_ms(&mut rising) < steady_ms - MINUTE);
    assert!(last_ms(&mut falling) > steady_ms);
}

/// A heater of 600 W and a probe that lags by ten minutes: the PI overshoots, the derivative lets go in time.
#[test]
fn behind_a_lagging_probe_the_derivative_damps_the_overshoot() {
    let overshoot_k = |derivative_time_ms: Millis| {
        let given = [
            ("derivative_time", Value::Time(derivative_time_ms)),
            ("derivative_filter", Value::Time(2 * MINUTE)),
            ("band", Value::Number(0.25)),
            ("integral_time", Value::Time(12 * HOUR)),
        ];
        let mut tank = FirstOrderTank::at(24.0, &[600.0]);
        let mut bench = Bench::new(&*recipe("pid", &given), &wiring(ONE_HEATER));
        let (mut probe_c, mut highest_c) = (24.0, 0.0_f64);
        while bench.now_ms < 2 * DAY {
            bench.step(Some(probe_c), |stretch_ms, states| tank.pass(stretch_ms, states));
            probe_c += (tank.temp_c - probe_c) * 10.0 / 600.0;
            highest_c = highest_c.max(tank.temp_c);
        }
        highest_c - TARGET_C
    };
    let (without_k, with_k) = (overshoot_k(0), overshoot_k(20 * MINUTE));
    assert!(with_k < 0.7 * without_k, "{with_k} K with, {without_k} K without");
}

#[test]
fn it_starts_without_a_bump() {
    // At the setpoint a fresh one begins with nothing, and after a silence one goes on as before it.
    assert!(closed_ms(&[], &[], TARGET_C) < 10 * SECOND);
    let going_on = [("without_reading", text("last duty"))];
    let mut bench = Bench::new(&*recipe("pid", &going_on), &wiring(ONE_HEATER));
    bench.run(3 * HOUR, Some(TARGET_C - 0.1));
    let per_cycle_ms = |bench: &mut Bench, reading_c| {
        let before_ms = bench.closed_ms[0];
        bench.run(5 * MINUTE, reading_c);
        bench.closed_ms[0] - before_ms
    };
    let before_ms = per_cycle_ms(&mut bench, Some(TARGET_C - 0.1));
    bench.run(HOUR, None);
    let after_ms = per_cycle_ms(&mut bench, Some(TARGET_C));
    assert!(
        (after_ms - before_ms).abs() < 5 * SECOND,
        "{before_ms} ms a cycle before the silence, {after_ms} ms after it"
    );
}

#[test]
fn the_duty_of_pi_and_pid_keeps_to_its_most_and_to_its_travel() {
    for strategy in ["pi", "pid"] {
        let most = [("most", Value::Number(0.4))];
        let mut bench = Bench::new(&*recipe(strategy, &most), &wiring(ONE_HEATER));
        bench.run(2 * HOUR, Some(TARGET_C - 5.0));
        let closed_ms = bench.closed_ms[0];
        assert!(
            (closed_ms - 48 * MINUTE).abs() <= 2 * MINUTE,
            "{strategy}: {closed_ms} ms of 2 h"
        );
        let slow = [
            ("full_travel", Value::Time(HOUR)),
            ("cycle", Value::Time(10 * SECOND)),
            ("shortest_pulse", Value::Time(0)),
        ];
        let mut bench = Bench::new(&*recipe(strategy, &slow), &wiring(ONE_HEATER));
        bench.run(HOUR, Some(TARGET_C - 5.0));
        // From nothing to all in an hour along a straight line: half of it closed, short of one interval.
        let closed_ms = bench.closed_ms[0];
        assert!(
            (closed_ms - HOUR / 2).abs() <= 10 * SECOND,
            "{strategy}: {closed_ms} ms of the way"
        );
    }
}

#[test]
fn without_anti_windup_it_overshoots_more_after_saturation() {
    let overshoot_k = |anti_windup: &str| {
        let mut tank = FirstOrderTank::at(18.0, &[400.0]);
        let given = [("anti_windup", text(anti_windup))];
        let mut bench = Bench::new(&*recipe("pid", &given), &wiring(ONE_HEATER));
        let mut highest_c = 0.0_f64;
        tank.run(&mut bench, 10 * DAY, |_, temp_c| {
            highest_c = highest_c.max(temp_c)
        });
        highest_c - TARGET_C
    };
    let none_k = overshoot_k("none");
    for cure in ["clamp", "freeze", "back-calculation"] {
        let cured_k = overshoot_k(cure);
        assert!(cured_k < none_k / 2.0, "{cure}: {cured_k} K, none: {none_k} K");
    }
}
