//! Who may be called best, and what the verdict says.

use tepid_output::records::{FaultOutcome, Merit, RoomKind, Standing};
use tepid_output::table;
use tepid_output::wording::{Units, outcome};

use crate::examples::{self, block, fanless_row, harmful_weld, harmless_weld, healthy, livestock, row};

#[test]
fn a_strategy_that_a_single_fault_takes_past_the_dose_is_best_in_nothing() {
    let block = block(vec![
        row(
            "perfect-but-fragile",
            healthy(0.0, 0.01, 1.0),
            vec![harmful_weld(9.0)],
        ),
        row("sloppy", healthy(20.0, 0.9, 30.0), vec![harmless_weld()]),
        row("sloppier", healthy(30.0, 1.1, 40.0), vec![harmless_weld()]),
    ]);
    assert!(block.rows[0].best_in.is_empty());
    assert_eq!(
        block.rows[0].standing,
        Standing::OneFaultAway {
            fault: "relay left welded".to_owned(),
            room: RoomKind::Scenario
        }
    );
    assert_eq!(block.rows[1].standing, Standing::Best);
    assert!(block.rows[1].best_in.contains(&Merit::InsideBand));
    assert!(block.rows[2].best_in.is_empty());
    assert_eq!(block.rows[2].standing, Standing::FitToUse);
}

#[test]
fn equal_values_are_equally_best_and_a_value_shared_by_all_is_no_merit() {
    let block = block(vec![
        row("a", healthy(1.0, 0.2, 10.0), vec![harmless_weld()]),
        row("b", healthy(1.0, 0.2, 12.0), vec![harmless_weld()]),
        row("c", healthy(1.0, 0.3, 12.0), vec![harmless_weld()]),
    ]);
    assert_eq!(
        block.rows[0].best_in,
        [Merit::Overshoot, Merit::ClosingsPerDay, Merit::ContactLife]
    );
    assert_eq!(block.rows[1].best_in, [Merit::Overshoot]);
}

#[test]
fn a_fault_in_the_warmest_room_alone_still_makes_a_strategy_one_fault_away() {
    let warm = FaultOutcome {
        room: RoomKind::Warmest,
        room_lowest_c: 29.0,
        room_highest_c: 29.0,
        ..harmful_weld(5.0)
    };
    let block = block(vec![row(
        "on-off",
        healthy(0.0, 0.2, 10.0),
        vec![harmless_weld(), warm],
    )]);
    assert_eq!(
        block.rows[0].standing,
        Standing::OneFaultAway {
            fault: "relay left welded".to_owned(),
            room: RoomKind::Warmest
        }
    );
    assert!(
        block.verdict.join(" ").contains("in the year's warmest room"),
        "{:?}",
        block.verdict
    );
}

#[test]
fn a_dose_used_up_with_nothing_broken_rules_a_strategy_out() {
    let mut frozen = healthy(168.0, 0.0, 0.1);
    frozen.cold_dose = examples::even(1.0);
    let block = block(vec![row("fan-cooling", frozen, vec![harmless_weld()])]);
    assert_eq!(block.rows[0].standing, Standing::PastTheDose);
    assert!(block.verdict[0].starts_with("Trust none"));
}

#[test]
fn without_a_fault_tried_nobody_is_trusted() {
    let block = block(vec![
        row("a", healthy(0.0, 0.1, 10.0), Vec::new()),
        row("b", healthy(1.0, 0.2, 12.0), Vec::new()),
    ]);
    assert!(
        block
            .rows
            .iter()
            .all(|row| row.standing == Standing::NoFaultTried)
    );
    assert!(block.verdict[0].starts_with("No fault was tried"));
}

