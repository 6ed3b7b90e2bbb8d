//! The steady on-off cycle of one tank with and without a lagging sensor: exact legs and root finding at 40 digits (mpmath 1.4.1),
//! `relay_limit_cycle.csv`.

use crate::steps::{AirOf, LinearLoss, dry_air};
use crate::table::{Row, Table, Worst};
use tepid_sim::network::{NetworkBuilder, NodeId, Observer, Passage, Stepper, StepperSettings, Vector};
use tepid_sim::time::{DAY, Millis, seconds};

/// The time base: a crossing is found to the next millisecond. The table's bounds for a switch that comes late by 0..dt hold with this dt.
const DT_S: f64 = 0.001;

/// Cycles run before any is looked at, and cycles averaged.
const SETTLING: usize = 40;
const AVERAGED: usize = 10;

struct Thermostat {
    sensor: NodeId,
    water: NodeId,
    low_k: f64,
    high_k: f64,
    on: bool,
    highest_k: f64,
    lowest_k: f64,
}

impl Observer for Thermostat {
    fn crossed(&self, state: &Vector) -> bool {
        let sensed_k = state[self.sensor.0];
        if self.on {
            sensed_k >= self.high_k
        } else {
            sensed_k <= self.low_k
        }
    }

    fn observe(&mut self, passage: &Passage<'_>) {
        passage.walk(|_, _, _, to| {
            self.highest_k = self.highest_k.max(to[self.water.0]);
            self.lowest_k = self.lowest_k.min(to[self.water.0]);
        });
    }
}

/// Mean on and off times over the averaged cycles, s, and the extremes of the water in them, °C.
struct Cycle {
    on_s: f64,
    off_s: f64,
    highest_c: f64,
    lowest_c: f64,
}

fn settle(row: Row<'_>) -> Cycle {
    let (low_c, high_c) = (row.number("T_lo_C"), row.number("T_hi_C"));
    let reference_c = 0.5 * (low_c + high_c);
    let room_c = row.number("Ta_C");
    let lag_ms = (row.number("tau_s_s") * 1000.0) as i64;
    let mut builder = NetworkBuilder::new(reference_c, dry_air(room_c));
    let water = builder.lump("water", row.number("C_J_K"));
    builder.losses(water, Box::new(LinearLoss(row.number("UA_W_K"))));
    let heater = builder.source("heater", water);
    let sensor = if lag_ms > 0 {
        builder.lag("sensor", &[(water, 1.0)], lag_ms, None)
    } else {
        water
    };
    let network = builder.build().expect("network");
    // A tick of a second, so that extremes between switchings are seen closely.
    let settings = StepperSettings {
        tick_ms: 1000,
        ..StepperSettings::default()
    };
    let mut stepper = Stepper::new(&network, settings, 0, &[low_c, low_c]);
    let mut air = AirOf(|_| room_c);
    let mut thermostat = Thermostat {
        sensor,
        water,
        low_k: low_c - reference_c,
        high_k: high_c - reference_c,
        on: true,
        highest_k: f64::NEG_INFINITY,
        lowest_k: f64::INFINITY,
    };
    let power_w = row.number("P_W");
    stepper.set_power(heater, power_w);
    let mut switched_ms = 0;
    let (mut on_ms, mut off_ms) = (0, 0);
    for leg in 0..2 * (SETTLING + AVERAGED) {
        if leg == 2 * SETTLING {
            (on_ms, off_ms) = (0, 0);
            (thermostat.highest_k, thermostat.lowest_k) = (f64::NEG_INFINITY, f64::INFINITY);
        }
        let now_ms = stepper.advance(switched_ms + 100 * DAY, &mut air, &mut thermostat);
        assert!(now_ms < switched_ms + 100 * DAY, "never switches");
        *(if thermostat.on { &mut on_ms } else { &mut off_ms }) += now_ms - switched_ms;
        switched_ms = now_ms;
        thermostat.on = !thermostat.on;
        stepper.set_power(heater, if thermostat.on { power_w } else { 0.0 });
    }
    let mean_s = |total_ms: Millis| seconds(total_ms) / AVERAGED as f64;
    Cycle {
        on_s: mean_s(on_ms),
        off_s: mean_s(off_ms),
        highest_c: reference_c + thermostat.highest_k,
        lowest_c: reference_c + thermostat.lowest_k,
    }
}

fn check(lag: impl Fn(f64) -> bool) {
    let table = Table::read("relay_limit_cycle.csv");
    let mut worst = Worst::of("limit cycle, switching within 1 ms");
    for row in table.rows().filter(|row| lag(row.number("tau_s_s"))) {
        let cycle = settle(row);
        let (c, ua) = (row.number("C_J_K"), row.number("UA_W_K"));
        let rise_k_per_s = (row.number("P_W") - ua * (row.number("T_hi_C") - row.number("Ta_C"))) / c;
        let fall_k_per_s = ua * (row.number("T_lo_C") - row.number("Ta_C")) / c;
        // Extremes between switchings are seen at one-second steps: at a rounded top the loss is at most half a second's curvature,
        // below the rates times a millisecond for every lag in the table.
        let spread = 2.0 + rise_k_per_s / fall_k_per_s + fall_k_per_s / rise_k_per_s;
        let period_error_s = cycle.on_s + cycle.off_s - row.number("period_s");
        worst.fraction(row, period_error_s / (DT_S * spread));
        worst.fraction(
            row,
            (cycle.highest_c - row.number("T_max_C")) / (1.05 * DT_S * rise_k_per_s + CURVE_K),
        );
        worst.fraction(
            row,
            (cycle.lowest_c - row.number("T_min_C")) / (1.05 * DT_S * fall_k_per_s + CURVE_K),
        );
    }
    worst.is_within(1.0);
}

/// What one-second steps may miss of a rounded extreme behind a lagging sensor: (0.5 s)² / 2 times the largest curvature in the
/// table, about (rise + fall) / 30 s = 3e-4 K/s / 30 s.
const CURVE_K: f64 = 1.3e-6;

pub fn an_on_off_thermostat_settles_on_the_exact_limit_cycle() {
    check(|lag_s| lag_s == 0.0);
}

pub fn a_lagging_sensor_widens_the_cycle_exactly_as_it_should() {
    check(|lag_s| lag_s > 0.0);
}
