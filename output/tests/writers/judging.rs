//! Who may be called best, and what the verdict says.

use tepid_output::records::{FaultOutcome, Merit, RoomKind, Standing};
use tepid_output::table;
use tepid_output::wording::{Units, outcome};

use crate::examples::{
    self, blameless_weld, block, fanless_row, harmful_weld, harmless_weld, healthy, livestock, row,
};

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
fn values_that_hardly_differ_are_equally_best_and_one_shared_by_all_is_no_merit() {
    let block = block(vec![
        row("a", healthy(1.0, 0.20, 10.0), vec![harmless_weld()]),
        row("b", healthy(1.5, 0.25, 12.0), vec![harmless_weld()]),
        row("c", healthy(1.0, 0.40, 12.0), vec![harmless_weld()]),
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
        block
            .verdict
            .join(" ")
            .contains("in the room constant at the year's warmest, after 5 h"),
        "{:?}",
        block.verdict
    );
}

#[test]
fn no_fault_is_blamed_for_a_dose_that_is_used_up_with_nothing_broken() {
    let faults = || vec![harmless_weld(), blameless_weld(34.6)];
    let block = block(vec![
        row("on-off", healthy(0.0, 0.2, 10.0), faults()),
        row("proportional", healthy(0.0, 0.1, 144.0), faults()),
    ]);
    assert_eq!(block.unfit_rooms(), [RoomKind::Warmest]);
    assert_eq!(block.rows[0].standing, Standing::Best);
    assert_eq!(block.rows[1].standing, Standing::FitToUse);
    let last = block.verdict.last().unwrap();
    assert!(
        last.ends_with(
            "in the room constant at the year's warmest (29 °C) the water passes the dose after 34.6 h with nothing broken and needs \
             cooling first, under every strategy here."
        ),
        "{last}"
    );
    let record = examples::of_block(block);
    let text = table::comparison(&record, Units::Metric).replace("\n  ", " ");
    let said = "- every strategy: the water passes the dose with nothing broken, after 34.6 h; no fault is to blame for that";
    assert_eq!(text.matches(said).count(), 1, "{text}");
    assert!(!text.contains("one fault away"), "{text}");
    assert!(text.contains("warmest room apart"), "{text}");
}

#[test]
fn a_strategy_that_loses_a_room_which_another_one_holds_is_past_the_dose_by_itself() {
    let held = FaultOutcome {
        hot_used_up_h: None,
        hot_used_up_without_fault_h: None,
        hot_dose: Some(0.2),
        stays_below_dose: Some(true),
        ..blameless_weld(34.6)
    };
    let block = block(vec![
        row("on-off", healthy(0.0, 0.2, 10.0), vec![blameless_weld(34.6)]),
        row("heat-and-fan", healthy(9.0, 0.2, 10.0), vec![held]),
    ]);
    assert!(block.unfit_rooms().is_empty());
    assert_eq!(block.rows[0].standing, Standing::PastTheDose);
    assert_eq!(block.rows[1].standing, Standing::Best);
    assert_eq!(
        block.verdict[1],
        "By contrast on-off passes the dose with nothing broken in the room constant at the year's warmest; with the same circuit, heaters \
         and room for all it is the strategy that decides."
    );
}

#[test]
fn a_fault_is_blamed_for_the_side_that_stays_below_the_dose_without_it() {
    let chilled_too = FaultOutcome {
        cold_used_up_h: Some(20.0),
        cold_dose: Some(3.0),
        ..blameless_weld(34.6)
    };
    let block = block(vec![row("on-off", healthy(0.0, 0.2, 10.0), vec![chilled_too])]);
    assert!(matches!(block.rows[0].standing, Standing::OneFaultAway { .. }));
}

#[test]
fn a_fault_that_brings_a_loss_much_sooner_is_told_beside_it() {
    let sooner = FaultOutcome {
        hot_used_up_h: Some(3.0),
        ..blameless_weld(34.6)
    };
    let record = examples::of_block(block(vec![row("on-off", healthy(0.0, 0.2, 10.0), vec![sooner])]));
    let text = table::comparison(&record, Units::Metric).replace("\n  ", " ");
    assert!(
        text.contains("needs cooling first; with relay left welded already after 3 h"),
        "{text}"
    );
}

#[test]
fn a_line_passed_before_the_fault_is_told_as_such() {
    assert_eq!(
        outcome(&blameless_weld(34.6), &livestock(), Units::Metric),
        "already past 28.5 °C before the fault, dose used up after 34.6 h, peak 29.6 °C, as with nothing broken"
    );
    let onwards = FaultOutcome {
        hot_reached_h: vec![Some(-2.0), Some(1.5), None],
        ..blameless_weld(4.0)
    };
    assert_eq!(
        outcome(&onwards, &livestock(), Units::Metric),
        "already past 28.5 °C before the fault, passes 30 °C after 1.5 h, dose used up after 4 h, peak 29.6 °C, as with \
         nothing broken"
    );
}

#[test]
fn strategies_that_fare_alike_under_a_fault_are_told_once_and_others_apart() {
    let record = examples::of_block(block(vec![
        row("a", healthy(0.0, 0.2, 10.0), vec![harmful_weld(9.0)]),
        row("b", healthy(0.0, 0.2, 10.0), vec![harmful_weld(9.3)]),
        row("c", healthy(0.0, 0.2, 10.0), vec![harmful_weld(30.0)]),
        row("d", healthy(0.0, 0.2, 10.0), vec![harmless_weld()]),
    ]));
    let text = table::comparison(&record, Units::Metric).replace("\n  ", " ");
    for part in [
        "- a and b: past the dose by relay left welded: passes 28.5 °C after 3 to 3.1 h, dose used up after 9 to 9.3 h, \
         peak 33.1 °C\n",
        "- c: past the dose by relay left welded: passes 28.5 °C after 10 h, dose used up after 30 h, peak 33.1 °C\n",
        "- d: no single fault of the table reaches a line within 72 h (worst: relay left welded, peak 27.9 instead of 25.8 °C)\n",
    ] {
        assert!(text.contains(part), "`{part}` is not in:\n{text}");
    }
}

#[test]
fn cautions_of_several_scenarios_are_said_once_at_the_end() {
    let mut record = examples::comparison();
    record.scenarios.push(record.scenarios[0].clone());
    let text = table::comparison(&record, Units::Metric);
    assert_eq!(text.matches("A welded contact ignores").count(), 1, "{text}");
    assert!(text.rfind("Verdict") < text.find("Cautions"), "{text}");
}

#[test]
fn a_verdict_has_at_most_four_sentences() {
    let past = |name| {
        let mut lost = healthy(100.0, 4.0, 1.0);
        lost.hot_dose = examples::even(3.0);
        row(name, lost, vec![harmless_weld()])
    };
    let fit = |name| {
        row(
            name,
            healthy(0.0, 0.2, 10.0),
            vec![harmless_weld(), blameless_weld(30.0)],
        )
    };
    let away = |name, after_h| {
        row(
            name,
            healthy(0.0, 0.2, 10.0),
            vec![harmful_weld(after_h), blameless_weld(30.0)],
        )
    };
    let untried = |name| row(name, healthy(0.0, 0.2, 10.0), Vec::new());
    let mixtures = [
        vec![fit("a")],
        vec![fit("a"), away("b", 4.0), past("c")],
        vec![away("a", 4.0)],
        vec![away("a", 4.0), away("b", 9.0), past("c")],
        vec![past("a")],
        vec![past("a"), past("b")],
        vec![untried("a"), past("b")],
        vec![fanless_row("a")],
    ];
    let verdicts: Vec<String> = mixtures
        .into_iter()
        .map(|rows| {
            let verdict = block(rows).verdict;
            assert!((1..=4).contains(&verdict.len()), "{verdict:?}");
            assert!(
                verdict.iter().all(|sentence| sentence.ends_with('.')),
                "{verdict:?}"
            );
            verdict.join("\n")
        })
        .collect();
    insta::assert_snapshot!(verdicts.join("\n\n"));
}

#[test]
fn a_dose_used_up_with_nothing_broken_rules_a_strategy_out() {
    let mut frozen = healthy(168.0, 0.0, 0.1);
    frozen.cold_dose = examples::even(1.0);
    let block = block(vec![row("fan-cooling", frozen, vec![harmless_weld()])]);
    assert_eq!(block.rows[0].standing, Standing::PastTheDose);
    assert!(
        block.verdict[0].starts_with("Do not trust fan-cooling here"),
        "{:?}",
        block.verdict
    );
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
    let last = block.verdict.last().unwrap();
    assert!(
        last.ends_with("; runs of 1 of 2 strategies failed and are not judged."),
        "{last}"
    );
    assert!(block.verdict.len() <= 3);
}

#[test]
fn a_strategy_that_does_not_apply_says_what_is_missing() {
    let record = examples::comparison();
    assert_eq!(record.scenarios[0].rows[4].standing, Standing::DoesNotApply);
    assert!(table::comparison(&record, Units::Metric).contains("fan-cooling does not apply: no fan"));
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
        table::comparison_with_every_fault(&record, Units::Metric),
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
        "reaches no line within 72 h in a room of up to 21 °C (peak 27.9 instead of 25.8 °C)"
    );
    assert_eq!(
        outcome(&harmless_weld(), &livestock(), Units::Us),
        "reaches no line within 72 h in a room of up to 69.8 °F (peak 82.2 instead of 78.4 °F)"
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
        "reaches no line within 72 h in a room down to 18.4 °C (lowest 22.4 instead of 25.3 °C)"
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
