//! One lump behind a sinusoidal room: amplitude ratio and lag in closed form, `periodic_ambient.csv`.

use crate::steps::{AirOf, Blind, LinearLoss, dry_air};
use crate::table::{Row, Table, Worst};
use tepid_sim::network::{NetworkBuilder, Stepper, StepperSettings};
use tepid_sim::time::{HOUR, MINUTE, Millis, hours};

/// The table asks 1e-3 of the ratio read off a simulation.
const RATIO_TOLERANCE: f64 = 1e-3;

/// How often the simulation is looked at; the table allows one such interval for the lag.
const LOOK_MS: Millis = MINUTE;

/// Start-up in time constants: e^-12 is 6e-6 of the first swing.
const START_UP: f64 = 12.0;

/// Amplitude ratio and lag, h, of the water, by projecting whole periods on sine and cosine.
fn answer(row: Row<'_>) -> (f64, f64) {
    let (tau_h, period_h) = (row.number("tau_h"), row.number("period_h"));
    let period_ms = (period_h * HOUR as f64) as Millis;
    let capacity = 1e6;
    let mut builder = NetworkBuilder::new(25.0, dry_air(25.0));
    let water = builder.lump("water", capacity);
    builder.losses(water, Box::new(LinearLoss(capacity / (tau_h * 3600.0))));
    let network = builder.build().expect("network");
    let mut stepper = Stepper::new(&network, StepperSettings::default(), 0, &[25.0]);
    let turn = |at_ms: Millis| 2.0 * std::f64::consts::PI * at_ms as f64 / period_ms as f64;
    let mut air = AirOf(|at_ms: Millis| 25.0 + turn(at_ms).sin());
    let periods = (START_UP * tau_h / period_h).ceil() as Millis;
    stepper.advance(periods * period_ms, &mut air, &mut Blind);
    let looks = period_ms / LOOK_MS;
    let (mut along, mut across) = (0.0, 0.0);
    for look in 0..looks {
        let at_ms = periods * period_ms + look * LOOK_MS;
        stepper.advance(at_ms, &mut air, &mut Blind);
        let swing_k = stepper.temp_c(water) - 25.0;
        along += swing_k * turn(at_ms).sin();
        across += swing_k * turn(at_ms).cos();
    }
    let scale = 2.0 / looks as f64;
    let (along, across) = (along * scale, across * scale);
    (
        along.hypot(across),
        -across.atan2(along) / (2.0 * std::f64::consts::PI) * period_h,
    )
}

pub fn a_tank_swings_less_and_later_than_a_sinusoidal_room_by_the_closed_form() {
    let table = Table::read("periodic_ambient.csv");
    let mut ratio_worst = Worst::of("amplitude ratio");
    let mut lag_worst = Worst::of("lag, h");
    for row in table.rows() {
        let (ratio, lag_h) = answer(row);
        ratio_worst.relative(row, "ratio", ratio);
        lag_worst.absolute(row, "lag_h", lag_h);
    }
    ratio_worst.is_within(RATIO_TOLERANCE);
    lag_worst.is_within(hours(LOOK_MS));
}
