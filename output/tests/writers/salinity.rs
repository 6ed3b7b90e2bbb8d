//! Salinity, where it moves and where a range is wanted.

use crate::examples::{block, fault_matrix, fault_row, harmless_weld, healthy, of_block, row};
use crate::pinned::run;
use tepid_output::records::{FaultOutcome, FaultSalinity, SalinityResult};
use tepid_output::table;
use tepid_output::wording::Units;

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn told(salinity: SalinityResult) -> String {
    let mut record = run();
    record.scores.as_mut().expect("scores").salinity = salinity;
    plain(&table::run(&record, Units::Metric))
}

#[test]
fn the_line_of_a_run_names_the_tanks_of_the_extremes() {
    let moved = SalinityResult {
        lowest_g_per_kg: 2.1,
        lowest_tank: "sump".to_owned(),
        highest_g_per_kg: 35.0,
        highest_tank: "display".to_owned(),
        outside_range_h: 70.0,
        wanted_g_per_kg: Some([33.0, 37.0]),
    };
    let text = told(moved.clone());
    assert!(
        text.contains("Salinity 2.1 to 35.0 g/kg, lowest in sump, highest in display, 2.9 d outside the range wanted (33.0 to 37.0 g/kg)"),
        "{text}"
    );
    let one = told(SalinityResult {
        highest_tank: "sump".to_owned(),
        wanted_g_per_kg: None,
        ..moved.clone()
    });
    assert!(one.contains("Salinity 2.1 to 35.0 g/kg in sump"), "{one}");
    let steady = told(SalinityResult {
        lowest_g_per_kg: 35.0,
        wanted_g_per_kg: None,
        ..moved
    });
    assert!(!steady.contains("Salinity"), "{steady}");
}

/// Moves no temperature, but the salt.
fn leak(outside_after_without_fault_h: Option<f64>) -> FaultOutcome {
    let sound = harmless_weld();
    FaultOutcome {
        case: "leak in sump".to_owned(),
        peak_c: sound.peak_without_fault_c,
        lowest_c: sound.lowest_without_fault_c,
        hot_dose: sound.hot_dose_without_fault,
        cold_dose: sound.cold_dose_without_fault,
        salinity: Some(FaultSalinity {
            lowest_g_per_kg: 2.1,
            lowest_tank: "display".to_owned(),
            highest_g_per_kg: 35.0,
            highest_tank: "display".to_owned(),
            wanted_g_per_kg: [33.0, 37.0],
            outside_after_h: Some(1.2),
            outside_after_without_fault_h,
        }),
        ..sound
    }
}

const LOST: &str = "Salinity leaves the range wanted, 33.0 to 37.0 g/kg; farthest of all rooms \
                    - leak in sump: down to 2.1 g/kg in display, outside the range after 1.2 h";

#[test]
fn a_fault_that_takes_the_salt_is_not_called_idle_though_no_thermometer_shows_it() {
    let text = plain(&table::fault_matrix(
        &fault_matrix(vec![fault_row(leak(None))]),
        Units::Metric,
    ));
    assert!(
        text.contains(LOST) && !text.contains("Moves the water by less than"),
        "{text}"
    );
    let rows = vec![row("on-off", healthy(0.1, 0.2, 11.0), vec![leak(None)])];
    let text = plain(&table::comparison(&of_block(block(rows)), Units::Metric));
    assert!(text.contains(LOST), "{text}");
}

#[test]
fn no_fault_is_blamed_for_salt_that_leaves_the_range_anyway() {
    let text = plain(&table::fault_matrix(
        &fault_matrix(vec![fault_row(leak(Some(0.5)))]),
        Units::Metric,
    ));
    assert!(!text.contains("Salinity leaves"), "{text}");
    assert!(text.contains("Moves the water by less than"), "{text}");
}