#[test]
fn a_failed_run_is_neither_good_nor_bad() {
    let failed = FaultOutcome {
        stays_below_dose: None,
        hot_dose: None,
        cold_dose: None,
        peak_c: None,
        lowest_c: None,
        failure: Some("strategy failed: division by zero".to_owned()),
        ..harmless_weld()
    };
    let block = block(vec![
        row("a", healthy(0.0, 0.1, 10.0), vec![failed]),
        row("b", healthy(1.0, 0.2, 12.0), vec![harmless_weld()]),
    ]);
    assert_eq!(block.rows[0].standing, Standing::Failed);
    assert_eq!(block.rows[1].standing, Standing::Best);
    assert_eq!(
        block.verdict.last().unwrap(),
        "Runs of 1 of 2 strategies failed; they are not judged."
    );
}

#[test]
fn a_strategy_that_does_not_apply_says_what_is_missing() {
    let record = examples::comparison();
    assert_eq!(record.scenarios[0].rows[4].standing, Standing::DoesNotApply);
    assert!(table::comparison(&record, Units::Metric).contains("does not apply: no fan"));
    let block = block(vec![fanless_row("fan-cooling")]);
    assert!(block.verdict[0].starts_with("None of these strategies applies"));
}

#[test]
fn the_verdict_names_the_first_choice_and_who_is_one_fault_away() {
    insta::assert_snapshot!(examples::comparison().scenarios[0].verdict.join("\n"));
}

#[test]
fn where_one_fault_ruins_all_the_verdict_says_the_circuit_decides() {
    let block = block(vec![
        row("on-off", healthy(0.0, 0.2, 10.0), vec![harmful_weld(9.0)]),
        row("proportional", healthy(0.0, 0.1, 144.0), vec![harmful_weld(11.0)]),
    ]);
    insta::assert_snapshot!(block.verdict.join("\n"));
}

#[test]
fn where_no_fault_does_harm_the_verdict_leaves_steadiness_and_wear_to_choose() {
    let block = block(vec![
        row("on-off", healthy(0.0, 0.2, 10.0), vec![harmless_weld()]),
        row("proportional", healthy(0.0, 0.1, 144.0), vec![harmless_weld()]),
    ]);
    insta::assert_snapshot!(block.verdict.join("\n"));
}

#[test]
fn no_writer_promises_survival_or_safety() {
    let record = examples::comparison();
    for text in [
        table::comparison(&record, Units::Metric),
        table::every_fault(&record, Units::Metric),
        table::budget(&examples::budget(), Units::Metric),
        tepid_output::json::json(&record).unwrap(),
    ] {
        let lower = text.to_lowercase();
        assert!(!lower.contains("surviv"));
        assert!(!lower.replace("not a safety certificate", "").contains("safe"));
    }
}

#[test]
fn an_outcome_tells_the_first_line_the_dose_and_the_peak() {
    assert_eq!(
        outcome(&harmful_weld(9.0), &livestock(), Units::Metric),
        "passes 28.5 °C after 3 h, dose used up after 9 h, peak 33.1 °C"
    );
    assert_eq!(
        outcome(&harmless_weld(), &livestock(), Units::Metric),
        "passes 28.5 °C not within 72 h at a room of up to 21 °C (peak 27.9 °C)"
    );
    assert_eq!(
        outcome(&harmless_weld(), &livestock(), Units::Us),
        "passes 83.3 °F not within 72 h at a room of up to 69.8 °F (peak 82.2 °F)"
    );
}

#[test]
fn an_outage_is_told_by_its_cold_side() {
    let chilled = FaultOutcome {
        peak_c: Some(25.6),
        lowest_c: Some(22.4),
        ..harmless_weld()
    };
    assert_eq!(
        outcome(&chilled, &livestock(), Units::Metric),
        "falls below 22 °C not within 72 h at a room down to 18.4 °C (lowest 22.4 °C)"
    );
    let cold = FaultOutcome {
        lowest_c: Some(19.1),
        cold_dose: Some(0.7),
        cold_reached_h: vec![Some(14.0), Some(40.0), None],
        ..harmless_weld()
    };
    assert_eq!(
        outcome(&cold, &livestock(), Units::Metric),
        "falls below 22 °C after 14 h, dose 0.70 in 72 h, lowest 19.1 °C"
    );
}
