//! What the writers make of the example records, pinned.

use tepid_output::csv_text;
use tepid_output::json::json;
use tepid_output::records::{
    Comparison, DoseResult, Explanation, FaultCase, RecordKind, RunResult, RunScores,
};
use tepid_output::table::{self, WIDTH};
use tepid_output::wording::Units;

use crate::examples;

#[test]
fn a_comparison_reads_as_a_table() {
    insta::assert_snapshot!(table::comparison(&examples::comparison(), Units::Metric));
}

#[test]
fn a_comparison_reads_as_a_table_in_us_units() {
    insta::assert_snapshot!(table::comparison(&examples::comparison(), Units::Us));
}

#[test]
fn every_fault_of_a_comparison_reads_as_a_table() {
    insta::assert_snapshot!(table::comparison_with_every_fault(
        &examples::comparison(),
        Units::Metric
    ));
}

#[test]
fn a_comparison_is_published_as_json() {
    insta::assert_snapshot!(json(&examples::comparison()).unwrap());
}

#[test]
fn a_comparison_is_published_as_csv() {
    insta::assert_snapshot!(csv_text::comparison(&examples::comparison()).unwrap());
}

#[test]
fn a_budget_reads_as_a_table() {
    insta::assert_snapshot!(table::budget(&examples::budget(), Units::Metric));
}

#[test]
fn a_run_reads_as_a_table() {
    insta::assert_snapshot!(table::run(&run(), Units::Metric));
}

#[test]
fn a_run_is_published_as_csv() {
    insta::assert_snapshot!(csv_text::leaves(&run()).unwrap());
}

#[test]
fn a_listing_has_exactly_four_keys() {
    insta::assert_snapshot!(json(&examples::listing()).unwrap());
    insta::assert_snapshot!(table::listing(&examples::listing()));
    insta::assert_snapshot!(csv_text::listing(&examples::listing()).unwrap());
}

#[test]
fn an_explanation_says_what_it_is_how_it_works_and_what_it_covers() {
    let record = examples::explanation();
    let text = table::explanation(&record) + &table::coverage(&record);
    insta::assert_snapshot!(text);
    let read: Explanation = serde_json::from_str(&json(&examples::explanation()).unwrap()).unwrap();
    assert_eq!(read, examples::explanation());
}

#[test]
fn json_read_back_is_the_same_record() {
    let written = examples::comparison();
    let read: Comparison = serde_json::from_str(&json(&written).unwrap()).unwrap();
    assert_eq!(read, written);
    let read: RunResult = serde_json::from_str(&json(&run()).unwrap()).unwrap();
    assert_eq!(read, run());
}

#[test]
fn no_line_of_a_table_is_wider_than_100_columns() {
    let mut long = examples::comparison();
    let block = &mut long.scenarios[0];
    block.title = "A title that goes on and on, ".repeat(9);
    block.rows[0].strategy =
        "strategies/a-file-with-quite-a-long-name-in-a-folder-with-another-one.toml".to_owned();
    block.rows[1].faults[0].case = "a contact whose name somebody took great pains over welded".to_owned();
    block.rows[2].failures.push("x".repeat(250));
    block.assumptions.push("y".repeat(250));
    for units in [Units::Metric, Units::Us] {
        for text in [
            table::comparison(&long, units),
            table::comparison_with_every_fault(&long, units),
            table::budget(&examples::budget(), units),
            table::run(&run(), units),
            table::listing(&examples::listing()),
            table::explanation(&examples::explanation()),
            table::coverage(&examples::explanation()),
        ] {
            for line in text.lines() {
                assert!(
                    line.chars().count() <= WIDTH,
                    "{} columns: {line}",
                    line.chars().count()
                );
            }
        }
    }
}

