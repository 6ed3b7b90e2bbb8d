use tepid_sim::scenario::Role;
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis, SECOND};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::wiring::{TARGET_C, wiring};
use crate::support::{recipe, text};

const ONE_HEATER: &[Option<Role>] = &[Some(Role::Heat)];

/// With the default band of 1 K: duty 0.3.
const AT_THREE_TENTHS_C: f64 = TARGET_C + 0.2;

#[test]
fn closes_once_per_cycle() {
    let mut bench = Bench::new(&*recipe("proportional", &[]), &wiring(ONE_HEATER));
    bench.run(10 * HOUR, Some(AT_THREE_TENTHS_C));
    assert_eq!(bench.closings[0], 120);
}

#[test]
fn the_duty_is_exact_at_any_interval_and_cycle() {
    for interval_ms in [
        SECOND,
        7 * SECOND,
        10 * SECOND,
        61_500,
        5 * MINUTE,
        12 * MINUTE,
        HOUR,
    ] {
        for cycle_ms in [SECOND, 25 * SECOND, 5 * MINUTE, 17 * MINUTE] {
            let given = [
                ("interval", Value::Time(interval_ms)),
                ("cycle", Value::Time(cycle_ms)),
                ("shortest_pulse", Value::Time(0)),
            ];
            for (tenths, reading_c) in [(3, TARGET_C + 0.2), (7, TARGET_C - 0.2)] {
                let mut bench = Bench::new(&*recipe("proportional", &given), &wiring(ONE_HEATER));
                bench.run(common_multiple(interval_ms, cycle_ms), Some(reading_c));
                let cycles = bench.now_ms / cycle_ms;
                let case = format!("{tenths}/10, {interval_ms} ms, {cycle_ms} ms");
                assert_eq!(bench.closings[0], u32::try_from(cycles).unwrap(), "{case}");
                assert_eq!(bench.closed_ms[0], cycles * cycle_ms * tenths / 10, "{case}");
            }
        }
    }
}

fn common_multiple(a_ms: Millis, b_ms: Millis) -> Millis {
    let (mut divisor, mut rest) = (a_ms, b_ms);
    while rest != 0 {
        (divisor, rest) = (rest, divisor % rest);
    }
    a_ms / divisor * b_ms
}

#[test]
fn full_power_never_opens_and_no_power_never_closes() {
    let mut bench = Bench::new(&*recipe("proportional", &[]), &wiring(ONE_HEATER));
    bench.run(HOUR, Some(TARGET_C - 0.5));
    assert_eq!((bench.closed_ms[0], bench.closings[0]), (HOUR, 1));
    bench.run(HOUR, Some(TARGET_C + 0.5));
    assert_eq!((bench.closed_ms[0], bench.closings[0]), (HOUR, 1));
}

/// Lengths of the stretches closed and open, ms, whole ones only, under one reading.
fn stretches_ms(
    given: &[(&str, Value)],
    reading_c: f64,
    length_ms: Millis,
) -> (Vec<Millis>, Vec<Millis>, Bench) {
    let mut bench = Bench::new(&*recipe("proportional", given), &wiring(ONE_HEATER));
    let (mut closed_ms, mut open_ms) = (Vec::new(), Vec::new());
    let mut since: Option<(bool, Millis)> = None;
    while bench.now_ms < length_ms {
        bench.step(Some(reading_c), |passed_ms, states| {
            let closed = states[0].is_closed();
            match &mut since {
                Some((was_closed, so_far_ms)) if *was_closed == closed => *so_far_ms += passed_ms,
                Some((was_closed, so_far_ms)) => {
                    let list = if *was_closed { &mut closed_ms } else { &mut open_ms };
                    list.push(*so_far_ms);
                    (*was_closed, *so_far_ms) = (closed, passed_ms);
                }
                None => since = Some((closed, passed_ms)),
            }
        });
    }
    (closed_ms, open_ms, bench)
}

/// With a band of 1 K and a cycle of 5 min, 1 mK is 0.3 s of duty.
#[test]
fn no_pulse_is_shorter_than_the_shortest_and_the_mean_duty_holds() {
    for shortest_s in [1, 10, 100, 300] {
        let given = [("shortest_pulse", Value::Time(shortest_s * SECOND))];
        for duty_frac in [0.000_01, 0.001, 0.01, 0.2, 0.5, 0.7, 0.99, 0.999] {
            let reading_c = TARGET_C + 0.5 - duty_frac;
            let (closed_ms, open_ms, bench) = stretches_ms(&given, reading_c, 30 * DAY);
            let case = format!("{shortest_s} s, duty {duty_frac}");
            for stretch_ms in closed_ms.iter().chain(&open_ms) {
                assert!(*stretch_ms >= shortest_s * SECOND, "{case}: {stretch_ms} ms");
            }
            // Of each cycle the on time is rounded to 1 ms; what is owed at the end is below the shortest pulse.
            let cycles = (30 * DAY / (5 * MINUTE)) as f64;
            let wanted_ms = duty_frac * (30 * DAY) as f64;
            let off_by_ms = (bench.closed_ms[0] as f64 - wanted_ms).abs();
            assert!(
                off_by_ms <= 0.5 * cycles + (shortest_s * SECOND) as f64,
                "{case}: off by {off_by_ms} ms"
            );
        }
    }
}

#[test]
fn a_pulse_left_out_closes_the_contact_less_often() {
    // 0.3 s of each cycle: a pulse every fourth cycle in place of one in each.
    let (pulses_ms, _, bench) = stretches_ms(&[], TARGET_C + 0.499, DAY);
    assert!(
        pulses_ms.iter().all(|pulse_ms| *pulse_ms == 1_200),
        "{pulses_ms:?}"
    );
    assert_eq!(bench.closings[0], 288 / 4);
    let (pulses_ms, _, bench) = stretches_ms(&[("shortest_pulse", Value::Time(0))], TARGET_C + 0.499, DAY);
    assert!(pulses_ms.iter().all(|pulse_ms| *pulse_ms == 300), "{pulses_ms:?}");
    assert_eq!(bench.closings[0], 288);
}

