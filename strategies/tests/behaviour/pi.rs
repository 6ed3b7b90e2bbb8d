use tepid_sim::scenario::Role;
use tepid_sim::time::{DAY, HOUR, MINUTE, SECOND, seconds};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::wiring::{TARGET_C, wiring};
use crate::support::{recipe, text};

const ONE_HEATER: &[Option<Role>] = &[Some(Role::Heat)];

/// The closed form of a unit step under PI of one mass, K = 1/UA, τ = C/UA, gains Kp (W/K) and Ki (W/(K s)):
/// ω_n² = K Ki/τ, 2 ζ ω_n = (1 + K Kp)/τ, y = 1 − e^(−ζω_n t) (cos ω_d t + (ζω_n − b)/ω_d sin ω_d t), b = K Kp/τ.
/// The step is made by a probe that from some moment on reads 1 K too low.
#[test]
fn follows_the_closed_form_of_a_step() {
    let (heater_w, kp_w_per_k, integral_time_s) = (250.0_f64, 60.0_f64, 3000.0_f64);
    let (gain_k_per_w, tau_s) = (1.0 / 3.0, 251_000.0 / 3.0);
    let ki_w_per_k_s = kp_w_per_k / integral_time_s;
    let natural_per_s = (gain_k_per_w * ki_w_per_k_s / tau_s).sqrt();
    let decay_per_s = (1.0 + gain_k_per_w * kp_w_per_k) / tau_s / 2.0;
    let damped_per_s = (natural_per_s * natural_per_s - decay_per_s * decay_per_s).sqrt();
    let zero_per_s = gain_k_per_w * kp_w_per_k / tau_s;
    let exact_k = |t_s: f64| {
        1.0 - libm::exp(-decay_per_s * t_s)
            * (libm::cos(damped_per_s * t_s)
                + (decay_per_s - zero_per_s) / damped_per_s * libm::sin(damped_per_s * t_s))
    };

    let given = [
        ("setpoint", Value::Number(25.0)),
        ("band", Value::Number(heater_w / kp_w_per_k)),
        ("integral_time", Value::Time(3000 * SECOND)),
        ("cycle", Value::Time(10 * SECOND)),
        ("anti_windup", text("none")),
    ];
    let mut bench = Bench::new(&*recipe("pi", &given), &wiring(ONE_HEATER));
    // In a room of 5 °C the heater has room to give less as well as more.
    let mut tank = FirstOrderTank {
        temp_c: 25.0,
        room_c: 5.0,
        capacity_j_per_k: 251_000.0,
        loss_w_per_k: 3.0,
        heat_w: vec![heater_w],
    };
    tank.run(&mut bench, 20 * DAY, |_, _| {});
    let (from_ms, rest_c) = (bench.now_ms, tank.temp_c);
    assert!(
        (rest_c - 25.0).abs() < 0.002,
        "it rests on the setpoint first: {rest_c} °C"
    );
    let (mut highest_k, mut highest_s) = (0.0, 0.0);
    while bench.now_ms < from_ms + DAY {
        let t_s = seconds(bench.now_ms - from_ms);
        let step_k = tank.temp_c - 25.0;
        // One interval of delay at the steepest slope, Kp/C, is 2.4 mK.
        assert!(
            (step_k - exact_k(t_s)).abs() < 0.0024,
            "after {t_s} s: {step_k} K, exact {} K",
            exact_k(t_s)
        );
        if step_k > highest_k {
            (highest_k, highest_s) = (step_k, t_s);
        }
        bench.step(Some(tank.temp_c - 1.0), |stretch_ms, states| {
            tank.pass(stretch_ms, states)
        });
    }
    // Overshoot and its time for this case from the closed form at 30 digits (mpmath 1.4.1).
    assert!((highest_k - 1.320_014_5).abs() < 0.0024, "{highest_k} K");
    assert!((highest_s - 8_933.46).abs() < 100.0, "{highest_s} s");
}

#[test]
fn rests_on_the_setpoint_whatever_the_heater() {
    for heater_w in [220.0, 300.0, 600.0] {
        let mut tank = FirstOrderTank::at(25.0, &[heater_w]);
        let mut bench = Bench::new(&*recipe("pi", &[]), &wiring(ONE_HEATER));
        tank.run(&mut bench, 5 * DAY, |_, _| {});
        let ripple_k = heater_w * 300.0 / 1.41e6;
        tank.run(&mut bench, HOUR, |_, temp_c| {
            assert!((temp_c - TARGET_C).abs() < ripple_k, "{heater_w} W: {temp_c} °C");
        });
    }
}

/// The highest temperature after a tank of 18 °C was warmed up, above the setpoint, K.
fn overshoot_k(anti_windup: &str) -> f64 {
    let mut tank = FirstOrderTank::at(18.0, &[400.0]);
    let mut bench = Bench::new(
        &*recipe("pi", &[("anti_windup", text(anti_windup))]),
        &wiring(ONE_HEATER),
    );
    let mut highest_c = 0.0_f64;
    tank.run(&mut bench, 10 * DAY, |_, temp_c| {
        highest_c = highest_c.max(temp_c)
    });
    highest_c - TARGET_C
}

#[test]
fn without_anti_windup_it_overshoots_more_after_saturation() {
    let none_k = overshoot_k("none");
    for cure in ["clamp", "freeze", "back-calculation"] {
        let cured_k = overshoot_k(cure);
        assert!(cured_k < none_k / 2.0, "{cure}: {cured_k} K, none: {none_k} K");
    }
}

#[test]
fn a_frozen_integral_overshoots_least_after_a_cold_start() {
    let frozen_k = overshoot_k("freeze");
    for other in ["clamp", "back-calculation"] {
        assert!(frozen_k < overshoot_k(other) / 2.0, "{other}");
    }
}

/// Two that differ only in a pause give the same duties after it as the one without a pause.
#[test]
fn the_integral_grows_neither_in_an_outage_nor_in_a_silence() {
    let duty_after = |pause: &dyn Fn(&mut Bench)| {
        let mut bench = Bench::new(
            &*recipe("pi", &[("anti_windup", text("none"))]),
            &wiring(ONE_HEATER),
        );
        bench.run(30 * MINUTE, Some(TARGET_C - 0.1));
        pause(&mut bench);
        let closed_ms = bench.closed_ms[0];
        bench.run(5 * MINUTE, Some(TARGET_C - 0.1));
        bench.closed_ms[0] - closed_ms
    };
    let unbroken_ms = duty_after(&|_| {});
    // The first decision after a pause adds nothing: one interval's growth, 0.28 ‰ of a cycle, is missing.
    let one_interval_ms = 90;
    for (what, broken_ms) in [
        ("outage", duty_after(&|bench| bench.outage(9 * HOUR))),
        ("clock set back", duty_after(&|bench| bench.outage(-9 * HOUR))),
        ("silence", duty_after(&|bench| bench.run(9 * HOUR, None))),
    ] {
        let difference_ms = (broken_ms - unbroken_ms).abs();
        assert!(
            difference_ms <= one_interval_ms,
            "{what}: {broken_ms} ms, unbroken {unbroken_ms} ms"
        );
    }
    let longer_ms = duty_after(&|bench| bench.run(9 * HOUR, Some(TARGET_C - 0.1)));
    assert!(
        longer_ms > unbroken_ms + 60 * SECOND,
        "nine hours with readings do count: {longer_ms} ms"
    );
}
