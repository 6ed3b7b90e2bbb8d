//! Tank and sump joined by a flow, heater in the sump: matrix exponential at 50 digits (mpmath 1.4.1), `two_node.csv`.

use crate::steps::{AirOf, Blind, LinearLoss, dry_air};
use crate::table::{Table, Worst};
use tepid_sim::network::{Gate, NetworkBuilder, Stepper, StepperSettings};

/// The table asks 1e-6 K of an exact solver, also in its two stiff cases (coupling 700 times the loss; time constants 2 s and 36 h).
const TOLERANCE_K: f64 = 1e-6;

pub fn tank_and_sump_follow_the_matrix_exponential_also_where_stiff() {
    let table = Table::read("two_node.csv");
    let mut tank_worst = Worst::of("temperature of the tank");
    let mut sump_worst = Worst::of("temperature of the sump");
    for row in table.rows() {
        let room_c = row.number("Ta_C");
        let mut builder = NetworkBuilder::new(22.0, dry_air(room_c));
        let tank = builder.lump("tank", row.number("C1_J_K"));
        let sump = builder.lump("sump", row.number("C2_J_K"));
        builder.losses(tank, Box::new(LinearLoss(row.number("G1_W_K"))));
        builder.losses(sump, Box::new(LinearLoss(row.number("G2_W_K"))));
        builder.couple(tank, sump, row.number("K_W_K"), Gate::Always);
        let heater = builder.source("heater", sump);
        let network = builder.build().expect("network");
        let start = [row.number("T1_0_C"), row.number("T2_0_C")];
        let mut stepper = Stepper::new(&network, StepperSettings::default(), 0, &start);
        stepper.set_power(heater, row.number("P_W"));
        stepper.advance(
            (row.number("t_s") * 1000.0) as i64,
            &mut AirOf(|_| room_c),
            &mut Blind,
        );
        tank_worst.absolute(row, "T1_C", stepper.temp_c(tank));
        sump_worst.absolute(row, "T2_C", stepper.temp_c(sump));
    }
    tank_worst.is_within(TOLERANCE_K);
    sump_worst.is_within(TOLERANCE_K);
}
