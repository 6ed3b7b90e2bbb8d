//! One lump with a constant loss, cooling and heated: closed form at 40 digits (mpmath 1.4.1), `lumped_step.csv`.

use crate::steps::{AirOf, Blind, LinearLoss, dry_air};
use crate::table::{Table, Worst};
use tepid_sim::network::{NetworkBuilder, Stepper, StepperSettings};

/// The table asks 1e-9 K of an exponential step and 1e-4 K of a stepping solver at its default tick: we are the former.
const TOLERANCE_K: f64 = 1e-9;

fn follow(tick_ms: i64) {
    let table = Table::read("lumped_step.csv");
    let mut worst = Worst::of("temperature of one lump");
    for row in table.rows() {
        let mut builder = NetworkBuilder::new(25.0, dry_air(20.0));
        let node = builder.lump("water", row.number("C_J_K"));
        builder.losses(node, Box::new(LinearLoss(row.number("UA_W_K"))));
        let heater = builder.source("heater", node);
        let network = builder.build().expect("network");
        let settings = StepperSettings {
            tick_ms,
            ..StepperSettings::default()
        };
        let mut stepper = Stepper::new(&network, settings, 0, &[row.number("T0_C")]);
        let room_c = row.number("Ta_C");
        let mut air = AirOf(|_| room_c);
        let end_ms = (row.number("t_s") * 1000.0) as i64;
        let step_ms = (row.number("t_step_s") * 1000.0) as i64;
        stepper.advance(step_ms.min(end_ms), &mut air, &mut Blind);
        if end_ms >= step_ms {
            stepper.set_power(heater, row.number("P_W"));
        }
        stepper.advance(end_ms, &mut air, &mut Blind);
        worst.absolute(row, "T_C", stepper.temp_c(node));
        let balance = stepper.heat_balance();
        assert!(balance.error_frac < 1e-9, "heat balance {}", balance.error_frac);
    }
    worst.is_within(TOLERANCE_K);
}

pub fn one_lump_follows_the_exponential_at_the_default_tick() {
    follow(10_000);
}

pub fn the_tick_makes_no_difference_to_one_lump() {
    follow(777);
    follow(60_000);
}