pub fn run() -> RunResult {
    let dose = |used: f64| DoseResult {
        used,
        used_up_h: (used >= 1.0).then_some(9.0),
        margin_k: Some(if used > 0.0 { -1.2 } else { 2.1 }),
        reached_h: vec![(used > 0.0).then_some(3.1), None],
        beyond_k_h: used * 3.0,
    };
    RunResult {
        replay: None,
        format: RecordKind::Run,
        version: tepid_output::records::FORMAT_VERSION,
        scenario: "spare-room-winter".to_owned(),
        title: "Spare-room reef, winter week".to_owned(),
        strategy: "on-off".to_owned(),
        settings: "0.4 K deadband, centred".to_owned(),
        fault: Some(FaultCase {
            set: "one contact welded".to_owned(),
            case: "relay left welded".to_owned(),
            began_h: Some(9.35),
        }),
        seed: 7,
        replicate: 0,
        target_c: 25.5,
        band_c: [25.0, 26.0],
        tariff: None,
        scores: Some(RunScores {
            heating_against_cooling_h: 0.5,
            circuits: Vec::new(),
            backups: Vec::new(),
            scored_h: 168.0,
            worst_tank: Some("display".to_owned()),
            past_dose: None,
            tanks: vec![tepid_output::records::TankResult {
                tank: "display".to_owned(),
                mean_c: 28.1,
                highest_c: 29.7,
                highest_at_h: 61.0,
                lowest_c: 25.2,
                lowest_at_h: 0.4,
                end_c: 29.5,
                overshoot_k: 4.2,
                undershoot_k: 0.3,
                above_band_h: 150.0,
                below_band_h: 0.0,
                above_band_k_h: 400.0,
                below_band_k_h: 0.0,
                rms_deviation_k: 2.9,
                fastest_per_hour_k: Some(0.6),
                fastest_per_day_k: None,
                recovery: Some(tepid_output::records::RecoveryResult {
                    length_h: 3.2,
                    after: "outage".to_owned(),
                    complete: true,
                }),
                hot: dose(12.0),
                cold: dose(0.0),
                oxygen: None,
            }],
            contacts: vec![tepid_output::records::ContactResult {
                contact: "relay left".to_owned(),
                closings: 4,
                closings_per_day: 0.6,
                shortest_on_s: Some(380.0),
                shortest_off_s: None,
                closed_frac: 0.97,
                wears: true,
                life_years: Some(456.6),
            }],
            chillers: Vec::new(),
            salinity: tepid_output::records::SalinityResult {
                lowest_g_per_kg: 35.0,
                lowest_tank: "display".to_owned(),
                highest_g_per_kg: 35.0,
                highest_tank: "display".to_owned(),
                outside_range_h: 0.0,
                wanted_g_per_kg: None,
            },
            levels: vec![tepid_output::records::LevelResult {
                tank: "display".to_owned(),
                full_m: 0.45,
                lowest_m: 0.42,
                highest_m: 0.45,
                run_over_l: 0.0,
            }],
            room: tepid_output::records::RoomResult {
                lowest_c: 14.2,
                highest_c: 20.3,
                highest_humidity_frac: 0.52,
                saturated_h: 0.0,
                heating_kwh: None,
                cooling_kwh: None,
                outdoors_c: None,
            },
            heaters: vec![tepid_output::records::HeaterResult {
                heater: "left".to_owned(),
                energy_kwh: 48.7,
                on_frac: 0.97,
                hottest_body_c: 45.0,
                in_air_h: 0.0,
            }],
            fans: Vec::new(),
            energy_kwh: 55.4,
            cost: None,
            evaporated_kg: 31.0,
            alerts: 1,
            first_alert_h: Some(2.1),
            nuisance_alerts: 1,
            nuisance_alerts_per_year: 26.1,
            heard_h: Some(2.4),
            heard_by: Some("sitter".to_owned()),
            acted_h: None,
            warning_lead_h: Some(6.6),
            heat_balance: tepid_output::records::HeatBalance {
                paths: vec![tepid_output::records::HeatPath {
                    name: "heater left".to_owned(),
                    heat_j: 1.75e8,
                }],
                stored_j: 5.6e6,
                turned_over_j: 3.4e8,
                error_frac: 3.2e-14,
            },
        }),
        failure: None,
        livestock: examples::livestock(),
        warnings: Vec::new(),
        assumptions: Vec::new(),
        cautions: vec![tepid_output::cautions::Caution::StuckHeater.because("relay left welded")],
    }
}
