//! `tepid budget` through the library: where the heat goes, with a lid and without.
//!
//! Run it with `cargo run --example budget`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::budget::budget;
use tepid_scenarios::Setting;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    for cover in ["lid", "mesh", "open"] {
        let changes = [Setting::new("tank.nano.cover", cover)];
        let budget = budget(&tepid_scenarios::scenario("lidded-nano", &changes)?)?;
        println!(
            "cover {cover}: {:.0} W lost, {:.1} W/K",
            budget.total_loss_w, budget.slope_w_per_k
        );
        for path in &budget.losses {
            println!("  {:<14} {:>5.1} W", path.name, path.power_w);
        }
    }
    Ok(())
}
