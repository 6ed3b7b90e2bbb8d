//! The fault matrix: what every fault does, what stops it, which of them one tank cannot bear, and what would help.

mod another_circuit;
mod common_cause;
mod salinity;

use std::sync::LazyLock;

use crate::support::{scenario, strategy};
use tepid::compare::Silent;
use tepid::faults::{FaultsRequest, faults};
use tepid_output::json::json;
use tepid_output::records::{
    Change, EditKind, ExposureHow, FaultMatrix, FaultRow, RoomKind, SinglePoint, StoppedBy, StrategyFaults,
};
use tepid_output::wording::Units;
use tepid_output::{csv_text, table};
use tepid_scenarios::fault_sets;
use tepid_sim::scenario::{
    ActKind, ActsBy, Effect, FaultSet, Happening, Lasts, Origin, Scenario, WatchAct, WatchRule, When,
};
use tepid_sim::time::{DAY, HOUR};

/// A day of a library scenario in which only the faults of these sets happen.
fn with_faults(name: &str, changes: &[(&str, &str)], sets: &[&str]) -> Scenario {
    only_these(scenario(name, changes), sets)
}

/// A day of a scenario in which only the faults of these sets happen.
fn only_these(mut scenario: Scenario, sets: &[&str]) -> Scenario {
    scenario.duration_ms = DAY;
    let others = fault_sets(&scenario)
        .into_iter()
        .filter(|set| !sets.contains(&set.name.as_str()));
    let emptied: Vec<FaultSet> = others
        .map(|set| FaultSet {
            cases: Vec::new(),
            ..set
        })
        .collect();
    scenario.fault_sets.extend(emptied);
    scenario
}

fn matrix(scenario: &Scenario, pairs: bool) -> FaultMatrix {
    let request = FaultsRequest {
        scenario,
        strategies: &[("on-off".to_owned(), strategy("on-off"))],
        seed: 7,
        pairs,
    };
    faults(&request, &Silent).expect("on-off applies")
}

fn only(record: &FaultMatrix) -> &StrategyFaults {
    assert!(
        record.strategies[0].failures.is_empty(),
        "{:?}",
        record.strategies[0].failures
    );
    &record.strategies[0]
}

fn point<'a>(record: &'a FaultMatrix, case: &str) -> &'a SinglePoint {
    let found = only(record).single_points.iter().find(|point| point.case == case);
    found.unwrap_or_else(|| panic!("{case} is no single point of failure"))
}

fn alone(point: &SinglePoint, kind: EditKind) -> &Change {
    let found = point.tried.iter().find(|change| change.edits == [kind]);
    found.unwrap_or_else(|| panic!("{kind:?} was not tried"))
}

fn row<'a>(rows: &'a [FaultRow], case: &str, room: RoomKind) -> &'a FaultRow {
    let found = rows
        .iter()
        .find(|row| row.outcome.case == case && row.outcome.room == room);
    found.unwrap_or_else(|| panic!("{case} was not tried"))
}

/// One big heater with its dial turned up: a weld, a dead heater.
static BIG_HEATER: LazyLock<FaultMatrix> = LazyLock::new(|| {
    let sets = ["one contact welded", "one heater dead"];
    matrix(&with_faults("spare-room-one-big-heater", &[], &sets), false)
});

#[test]
fn a_cut_out_in_its_own_box_removes_the_weld_of_one_big_heater() {
    let weld = point(&BIG_HEATER, "relay welded");
    let cut_out = alone(weld, EditKind::CutOut);
    assert!(cut_out.removes, "{cut_out:?}");
    assert_eq!(
        weld.tried[weld.smallest.expect("something removes it")].edits,
        [EditKind::CutOut]
    );
    // It opens at 27.3 °C; what the heater's body still holds and the way to the display add little.
    let left = cut_out.outcome.as_ref().expect("an outcome");
    assert!(
        left.peak_c.expect("a peak") < 28.5 && left.larger_dose() == Some(0.0),
        "{left:?}"
    );
}

#[test]
fn two_halves_of_a_big_heater_leave_more_time_under_a_weld_and_bear_it_in_a_cool_house() {
    // In the warmest room half the power is still too much, but takes longer.
    let weld = point(&BIG_HEATER, "relay welded");
    let split = alone(weld, EditKind::SplitHeaters);
    let after_h = split
        .outcome
        .as_ref()
        .and_then(|outcome| outcome.taken_past_h())
        .expect("past");
    assert!(
        !split.removes && after_h > 1.5 * weld.exceeds.used_up_h,
        "{after_h} h"
    );
    // In a house that never gets warmer than the spare room in winter it is not.
    let cool = with_faults(
        "spare-room-one-big-heater",
        &[("room.year.warmest", "20 °C")],
        &["one contact welded"],
    );
    let record = matrix(&cool, false);
    let weld = point(&record, "relay welded");
    let split = alone(weld, EditKind::SplitHeaters);
    assert!(split.removes, "{split:?}");
    // The price in the cold: none, the power is the same; the table says so.
    let (before, after) = (only(&record).held.expect("held"), split.held.expect("held"));
    let (was_h, is_h) = (
        before.recovery_h.expect("recovers"),
        after.recovery_h.expect("recovers"),
    );
    assert!((is_h - was_h).abs() < 0.1 * was_h, "{was_h} h and {is_h} h");
    let text = table::fault_matrix(&record, Units::Metric);
    assert!(text.contains("every heater split in two: at worst"), "{text}");
    assert!(text.contains("recovery"), "{text}");
}

