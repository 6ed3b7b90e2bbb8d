//! `tepid size` through the library: heaters for help within a night, a day, a weekend; a night without mains.
//!
//! Run it with `cargo run --example size`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::compare::Silent;
use tepid::size::{Outage, SizeRequest, outage, size};
use tepid_sim::time::HOUR;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scenario = tepid_scenarios::scenario("lidded-nano", &[])?;
    for response_h in [8.0, 24.0, 60.0] {
        let request = SizeRequest {
            scenario: &scenario,
            response_h,
            reserve_frac: 0.25,
            outage: None,
        };
        match size(&request, &Silent)?.choice {
            Some(choice) => println!(
                "help within {response_h} h: {} of {} W, {:.0} % in reserve",
                choice.heaters,
                choice.each_w,
                100.0 * choice.reserve_frac
            ),
            None => println!("help within {response_h} h: no split into equal heaters does"),
        }
    }
    let garage = tepid_scenarios::scenario("garage-outage", &[])?;
    let outage = outage(&garage, Outage::of(12 * HOUR))?;
    for course in &outage.courses {
        let sides = if course.wrapped { "wrapped" } else { "bare" };
        println!(
            "12 h without mains, {sides}: {:.1} °C in the end, {:.0} Wh hold {} °C",
            course.end_c, course.holding_wh, outage.safe_c
        );
    }
    Ok(())
}
