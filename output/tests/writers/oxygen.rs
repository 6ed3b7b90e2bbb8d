//! Oxygen in words, only where a stock is stated.

use tepid_output::cautions::{Caution, for_happenings};
use tepid_output::records::{FaultOutcome, FaultOxygen, OxygenResult, RoomKind};
use tepid_output::trace_csv::TraceCsv;
use tepid_output::wording::{Units, oxygen_of_block};
use tepid_output::{csv_text, json, table};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Oxygen, Scenario, When};

use crate::examples::{block, harmful_weld, harmless_weld, healthy, of_block, row};
use crate::pinned::run;
use crate::scenario::scenario;

fn stocked() -> Scenario {
    let mut stocked = scenario();
    stocked.livestock.oxygen = Some(Oxygen {
        demand_mg_per_s: 0.03,
        demand_at_c: 25.0,
        q10: 2.0,
        moved_m_per_s: 2e-5,
        still_m_per_s: 6e-6,
        under_lid_frac: 0.5,
    });
    stocked
}

/// An outage that takes oxygen below half saturation after so many hours.
fn outage(half_after_h: Option<f64>, without_fault_h: Option<f64>) -> FaultOutcome {
    FaultOutcome {
        case: "outage".to_owned(),
        oxygen: Some(FaultOxygen {
            lowest_mg_per_l: 2.24,
            lowest_saturation_frac: 0.274,
            below_half_h: 5.0,
            below_half_after_h: half_after_h,
            below_half_after_without_fault_h: without_fault_h,
        }),
        ..harmless_weld()
    }
}

fn told(faults: Vec<FaultOutcome>) -> Vec<String> {
    oxygen_of_block(&block(vec![row("on-off", healthy(0.0, 0.0, 1.0), faults)]))
}

#[test]
fn oxygen_that_falls_before_the_temperature_does_harm_is_told() {
    let cold = FaultOutcome {
        cold_used_up_h: Some(14.0),
        room: RoomKind::Coldest,
        ..outage(Some(3.1), None)
    };
    assert_eq!(
        told(vec![cold]),
        [
            "with outage in the room constant at the year's coldest oxygen falls below half saturation after 3.1 h, before the cold uses up the dose after 14 h"
        ]
    );
    assert_eq!(
        told(vec![outage(Some(3.1), None)]),
        [
            "with outage oxygen falls below half saturation after 3.1 h; the temperature uses up no dose within 72 h"
        ]
    );
}

#[test]
fn oxygen_that_falls_later_than_the_harm_or_as_soon_with_nothing_broken_is_not_told() {
    let hot_first = FaultOutcome {
        hot_used_up_h: Some(2.0),
        ..outage(Some(3.1), None)
    };
    assert!(told(vec![hot_first]).is_empty());
    assert!(told(vec![outage(Some(3.1), Some(3.1))]).is_empty());
    assert!(told(vec![outage(None, None)]).is_empty());
    assert!(told(vec![harmful_weld(9.0)]).is_empty());
}

#[test]
fn a_run_tells_oxygen_in_every_format_only_where_a_stock_is_stated() {
    let bare = run();
    let mut with = run();
    let scores = with.scores.as_mut().expect("scores");
    scores.tanks[0].oxygen = Some(OxygenResult {
        lowest_mg_per_l: 2.24,
        lowest_at_h: 31.5,
        lowest_saturation_frac: 0.274,
        below_half_h: 5.0,
        below_half_from_h: Some(28.0),
    });
    let text = table::run(&with, Units::Metric);
    assert!(
        text.contains("2.2 mg/L, 27 % of saturation, at 07:30 on day 2"),
        "{text}"
    );
    assert!(text.contains("5 h, first at 04:00 on day 2"), "{text}");
    assert!(json::json(&with).unwrap().contains("\"below_half_from_h\": 28.0"));
    assert!(csv_text::leaves(&with).unwrap().contains("oxygen.below_half_h,5"));
    for silent in [
        table::run(&bare, Units::Metric),
        json::json(&bare).unwrap(),
        csv_text::leaves(&bare).unwrap(),
    ] {
        assert!(
            !silent.contains("mg/L") && !silent.contains("mg_per_l"),
            "{silent}"
        );
    }
}

#[test]
fn a_comparison_has_a_heading_for_oxygen_only_where_there_is_some() {
    let with = of_block(block(vec![row(
        "on-off",
        healthy(0.0, 0.0, 1.0),
        vec![outage(Some(3.1), None)],
    )]));
    let without = of_block(block(vec![row(
        "on-off",
        healthy(0.0, 0.0, 1.0),
        vec![harmless_weld()],
    )]));
    let heading = "Oxygen, with the stock as stated";
    assert!(table::comparison(&with, Units::Metric).contains(heading));
    assert!(!table::comparison(&without, Units::Metric).contains(heading));
    assert!(
        csv_text::comparison(&with)
            .unwrap()
            .contains(",2.24,5,3.1,,,,,,,\n")
    );
}

#[test]
fn a_trace_has_a_column_of_oxygen_only_where_a_stock_is_stated() {
    let head = |scenario: &Scenario| {
        let bytes = TraceCsv::new(scenario, &[], Vec::new())
            .unwrap()
            .finish()
            .unwrap();
        String::from_utf8(bytes).unwrap()
    };
    assert!(head(&stocked()).contains("contact_relay left,level_display_m,oxygen_display_mg_per_l,marks"));
    assert!(!head(&scenario()).contains("oxygen"));
}

#[test]
fn the_caution_that_oxygen_is_left_out_stays_unless_a_stock_is_stated() {
    let outage = Happening {
        name: "outage".to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect: Effect::PowerOut,
        origin: Origin::Fault,
    };
    let said = |scenario: &Scenario| -> Vec<Caution> {
        let cautions = for_happenings(scenario, [&outage]);
        cautions.iter().map(|one| one.caution).collect()
    };
    let (bare, stocked) = (said(&scenario()), said(&stocked()));
    assert!(bare.contains(&Caution::StoppedFlow) && !bare.contains(&Caution::OxygenReckoned));
    assert!(stocked.contains(&Caution::OxygenReckoned) && !stocked.contains(&Caution::StoppedFlow));
}

#[test]
fn no_fault_is_blamed_for_oxygen_that_falls_as_soon_with_nothing_broken() {
    let told = |without_fault_h| {
        let faults = vec![outage(Some(22.8), Some(without_fault_h))];
        let record = of_block(block(vec![row("on-off", healthy(0.0, 0.0, 1.0), faults)]));
        table::comparison(&record, Units::Metric).contains("oxygen falls below half saturation after 22.8 h")
    };
    assert!(!told(22.9));
    assert!(told(30.0));
}
