//! A step of the setpoint under ideal PI control (with and without the zero) of one lump: closed form at 30 digits (mpmath 1.4.1),
//! `pi_closed_loop.csv`. The loop is closed here around the product's own stepper.

use crate::steps::{AirOf, Blind, LinearLoss, dry_air};
use crate::table::{Row, Table, Worst};
use tepid_sim::network::{NetworkBuilder, Stepper, StepperSettings};
use tepid_sim::time::{Millis, seconds};

/// Samples per 1/wn. The table measured a sampled loop with a rectangle-rule integral: overshoot within 1e-4 at a thousandth.
const SAMPLES: f64 = 1000.0;

/// What the table asks: overshoot within 2e-4 of the step, times within 0.3 % and one sample.
const OVERSHOOT_TOLERANCE: f64 = 2e-4;
const TIME_TOLERANCE_FRAC: f64 = 3e-3;

struct Answer {
    overshoot: f64,
    peak_s: f64,
    settled_s: f64,
    sample_s: f64,
}

fn step_answer(row: Row<'_>) -> Answer {
    let (gain_k_per_w, tau_s) = (row.number("K_K_W"), row.number("tau_s"));
    let (kp, ki) = (row.number("Kp_W_K"), row.number("Ki_W_Ks"));
    let has_zero = row.text("form") == "pi";
    let sample_ms = (1000.0 / (SAMPLES * row.number("wn_rad_s"))).max(1.0) as Millis;
    let conductance = 1.0 / gain_k_per_w;
    let mut builder = NetworkBuilder::new(20.0, dry_air(20.0));
    let water = builder.lump("water", tau_s * conductance);
    builder.losses(water, Box::new(LinearLoss(conductance)));
    let heater = builder.source("heater", water);
    let network = builder.build().expect("network");
    let settings = StepperSettings {
        tick_ms: sample_ms.min(60_000),
        ..StepperSettings::default()
    };
    let mut stepper = Stepper::new(&network, settings, 0, &[20.0]);
    let mut air = AirOf(|_| 20.0);
    let mut integral_k_s = 0.0;
    let (mut overshoot, mut peak_s, mut settled_s) = (0.0, 0.0, 0.0);
    let length_s = 1.6 * row.number("t_settle_s").max(row.number("tau_s") * 0.3);
    let mut now_ms = 0;
    while seconds(now_ms) < length_s {
        let height_k = stepper.temp_c(water) - 20.0;
        let error_k = 1.0 - height_k;
        integral_k_s += error_k * seconds(sample_ms);
        let proportional = if has_zero { kp * error_k } else { -kp * height_k };
        stepper.set_power(heater, proportional + ki * integral_k_s);
        now_ms += sample_ms;
        stepper.advance(now_ms, &mut air, &mut Blind);
        let height_k = stepper.temp_c(water) - 20.0;
        if height_k - 1.0 > overshoot {
            (overshoot, peak_s) = (height_k - 1.0, seconds(now_ms));
        }
        if (height_k - 1.0).abs() > 0.02 {
            settled_s = seconds(now_ms);
        }
    }
    Answer {
        overshoot,
        peak_s,
        settled_s,
        sample_s: seconds(sample_ms),
    }
}

pub fn pi_control_answers_a_step_as_the_closed_form_says() {
    let table = Table::read("pi_closed_loop.csv");
    let mut overshoot_worst = Worst::of("overshoot, of the step");
    let mut time_worst = Worst::of("peak and settling time");
    for row in table.rows() {
        let answer = step_answer(row);
        overshoot_worst.absolute(row, "overshoot", answer.overshoot);
        let allowed_s = |expected_s: f64| TIME_TOLERANCE_FRAC * expected_s + answer.sample_s;
        if !row.text("t_peak_s").is_empty() {
            let expected_s = row.number("t_peak_s");
            time_worst.fraction(row, (answer.peak_s - expected_s) / allowed_s(expected_s));
        }
        let expected_s = row.number("t_settle_s");
        time_worst.fraction(row, (answer.settled_s - expected_s) / allowed_s(expected_s));
    }
    overshoot_worst.is_within(OVERSHOOT_TOLERANCE);
    time_worst.is_within(1.0);
}