#[test]
fn smaller_heaters_pay_for_a_harmless_weld_with_slower_recovery_in_the_cold() {
    // A house of 16 to 20 °C that 300 W hold and 200 W do not, with the weld of 400 W past the dose.
    let cool = with_faults(
        "spare-room-one-big-heater",
        &[
            ("room.year.coldest", "18 °C"),
            ("room.year.warmest", "21 °C"),
            (
                "room.temperature.points",
                "[[\"0 h\", \"19 °C\"], [\"48 h\", \"19 °C\"]]",
            ),
        ],
        &["one contact welded"],
    );
    let record = matrix(&cool, false);
    let before = only(&record).held.expect("held");
    let weld = point(&record, "relay welded");
    let smaller = [EditKind::ThreeQuartersPower, EditKind::HalfPower].map(|kind| alone(weld, kind));
    let paid: Vec<_> = smaller.into_iter().filter_map(|change| change.held).collect();
    assert!(!paid.is_empty(), "{smaller:?}");
    for after in paid {
        assert!(after.coldest_room_held_c > before.coldest_room_held_c);
        assert!(
            after.recovery_h.is_none_or(|h| Some(h) > before.recovery_h),
            "{after:?}"
        );
    }
}

#[test]
fn a_change_that_keeps_the_unbroken_tank_no_longer_removes_nothing() {
    let harsh = with_faults(
        "spare-room-one-big-heater",
        &[("room.year.coldest", "8 °C")],
        &["one contact welded"],
    );
    let record = matrix(&harsh, false);
    let half = alone(point(&record, "relay welded"), EditKind::HalfPower);
    assert!(!half.removes && half.outcome.is_none(), "{half:?}");
    assert!(
        half.breaks_healthy.as_ref().expect("why").contains("coldest"),
        "{half:?}"
    );
    let text = table::fault_matrix(&record, Units::Metric);
    assert!(text.contains("Ruled out beforehand: "), "{text}");
}

#[test]
fn no_contact_and_no_smaller_heater_helps_against_a_leak() {
    // Nobody tops off: a float switch would make up for it.
    let scenario = with_faults("spare-room-one-big-heater", &[("top_off", "none")], &["leak"]);
    let record = matrix(&scenario, false);
    let leak = point(&record, "leak in display");
    assert_eq!(leak.smallest, None);
    assert!(leak.pairs_tried > 0);
    let text = table::fault_matrix(&record, Units::Metric);
    assert!(text.contains("No change tried, "), "{text}");
}

#[test]
fn the_worst_fault_stands_first_and_those_past_the_dose_before_all_others() {
    let past: Vec<bool> = only(&BIG_HEATER)
        .faults
        .iter()
        .map(FaultRow::takes_past)
        .collect();
    assert!(past[0] && !past[past.len() - 1]);
    assert!(past.is_sorted_by(|a, b| a >= b));
    let doses: Vec<f64> = only(&BIG_HEATER)
        .faults
        .iter()
        .filter(|row| row.takes_past())
        .filter_map(|row| row.outcome.added_dose())
        .collect();
    assert!(doses.is_sorted_by(|a, b| a >= b), "{doses:?}");
}

#[test]
fn a_dose_used_up_names_the_line_passed_by_then() {
    let weld = row(&only(&BIG_HEATER).faults, "relay welded", RoomKind::Warmest);
    let exceeds = weld.exceeds.expect("past the dose");
    assert!(exceeds.is_hot && exceeds.line_c >= 28.5);
    assert!(exceeds.line_after_h <= exceeds.used_up_h);
}

#[test]
fn the_alert_of_a_weld_comes_before_the_dose_is_used_up_and_reaches_the_keeper() {
    let weld = row(&only(&BIG_HEATER).faults, "relay welded", RoomKind::Scenario);
    let alert_h = weld.outcome.first_alert_h.expect("an alert");
    // The keeper or, a quarter of an hour later, the sitter.
    let reached_h = weld.outcome.heard_h.expect("somebody");
    assert!(
        (alert_h..alert_h + 1.0).contains(&reached_h),
        "{alert_h} {reached_h}"
    );
    let lead_h = weld.outcome.warning_lead_h.expect("a lead");
    assert!((weld.exceeds.expect("past").used_up_h - reached_h - lead_h).abs() < 0.01);
}

