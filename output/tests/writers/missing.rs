//! What is missing stays missing in every format and is never 0.

use tepid_output::csv_text;
use tepid_output::json::json;
use tepid_output::records::{Comparison, FaultOutcome, HealthySummary};
use tepid_output::table;
use tepid_output::wording::{MISSING, Units};

use crate::examples::{self, blameless_weld, block, fault_matrix, fault_row, harmless_weld, healthy, row};
use crate::pinned::run;

fn unknown() -> HealthySummary {
    HealthySummary {
        mean_c: None,
        highest_c: None,
        lowest_c: None,
        overshoot_k: None,
        undershoot_k: None,
        above_band_h: None,
        below_band_h: None,
        rms_deviation_k: None,
        fastest_per_hour_k: None,
        fastest_per_day_k: None,
        hot_dose: None,
        cold_dose: None,
        heaters_on_frac: None,
        contacts: Vec::new(),
        energy_kwh: None,
        cost: None,
        evaporated_l_per_day: None,
        hottest_body_c: None,
        ..healthy(0.0, 0.0, 1.0)
    }
}

/// A fault of whose outcome nothing is known.
fn nothing() -> FaultOutcome {
    FaultOutcome {
        component: None,
        began_h: None,
        tank: None,
        peak_c: None,
        lowest_c: None,
        hot_dose: None,
        cold_dose: None,
        beyond_k_h: None,
        hottest_body_c: None,
        peak_without_fault_c: None,
        lowest_without_fault_c: None,
        hot_dose_without_fault: None,
        cold_dose_without_fault: None,
        hot_reached_without_fault_h: Vec::new(),
        cold_reached_without_fault_h: Vec::new(),
        hot_reached_h: Vec::new(),
        cold_reached_h: Vec::new(),
        stays_below_dose: None,
        ..harmless_weld()
    }
}

fn comparison() -> Comparison {
    let mut record = examples::comparison();
    record.scenarios = vec![block(vec![row("unknown", unknown(), vec![nothing()])])];
    record
}

#[test]
fn a_table_shows_a_dash_for_each_missing_value() {
    let text = table::comparison(&comparison(), Units::Metric);
    let line = text.lines().find(|line| line.starts_with("unknown")).unwrap();
    assert_eq!(line.matches(MISSING).count(), 6, "{line}");
    assert!(!line.contains('0'), "{line}");
}

#[test]
fn csv_leaves_the_cell_of_each_missing_value_empty() {
    let text = csv_text::comparison(&comparison()).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head = reader.headers().unwrap().clone();
    let lines: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(lines.len(), 2);
    let known_in_both = [
        "scenario",
        "strategy",
        "settings",
        "standing",
        "fault",
        "room",
        "room_lowest_c",
        "room_highest_c",
        "followed_h",
        "cautions",
    ];
    for (line, also_known) in lines
        .iter()
        .zip([&["tank"][..], &["fault_set", "fault_kind", "tries"]])
    {
        for (name, cell) in head.iter().zip(line) {
            let known = known_in_both.contains(&name) || also_known.contains(&name);
            assert_eq!(!cell.is_empty(), known, "{name}: `{cell}`");
        }
    }
}

#[test]
fn json_has_null_for_each_missing_value() {
    let value: serde_json::Value = serde_json::from_str(&json(&comparison()).unwrap()).unwrap();
    let row = &value["scenarios"][0]["rows"][0];
    for field in [
        "mean_c",
        "highest_c",
        "overshoot_k",
        "hot_dose",
        "energy_kwh",
        "cost",
    ] {
        assert!(row["healthy"].as_object().unwrap().contains_key(field), "{field}");
        assert!(row["healthy"][field].is_null(), "{field}");
    }
    for field in ["peak_c", "hot_dose", "stays_below_dose", "began_h"] {
        assert!(
            row["faults"][0].as_object().unwrap().contains_key(field),
            "{field}"
        );
        assert!(row["faults"][0][field].is_null(), "{field}");
    }
}

#[test]
fn a_figure_that_is_no_number_is_missing_too() {
    let mut record = run();
    if let Some(scores) = &mut record.scores {
        scores.tanks[0].mean_c = f64::NAN;
        scores.contacts[0].closings_per_day = f64::NAN;
        scores.energy_kwh = f64::INFINITY;
        scores.heat_balance.error_frac = f64::NAN;
    }
    let table = table::run(&record, Units::Metric);
    for name in ["Mean ", "Electricity in all", "Heat balance"] {
        let line = table.lines().find(|line| line.starts_with(name)).unwrap();
        assert!(line.contains(MISSING), "{line}");
    }
    assert!(!table.contains("NaN") && !table.contains("inf"), "{table}");
    let csv = csv_text::leaves(&record).unwrap();
    assert!(csv.lines().any(|line| line == "scores.tanks[0].mean_c,"), "{csv}");
    assert!(csv.lines().any(|line| line == "scores.energy_kwh,"), "{csv}");
    let value: serde_json::Value = serde_json::from_str(&json(&record).unwrap()).unwrap();
    assert!(value["scores"]["tanks"][0]["mean_c"].is_null());
}

#[test]
fn a_budget_shows_a_dash_where_nothing_was_found() {
    let text = table::budget(&examples::budget(), Units::Metric);
    let line = text
        .lines()
        .find(|line| line.starts_with("Coldest room"))
        .unwrap();
    assert!(line.ends_with(MISSING), "{line}");
    let csv = csv_text::leaves(&examples::budget()).unwrap();
    assert!(csv.lines().any(|line| line == "coldest_room_held_c,"), "{csv}");
}

#[test]
fn a_dose_over_10_is_told_as_a_bound_in_tables_and_in_full_elsewhere() {
    assert!(table::run(&run(), Units::Metric).contains("> 10"));
    assert!(
        csv_text::leaves(&run())
            .unwrap()
            .contains("scores.tanks[0].hot.used,12.0")
    );
}

#[test]
fn a_fault_matrix_shows_nothing_where_nothing_is_known() {
    let record = fault_matrix(vec![fault_row(nothing())]);
    let text = table::fault_matrix(&record, Units::Metric);
    let line = text
        .lines()
        .find(|line| line.starts_with("relay left welded"))
        .unwrap();
    assert_eq!(line.matches(MISSING).count(), 7, "{line}");
    assert!(!line.contains('0'), "{line}");
    let csv = csv_text::fault_matrix(&record).unwrap();
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let head = reader.headers().unwrap().clone();
    let line = reader.records().next().unwrap().unwrap();
    for (name, cell) in head.iter().zip(&line) {
        let unknown = ["_h", "_c", "dose"].iter().any(|end| name.ends_with(end))
            && !["room_lowest_c", "room_highest_c", "followed_h"].contains(&name);
        assert!(!unknown || cell.is_empty(), "{name}: `{cell}`");
    }
    let value: serde_json::Value = serde_json::from_str(&json(&record).unwrap()).unwrap();
    for field in ["first_alert_h", "reached_h", "acted_h", "stopped_by", "exceeds"] {
        assert!(value["strategies"][0]["faults"][0][field].is_null(), "{field}");
    }
}

#[test]
fn a_dose_that_is_used_up_anyway_is_not_told_as_kept_nor_blamed_on_the_fault() {
    let record = fault_matrix(vec![fault_row(blameless_weld(20.0))]);
    let text = table::fault_matrix(&record, Units::Metric);
    assert!(text.contains("Past the dose with nothing broken too"), "{text}");
    assert!(!text.contains("Stays below the dose"), "{text}");
    assert!(text.contains("Single points of failure: none"), "{text}");
}
