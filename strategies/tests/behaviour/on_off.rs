use approx::assert_relative_eq;
use tepid_sim::scenario::Role;
use tepid_sim::time::{DAY, HOUR, MINUTE, SECOND, seconds};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::wiring::wiring;
use crate::support::{recipe, text};

const ONE_HEATER: &[Option<Role>] = &[Some(Role::Heat)];

/// The closed form is the textbook's: t_on = τ ln((T_on − T_lo)/(T_on − T_hi)), t_off = τ ln((T_hi − T_a)/(T_lo − T_a)).
/// Decided at 1 s, each edge is met up to 1 s late; what the water runs past it by then takes r s longer to come
/// back, r being the ratio of the two slopes: 10 W to 15 W at 25 °C.
#[test]
fn cycles_with_the_period_of_the_closed_form() {
    let mut tank = FirstOrderTank {
        temp_c: 25.0,
        room_c: 20.0,
        capacity_j_per_k: 251_000.0,
        loss_w_per_k: 3.0,
        heat_w: vec![25.0],
    };
    let given = [
        ("setpoint", Value::Number(25.0)),
        ("deadband", Value::Number(0.1)),
        ("interval", Value::Time(SECOND)),
    ];
    let mut bench = Bench::new(&*recipe("on-off", &given), &wiring(ONE_HEATER));
    let (mut closings_s, mut closings) = (Vec::new(), 0);
    while closings_s.len() < 12 {
        let now_s = seconds(bench.now_ms);
        bench.step(Some(tank.temp_c), |stretch_ms, states| {
            tank.pass(stretch_ms, states)
        });
        if bench.closings[0] > closings {
            closings = bench.closings[0];
            closings_s.push(now_s);
        }
    }
    let period_s = (closings_s[11] - closings_s[1]) / 10.0;
    let (low_c, high_c, tau_s) = (24.95, 25.05, 251_000.0 / 3.0);
    let on_c = 20.0 + 25.0 / 3.0;
    let exact_s =
        tau_s * (libm::log((on_c - low_c) / (on_c - high_c)) + libm::log((high_c - 20.0) / (low_c - 20.0)));
    // The same form at 40 digits (mpmath 1.4.1).
    assert_relative_eq!(exact_s, 4_183.577_389_8, max_relative = 1e-10);
    let latest_s = exact_s + (1.0 + 10.0 / 15.0) + (1.0 + 15.0 / 10.0);
    assert!(
        (exact_s..latest_s).contains(&period_s),
        "{period_s} s, closed form {exact_s} s"
    );
}

#[test]
fn inside_the_deadband_it_stays_as_it_was() {
    let mut bench = Bench::new(&*recipe("on-off", &[]), &wiring(ONE_HEATER));
    for (reading_c, closed) in [
        (25.4, false),
        (25.6, false),
        (25.29, true),
        (25.31, true),
        (25.69, true),
        (25.71, false),
        (25.31, false),
    ] {
        bench.step(Some(reading_c), |_, _| {});
        assert_eq!(bench.states[0].is_closed(), closed, "at {reading_c} °C");
    }
}

#[test]
fn a_deadband_below_never_heats_at_the_setpoint() {
    let mut bench = Bench::new(
        &*recipe("on-off", &[("position", text("below"))]),
        &wiring(ONE_HEATER),
    );
    for (reading_c, closed) in [
        (25.11, false),
        (25.09, true),
        (25.49, true),
        (25.5, false),
        (25.2, false),
    ] {
        bench.step(Some(reading_c), |_, _| {});
        assert_eq!(bench.states[0].is_closed(), closed, "at {reading_c} °C");
    }
}

#[test]
fn minimum_times_hold_against_a_restless_reading() {
    let given = [
        ("minimum_on", Value::Time(2 * MINUTE)),
        ("minimum_off", Value::Time(3 * MINUTE)),
    ];
    let mut bench = Bench::new(&*recipe("on-off", &given), &wiring(ONE_HEATER));
    let mut step = 0;
    while bench.now_ms < 10 * 320 * SECOND {
        bench.step(Some(if step % 2 == 0 { 20.0 } else { 30.0 }), |_, _| {});
        step += 1;
    }
    // Warm readings come at 10 s, 30 s, …, cold ones at 0 s, 20 s, …: 2 min on last 130 s, 3 min off 190 s.
    assert_eq!(bench.closings[0], 10);
    assert_eq!(bench.closed_ms[0], 10 * 130 * SECOND);
}

