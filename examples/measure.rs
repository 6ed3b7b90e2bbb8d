//! `tepid measure` through the library: W/K from three of the home tests.
//!
//! Run it with `cargo run --example measure`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::measure::{Capacity, Cooling, Duty, Known, Lift, Looked, Reading, cooling, duty, lift};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let hourly = [27.0, 26.7, 26.3, 26.0, 25.7, 25.4, 25.1, 24.9, 24.6];
    let readings = hourly.iter().enumerate().map(|(hour, water_c)| Reading {
        at_h: hour as f64,
        water_c: *water_c,
    });
    let tests = [
        cooling(&Cooling {
            readings: readings.collect(),
            room_c: 20.0,
            capacity: Capacity {
                j_per_k: 750e3,
                from: "180 L of water".to_owned(),
            },
            running_w: 15.0,
            step_k: 0.1,
        })?,
        duty(&Duty {
            power_w: 250.0,
            lift_k: 3.9,
            running_w: 0.0,
            known: Known::Share(Looked::AtRandom { on: 31, looks: 100 }),
            cycle_h: None,
            within_frac: 0.02,
        })?,
        lift(&Lift {
            running_w: 30.0,
            lift_k: 2.5,
            step_k: 0.1,
        })?,
    ];
    for test in tests {
        let loss = &test.found[0];
        if let Some([low, high]) = loss.interval {
            println!(
                "{:?}: {:.1} W/K, {low:.1} to {high:.1}: {}",
                test.test, loss.value, loss.how_sure
            );
        }
    }
    Ok(())
}
