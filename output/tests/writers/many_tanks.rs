//! How many of several tanks are past the dose, in every output.

use crate::examples::{block, harmful_weld, healthy, of_block, row};
use crate::pinned::run;
use tepid_output::csv_text;
use tepid_output::json::json;
use tepid_output::records::{FaultOutcome, PastDose};
use tepid_output::table;
use tepid_output::wording::Units;

const HALF: PastDose = PastDose {
    tanks: 4,
    of_tanks: 8,
    water_l: 430.0,
    of_water_l: 859.0,
};

/// A text without its line breaks.
fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_run_tells_how_many_tanks_are_past_the_dose_and_their_litres() {
    let mut record = run();
    let told = |record: &_| in_one_line(&table::run(record, Units::Metric));
    assert!(!told(&record).contains("Past the dose"));
    assert!(!json(&record).expect("json").contains("past_dose"));
    let scores = record.scores.as_mut().expect("scores");
    scores.past_dose = Some(HALF);
    assert!(told(&record).contains("Past the dose 4 of 8 tanks, 430.0 L of 859.0 L at risk"));
    assert!(json(&record).expect("json").contains("\"of_tanks\": 8"));
    let scores = record.scores.as_mut().expect("scores");
    scores.past_dose = Some(PastDose {
        tanks: 0,
        water_l: 0.0,
        ..HALF
    });
    assert!(told(&record).contains("Past the dose none of 8 tanks"));
}

#[test]
fn a_comparison_tells_it_of_the_fault_that_takes_them_past() {
    let outcome = FaultOutcome {
        past_dose: Some(HALF),
        ..harmful_weld(9.0)
    };
    let rows = vec![row("on-off", healthy(0.1, 0.2, 11.0), vec![outcome])];
    let record = of_block(block(rows));
    let told = in_one_line(&table::comparison(&record, Units::Metric));
    assert!(
        told.contains("past the dose: 4 of 8 tanks, 430.0 L of 859.0 L at risk"),
        "{told}"
    );
    let lines = csv_text::comparison(&record).expect("csv");
    let ends: Vec<&str> = lines.lines().collect();
    assert!(ends[0].ends_with("tanks_past_dose,water_past_dose_l"));
    // The healthy run has no such figure, the fault has.
    assert!(ends[1].ends_with(",,"), "{}", ends[1]);
    assert!(ends[2].ends_with(",4,430"), "{}", ends[2]);
}
