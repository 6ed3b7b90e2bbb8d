use tepid_sim::scenario::Role;
use tepid_sim::time::{DAY, HOUR, MINUTE};
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
    let mut bench = Bench::new(&*recipe("heat-and-fan", &[]), &wiring(HEATER_AND_FAN));
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
