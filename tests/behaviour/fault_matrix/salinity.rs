//! Faults that take the salt out of the water and leave its temperature alone.

use super::{matrix, with_faults};
use tepid_output::table;
use tepid_output::wording::Units;
use tepid_sim::scenario::Tank;

#[test]
fn a_leak_that_fresh_water_makes_up_for_is_told_by_its_salt() {
    let scenario = with_faults("spare-room-winter", &[], &["leak"]);
    let record = matrix(&scenario, false);
    let text = table::fault_matrix(&record, Units::Metric);
    let (_, lost) = text
        .split_once("Salinity leaves the range wanted, 33.0 to 37.0 g/kg")
        .expect(&text);
    assert!(
        lost.contains("leak in display: down to ") && lost.contains("leak in sump: down to "),
        "{text}"
    );
    let idle = text
        .split_once("Moves the water by less than")
        .map_or("", |(_, idle)| idle);
    assert!(!idle.contains("leak in"), "{text}");
    // What leaks is 5 % of the display's water an hour, and its salt comes from all water; what is left after three days.
    let waters_m3: Vec<f64> = scenario.tanks.iter().map(Tank::water_volume_m3).collect();
    let expected = 35.0 * (-0.05 * 72.0 * waters_m3[0] / waters_m3.iter().sum::<f64>()).exp();
    let rows = record.strategies[0].faults.iter();
    let display = rows
        .map(|row| &row.outcome)
        .find(|outcome| outcome.case == "leak in display");
    let salinity = display
        .and_then(|outcome| outcome.salinity.as_ref())
        .expect("a range is wanted");
    assert!(
        (salinity.lowest_g_per_kg / expected - 1.0).abs() < 0.05,
        "{salinity:?} and {expected}"
    );
    assert_eq!(salinity.lowest_tank, "display");
}
