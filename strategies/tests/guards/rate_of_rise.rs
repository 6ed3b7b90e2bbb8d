//! Heat without a rise, and a rise without heat.

use crate::scripted::{CLOSED, INTERVAL_MS, OPEN, Stack, control, guard, set};
use crate::support::wiring::wiring;
use tepid_sim::scenario::Role;
use tepid_sim::time::{HOUR, MINUTE, Millis};

const HEAT: Option<Role> = Some(Role::Heat);

fn watched() -> Stack {
    Stack::new(&wiring(&[HEAT, HEAT]), vec![guard("rate-of-rise", &[])])
}

/// Runs with readings by the time since the beginning; whether contact 0 was closed throughout.
fn run(stack: &mut Stack, length_ms: Millis, reading_c: impl Fn(Millis) -> f64) -> bool {
    let began_ms = stack.now_ms;
    let mut closed = true;
    while stack.now_ms < began_ms + length_ms {
        let temp_c = reading_c(stack.now_ms - began_ms);
        let seconds = stack.step(&control(temp_c), &[]);
        closed &= seconds.outside.iter().all(|states| states[0].is_closed());
    }
    closed
}

#[test]
fn heat_without_a_rise_alerts_once_and_opens_for_a_while() {
    let mut stack = watched();
    stack.step(&control(24.0), &[set(0, 0, CLOSED)]);
    assert!(run(&mut stack, HOUR - INTERVAL_MS, |_| 24.0));
    assert!(stack.alerts.is_empty());
    assert_eq!(stack.step(&control(24.0), &[]).outside[0][0], OPEN);
    assert_eq!(stack.alerts.len(), 1);
    run(&mut stack, 30 * MINUTE - INTERVAL_MS, |_| 24.0);
    assert_eq!(
        stack.step(&control(24.0), &[]).outside[0][0],
        CLOSED,
        "it tries again after the pause"
    );
    assert_eq!(stack.alerts.len(), 1);
}

#[test]
fn a_slow_rise_is_enough() {
    let mut stack = watched();
    stack.step(&control(20.0), &[set(0, 0, CLOSED)]);
    assert!(run(&mut stack, 10 * HOUR, |at_ms| 20.0
        + 0.12 * (at_ms as f64 / HOUR as f64)));
    assert!(stack.alerts.is_empty(), "{:?}", stack.alerts);
}

#[test]
fn a_rise_without_heat_alerts_and_opens_everything() {
    let mut stack = watched();
    stack.step(&control(25.0), &[set(0, 0, OPEN)]);
    // 0.8 K/h, as a 200 W heater gives to some 200 L.
    run(&mut stack, 55 * MINUTE, |at_ms| {
        25.0 + 0.8 * (at_ms as f64 / HOUR as f64)
    });
    assert_eq!(stack.alerts.len(), 1, "{:?}", stack.alerts);
    assert!(stack.alerts[0].contains("not heating"));
    let seconds = stack.step(&control(25.8), &[set(0, 0, CLOSED)]);
    assert_eq!(seconds.outside[9][0], OPEN, "not even a new command closes it");
}

#[test]
fn what_a_heater_still_gives_off_after_opening_is_no_weld() {
    let mut stack = watched();
    stack.step(&control(25.0), &[set(0, 0, CLOSED)]);
    stack.step(&control(25.0), &[set(0, 0, OPEN)]);
    run(&mut stack, 15 * MINUTE, |at_ms| {
        25.0 + 0.6 * (at_ms as f64 / (15 * MINUTE) as f64)
    });
    run(&mut stack, 2 * HOUR, |_| 25.6);
    assert!(stack.alerts.is_empty(), "{:?}", stack.alerts);
}

#[test]
fn a_silent_probe_raises_nothing() {
    let mut stack = watched();
    stack.step(&control(25.0), &[set(0, 0, CLOSED)]);
    for _ in 0..(3 * HOUR / INTERVAL_MS) {
        assert_eq!(stack.step(&[None, None], &[]).outside[0][0], CLOSED);
    }
    assert!(stack.alerts.is_empty());
}