#[test]
fn a_silent_probe_opens_within_the_minimum_on_time() {
    let given = [("minimum_on", Value::Time(30 * MINUTE))];
    let mut bench = Bench::new(&*recipe("on-off", &given), &wiring(ONE_HEATER));
    bench.step(Some(20.0), |_, _| {});
    assert!(bench.states[0].is_closed());
    bench.step(None, |_, _| {});
    assert!(!bench.states[0].is_closed());
}

#[test]
fn a_clock_set_back_does_not_prolong_a_minimum_time() {
    let given = [("minimum_off", Value::Time(3 * MINUTE))];
    let mut bench = Bench::new(&*recipe("on-off", &given), &wiring(ONE_HEATER));
    bench.run(MINUTE, Some(20.0));
    bench.run(MINUTE, Some(30.0));
    bench.outage(-5 * DAY);
    bench.run(3 * MINUTE + 10 * SECOND, Some(20.0));
    assert!(bench.states[0].is_closed());
}

#[test]
fn holding_a_closed_contact_through_a_silence_heats_on() {
    let mut bench = Bench::new(
        &*recipe("on-off", &[("without_reading", text("hold"))]),
        &wiring(ONE_HEATER),
    );
    bench.run(MINUTE, Some(20.0));
    bench.run(5 * HOUR, None);
    assert_eq!(bench.closed_ms[0], MINUTE + 5 * HOUR);
    bench.outage(HOUR);
    bench.run(HOUR, None);
    assert_eq!(
        bench.closed_ms[0],
        MINUTE + 5 * HOUR,
        "after an outage the contact that is held is open"
    );
}

#[test]
fn the_last_duty_repeats_the_last_on_and_off_spells() {
    let given = [("without_reading", text("last duty"))];
    let mut bench = Bench::new(&*recipe("on-off", &given), &wiring(ONE_HEATER));
    bench.run(HOUR, Some(30.0));
    for _ in 0..3 {
        bench.run(4 * MINUTE, Some(20.0));
        bench.run(6 * MINUTE, Some(30.0));
    }
    let (closed_ms, closings) = (bench.closed_ms[0], bench.closings[0]);
    bench.run(10 * HOUR, None);
    assert_eq!(bench.closings[0] - closings, 60);
    assert_eq!(bench.closed_ms[0] - closed_ms, 60 * 4 * MINUTE);
}

#[test]
fn a_spell_with_a_silence_or_an_outage_in_it_is_not_taken_for_the_last_duty() {
    let interruptions: [fn(&mut Bench); 2] = [|bench| bench.run(MINUTE, None), |bench| bench.outage(MINUTE)];
    for interrupt in interruptions {
        let given = [("without_reading", text("last duty"))];
        let mut bench = Bench::new(&*recipe("on-off", &given), &wiring(ONE_HEATER));
        bench.run(HOUR, Some(30.0));
        for _ in 0..3 {
            bench.run(4 * MINUTE, Some(20.0));
            bench.run(6 * MINUTE, Some(30.0));
        }
        bench.run(MINUTE, Some(20.0));
        interrupt(&mut bench);
        bench.run(15 * MINUTE, Some(20.0));
        bench.run(6 * MINUTE, Some(30.0));
        let closed_ms = bench.closed_ms[0];
        bench.run(10 * HOUR, None);
        assert_eq!(bench.closed_ms[0] - closed_ms, 60 * 4 * MINUTE);
    }
}

#[test]
fn the_last_duty_is_nothing_before_the_first_whole_cycle() {
    let given = [("without_reading", text("last duty"))];
    let mut bench = Bench::new(&*recipe("on-off", &given), &wiring(ONE_HEATER));
    bench.run(HOUR, Some(20.0));
    bench.run(5 * HOUR, None);
    assert_eq!(bench.closed_ms[0], HOUR);
}

#[test]
fn only_named_contacts_are_switched() {
    let given = [("contacts", Value::Names(vec!["contact 1".to_owned()]))];
    let mut bench = Bench::new(
        &*recipe("on-off", &given),
        &wiring(&[Some(Role::Heat), Some(Role::Heat)]),
    );
    bench.run(HOUR, Some(20.0));
    assert_eq!(bench.closed_ms, [0, HOUR]);
}
