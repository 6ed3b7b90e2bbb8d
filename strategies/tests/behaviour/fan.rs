use tepid_sim::scenario::Role;
use tepid_sim::time::{DAY, HOUR, MINUTE, SECOND};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::wiring::{TARGET_C, wiring};
use crate::support::{recipe, text};

const HEATER_AND_FAN: &[Option<Role>] = &[Some(Role::Heat), Some(Role::Cool)];

#[test]
fn a_fan_blows_above_the_deadband_and_stops_at_the_setpoint() {
    let mut bench = Bench::new(&*recipe("fan-cooling", &[]), &wiring(&[Some(Role::Cool)]));
    for (reading_c, closed) in [
        (25.89, false),
        (25.91, true),
        (25.51, true),
        (25.49, false),
        (25.89, false),
    ] {
        bench.step(Some(reading_c), |_, _| {});
        assert_eq!(bench.states[0].is_closed(), closed, "at {reading_c} °C");
    }
}

#[test]
fn a_centred_fan_cools_past_the_setpoint() {
    let given = [("position", text("centred"))];
    let mut bench = Bench::new(&*recipe("fan-cooling", &given), &wiring(&[Some(Role::Cool)]));
    for (reading_c, closed) in [(25.69, false), (25.71, true), (25.31, true), (25.29, false)] {
        bench.step(Some(reading_c), |_, _| {});
        assert_eq!(bench.states[0].is_closed(), closed, "at {reading_c} °C");
    }
}

#[test]
fn between_the_sides_lies_a_zone_in_which_neither_works() {
    let given = [("lockout", Value::Time(0))];
    let mut bench = Bench::new(&*recipe("heat-and-fan", &given), &wiring(HEATER_AND_FAN));
    for (reading_c, closed) in [
        (25.11, [false, false]),
        (25.09, [true, false]),
        (25.39, [true, false]),
        (25.41, [false, false]),
        (25.89, [false, false]),
        (25.91, [false, true]),
        (25.61, [false, true]),
        (25.59, [false, false]),
    ] {
        bench.step(Some(reading_c), |_, _| {});
        assert_eq!(
            [bench.states[0].is_closed(), bench.states[1].is_closed()],
            closed,
            "at {reading_c} °C"
        );
    }
}

#[test]
fn a_fan_alone_leaves_the_heater_open_in_the_cold() {
    let mut tank = FirstOrderTank::at(TARGET_C, &[300.0, -100.0]);
    let mut bench = Bench::new(&*recipe("fan-cooling", &[]), &wiring(HEATER_AND_FAN));
    tank.run(&mut bench, 5 * DAY, |_, _| {});
    assert_eq!(bench.closed_ms, [0, 0]);
    assert!(
        (tank.temp_c - 21.0).abs() < 0.01,
        "down to the room: {} °C",
        tank.temp_c
    );
}

#[test]
fn heater_and_fan_are_never_on_together() {
    for without in ["off", "hold", "last duty"] {
        let given = [
            ("without_reading", text(without)),
            ("dead_zone", Value::Number(0.01)),
            ("lockout", Value::Time(0)),
        ];
        let mut bench = Bench::new(&*recipe("heat-and-fan", &given), &wiring(HEATER_AND_FAN));
        let (mut heated, mut cooled) = (0, 0);
        for step in 0_u32..20_000 {
            // A restless reading over ±1.5 K, silent now and then.
            let reading_c = TARGET_C + f64::from(step.wrapping_mul(2_654_435_761) % 3001) / 1000.0 - 1.5;
            bench.step((step % 97 > 30).then_some(reading_c), |_, states| {
                assert!(
                    !(states[0].is_closed() && states[1].is_closed()),
                    "{without}, step {step}"
                );
                heated += u32::from(states[0].is_closed());
                cooled += u32::from(states[1].is_closed());
            });
        }
        assert!(
            heated > 1000 && cooled > 1000,
            "both sides worked: {heated}, {cooled}"
        );
    }
}

