//! `tepid faults` through the library: the single points of failure of a set-up, and what removes each.
//!
//! Run it with `cargo run --example faults`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::compare::Silent;
use tepid::faults::{FaultsRequest, faults};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scenario = tepid_scenarios::scenario("lidded-nano", &[])?;
    let strategy = tepid_scenarios::strategy("on-off")?;
    let request = FaultsRequest {
        scenario: &scenario,
        strategies: &[(strategy.name, strategy.recipe)],
        seed: 7,
        pairs: false,
    };
    let matrix = faults(&request, &Silent)?;
    for point in matrix.strategies.iter().flat_map(|one| &one.single_points) {
        let removed_by = point.smallest.map_or_else(
            || "nothing tried".to_owned(),
            |smallest| format!("{:?}", point.tried[smallest].edits),
        );
        println!("{}: removed by {removed_by}", point.case);
    }
    Ok(())
}