#[test]
fn a_dial_behind_a_welded_relay_is_what_stops_it() {
    let scenario = with_faults(
        "spare-room-one-big-heater",
        &[("contact.dial.opens_above", "27.5 °C")],
        &["one contact welded"],
    );
    let record = matrix(&scenario, true);
    let faults = &only(&record).faults;
    let weld = row(faults, "relay welded", RoomKind::Warmest);
    let opened = StoppedBy::Contacts {
        names: vec!["dial".to_owned()],
    };
    assert_eq!(weld.stopped_by, Some(opened));
    // Each alone stays below the dose …
    for case in ["relay welded", "dial welded"] {
        for room in RoomKind::ALL {
            assert!(!row(faults, case, room).takes_past(), "{case} {room:?}");
        }
    }
    assert!(only(&record).single_points.is_empty());
    // … and both together do not.
    let pairs = only(&record).pairs.as_ref().expect("asked for");
    let both = row(pairs, "relay welded and dial welded", RoomKind::Warmest);
    assert!(both.takes_past(), "{both:?}");
    assert!(!both.is_single);
    let text = table::fault_matrix(&record, Units::Metric);
    assert!(text.contains("Past the dose only together"), "{text}");
}

#[test]
fn somebody_who_unplugs_the_heaters_stops_a_weld_that_nobody_would_survive() {
    let mut scenario = with_faults(
        "spare-room-one-big-heater",
        &[],
        &["one contact welded", "one heater dead"],
    );
    for watch in &mut scenario.watches {
        if matches!(watch.rule, WatchRule::Above { .. }) {
            watch.acts = vec![WatchAct {
                by: ActsBy::People,
                after_ms: 2 * HOUR,
                kind: ActKind::UnplugHeaters,
                happening: Happening {
                    name: "heaters unplugged".to_owned(),
                    when: When::Acted,
                    lasts: Lasts::ToTheEnd,
                    effect: Effect::HeatersUnplugged,
                    origin: Origin::Act,
                },
            }];
        }
    }
    let record = matrix(&scenario, false);
    let stuck = |people_act: bool| {
        let found = only(&record).exposure.iter().find(|one| {
            one.how == ExposureHow::Stuck
                && one.people_act == people_act
                && one.row.outcome.room == RoomKind::Warmest
        });
        found.expect("tried")
    };
    assert_eq!(stuck(true).devices, ["heater"]);
    let (with, without) = (&stuck(true).row, &stuck(false).row);
    assert!(
        !with.takes_past() && without.takes_past(),
        "{with:?}\n{without:?}"
    );
    let Some(StoppedBy::Person { what }) = &with.stopped_by else {
        panic!("{:?}", with.stopped_by);
    };
    assert!(what.starts_with("heaters unplugged by "), "{what}");
    let acted_h = with.outcome.acted_h.expect("acted");
    // Whoever comes first takes two hours from then on.
    assert!(
        acted_h >= with.outcome.first_alert_h.expect("an alert") + 2.0,
        "{acted_h}"
    );
    assert_eq!(without.outcome.acted_h, None);
    let dead = only(&record)
        .exposure
        .iter()
        .filter(|one| one.how == ExposureHow::Dead);
    assert_eq!(dead.count(), 6, "three rooms, with people and without");
}

#[test]
fn an_outage_is_stopped_by_its_own_end_and_a_dead_heater_by_the_other() {
    let scenario = with_faults("spare-room-winter", &[], &["outage", "one heater dead"]);
    let record = matrix(&scenario, false);
    let faults = &only(&record).faults;
    assert_eq!(
        row(faults, "outage", RoomKind::Scenario).stopped_by,
        Some(StoppedBy::FaultEnded)
    );
    let dead = row(faults, "heater left dead", RoomKind::Coldest);
    let other = StoppedBy::Heating {
        names: vec!["right".to_owned()],
    };
    assert_eq!(dead.stopped_by, Some(other), "{dead:?}");
}

#[test]
fn no_line_of_the_matrix_is_wider_than_a_hundred_columns() {
    for units in [Units::Metric, Units::Us] {
        let text = table::fault_matrix(&BIG_HEATER, units);
        for line in text.lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
    }
    let text = table::fault_matrix(&BIG_HEATER, Units::Us);
    // Cautions tell why a heater ran dry in °C everywhere.
    let (results, _) = text.split_once("\nCautions\n").expect("cautions");
    assert!(!results.contains("°C"), "{results}");
}

#[test]
fn the_matrix_comes_back_from_its_json_as_it_was() {
    let text = json(&*BIG_HEATER).expect("json");
    let back: FaultMatrix = serde_json::from_str(&text).expect("the record");
    assert_eq!(back, *BIG_HEATER);
    assert!(text.contains("\"format\": \"tepid-faults\""));
}

#[test]
fn every_outcome_has_a_line_in_the_csv() {
    let text = csv_text::fault_matrix(&BIG_HEATER).expect("csv");
    let one = only(&BIG_HEATER);
    let changes: usize = one.single_points.iter().map(|point| point.tried.len()).sum();
    assert_eq!(text.lines().count(), 1 + one.faults.len() + changes);
}

#[test]
fn changes_of_mains_wiring_carry_their_cautions() {
    let text = table::fault_matrix(&BIG_HEATER, Units::Metric);
    for part in [
        "licensed electrician",
        "RCD/GFCI",
        "no independent protection",
        "safety certificate",
    ] {
        let plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
        // The dial's caution belongs to a fault that is not tried here.
        assert_eq!(
            plain.contains(part),
            part != "no independent protection",
            "{part}"
        );
    }
}