#[test]
fn the_side_that_worked_last_goes_on_alone_through_a_silence() {
    let given = [("without_reading", text("last duty"))];
    let mut bench = Bench::new(&*recipe("heat-and-fan", &given), &wiring(HEATER_AND_FAN));
    for _ in 0..3 {
        bench.run(4 * MINUTE, Some(TARGET_C - 1.0));
        bench.run(6 * MINUTE, Some(TARGET_C));
    }
    for _ in 0..3 {
        bench.run(5 * MINUTE, Some(TARGET_C + 1.0));
        bench.run(5 * MINUTE, Some(TARGET_C));
    }
    let before_ms = bench.closed_ms.clone();
    bench.run(10 * HOUR, None);
    assert_eq!(bench.closed_ms[0], before_ms[0]);
    assert_eq!(bench.closed_ms[1] - before_ms[1], 5 * HOUR);
}

#[test]
fn heater_and_fan_hold_a_tank_through_cold_and_heat() {
    let mut tank = FirstOrderTank::at(TARGET_C, &[300.0, -200.0]);
    let mut bench = Bench::new(&*recipe("heat-and-fan", &[]), &wiring(HEATER_AND_FAN));
    for room_c in [19.0, 29.0] {
        tank.room_c = room_c;
        tank.run(&mut bench, DAY, |_, _| {});
        tank.run(&mut bench, 2 * DAY, |_, temp_c| {
            // The edges, and what 400 W move the water past them in 10 s.
            assert!(
                (25.1 - 0.003..25.9 + 0.003).contains(&temp_c),
                "room {room_c} °C: {temp_c} °C"
            );
        });
    }
}

#[test]
fn after_one_side_has_worked_the_other_waits_out_the_lockout() {
    let mut bench = Bench::new(&*recipe("heat-and-fan", &[]), &wiring(HEATER_AND_FAN));
    bench.run(10 * MINUTE, Some(TARGET_C - 1.0));
    let heated_ms = bench.closed_ms[0];
    bench.run(HOUR, Some(TARGET_C + 1.0));
    // The last decision that kept the heater closed was an interval before.
    assert_eq!(bench.closed_ms, [heated_ms, 55 * MINUTE + 10 * SECOND]);
    bench.run(HOUR, Some(TARGET_C - 1.0));
    assert_eq!(bench.closed_ms[0], heated_ms + 55 * MINUTE + 10 * SECOND);
}

/// A strong heater and a strong fan by a probe that lags: how long both worked in a day in a mild room, h.
fn work_h(dead_zone_k: f64, lockout_ms: i64) -> [f64; 2] {
    let given = [
        ("deadband", Value::Number(0.05)),
        ("dead_zone", Value::Number(dead_zone_k)),
        ("lockout", Value::Time(lockout_ms)),
    ];
    let mut tank = FirstOrderTank::at(TARGET_C - 0.2, &[1000.0, -1000.0]);
    tank.room_c = TARGET_C - 1.0;
    let mut bench = Bench::new(&*recipe("heat-and-fan", &given), &wiring(HEATER_AND_FAN));
    let mut probe_c = tank.temp_c;
    while bench.now_ms < DAY {
        bench.step(Some(probe_c), |stretch_ms, states| tank.pass(stretch_ms, states));
        probe_c += (tank.temp_c - probe_c) * 10.0 / 300.0;
    }
    [0, 1].map(|contact| bench.closed_ms[contact] as f64 / HOUR as f64)
}

/// The loss of 44 W/K to a room 1 K colder is 44 W: 1.06 h of 1000 W a day, and no cooling.
#[test]
fn heater_and_fan_fight_without_a_dead_zone_and_do_not_with_it() {
    let [heated_h, cooled_h] = work_h(0.01, 0);
    assert!(
        heated_h > 4.0 && cooled_h > 3.0,
        "they fight: {heated_h} h and {cooled_h} h"
    );
    let [heated_h, cooled_h] = work_h(0.3, 0);
    assert!(heated_h < 1.3 && cooled_h == 0.0, "{heated_h} h and {cooled_h} h");
    let [heated_h, cooled_h] = work_h(0.01, 2 * HOUR);
    assert!(heated_h < 2.0 && cooled_h < 1.0, "{heated_h} h and {cooled_h} h");
}