#[test]
fn half_power_at_the_setpoint() {
    let mut bench = Bench::new(&*recipe("proportional", &[]), &wiring(ONE_HEATER));
    bench.run(HOUR, Some(TARGET_C));
    assert_eq!(bench.closed_ms[0], HOUR / 2);
}

/// In balance P (s + b/2 − T)/b = UA (T − T_room).
#[test]
fn rests_where_the_power_given_covers_the_loss() {
    for heater_w in [220.0, 300.0, 600.0] {
        let mut tank = FirstOrderTank::at(25.0, &[heater_w]);
        let mut bench = Bench::new(&*recipe("proportional", &[]), &wiring(ONE_HEATER));
        tank.run(&mut bench, 2 * DAY, |_, _| {});
        let (mut sum_c, mut count) = (0.0, 0.0);
        tank.run(&mut bench, HOUR, |_, temp_c| {
            sum_c += temp_c;
            count += 1.0;
        });
        let rest_c = (heater_w * (TARGET_C + 0.5) + 44.0 * 21.0) / (heater_w + 44.0);
        // The duty is taken at the start of a cycle, the coolest moment but for half the ripple of P·cycle/C.
        let ripple_k = heater_w * 300.0 / 1.41e6;
        assert!(
            (sum_c / count - rest_c).abs() < ripple_k,
            "{heater_w} W: {} °C, {rest_c} °C",
            sum_c / count
        );
        assert!(
            (rest_c - TARGET_C).abs() > 0.01,
            "the case shows a rest off the setpoint"
        );
    }
}

#[test]
fn a_silence_opens_within_the_cycle() {
    let mut bench = Bench::new(&*recipe("proportional", &[]), &wiring(ONE_HEATER));
    bench.run(10 * SECOND, Some(20.0));
    assert!(bench.states[0].is_closed());
    bench.step(None, |_, _| {});
    assert!(!bench.states[0].is_closed());
}

#[test]
fn the_last_duty_goes_on_through_a_silence() {
    let given = [("without_reading", text("last duty"))];
    let mut bench = Bench::new(&*recipe("proportional", &given), &wiring(ONE_HEATER));
    bench.run(25 * MINUTE, Some(AT_THREE_TENTHS_C));
    let closed_ms = bench.closed_ms[0];
    bench.run(10 * HOUR, None);
    assert_eq!(bench.closed_ms[0] - closed_ms, 3 * HOUR);
}

#[test]
fn holding_keeps_the_state_of_that_moment() {
    // With duty 0.3 of 5 min the contact opens 90 s into the cycle.
    for (reading_c, silent_after_ms, held_closed) in [
        (AT_THREE_TENTHS_C, 60 * SECOND, true),
        (AT_THREE_TENTHS_C, 90 * SECOND, false),
        (AT_THREE_TENTHS_C, 120 * SECOND, false),
        (20.0, 5 * MINUTE, true),
    ] {
        let given = [("without_reading", text("hold"))];
        let mut bench = Bench::new(&*recipe("proportional", &given), &wiring(ONE_HEATER));
        bench.run(silent_after_ms, Some(reading_c));
        let closed_ms = bench.closed_ms[0];
        bench.run(5 * HOUR, None);
        let held_ms: Millis = if held_closed { 5 * HOUR } else { 0 };
        assert_eq!(
            bench.closed_ms[0] - closed_ms,
            held_ms,
            "silent after {silent_after_ms} ms"
        );
    }
}

#[test]
fn after_an_outage_the_contact_that_is_held_is_open() {
    let mut bench = Bench::new(
        &*recipe("proportional", &[("without_reading", text("hold"))]),
        &wiring(ONE_HEATER),
    );
    bench.run(MINUTE, Some(20.0));
    bench.run(HOUR, None);
    bench.outage(HOUR);
    let closed_ms = bench.closed_ms[0];
    bench.run(HOUR, None);
    assert_eq!(bench.closed_ms[0], closed_ms);
}

#[test]
fn a_new_cycle_begins_when_the_probe_speaks_again() {
    let mut bench = Bench::new(&*recipe("proportional", &[]), &wiring(ONE_HEATER));
    bench.run(2 * MINUTE, Some(AT_THREE_TENTHS_C));
    bench.step(None, |_, _| {});
    bench.step(Some(20.0), |_, _| {});
    assert!(bench.states[0].is_closed());
}

#[test]
fn a_new_cycle_begins_after_an_outage() {
    let mut bench = Bench::new(&*recipe("proportional", &[]), &wiring(ONE_HEATER));
    bench.run(2 * MINUTE, Some(AT_THREE_TENTHS_C));
    bench.outage(HOUR + 70 * SECOND);
    let closed_ms = bench.closed_ms[0];
    bench.run(5 * MINUTE, Some(AT_THREE_TENTHS_C));
    assert_eq!(bench.closed_ms[0] - closed_ms, 90 * SECOND);
    assert_eq!(bench.closings[0], 2);
}

#[test]
fn all_heaters_take_the_same_duty() {
    let wiring = wiring(&[Some(Role::Heat), None, Some(Role::Heat)]);
    let mut bench = Bench::new(&*recipe("proportional", &[]), &wiring);
    bench.run(HOUR, Some(AT_THREE_TENTHS_C));
    assert_eq!(bench.closed_ms, [HOUR * 3 / 10, 0, HOUR * 3 / 10]);
}
