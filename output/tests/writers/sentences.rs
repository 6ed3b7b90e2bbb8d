//! Each sentence about a fault and each verdict, with the record that calls for it.

use tepid_output::records::{
    BudgetBuilding, ClosingsByBody, ClosingsWithBody, FaultKind, FaultOutcome, HealthySummary, Livestock,
    RoomDeviceKind, RoomKind, ScenarioBlock, Standing, Warning,
};
use tepid_output::table;
use tepid_output::wording::Units;

use crate::examples::{self, block, even, harmful_weld, harmless_weld, healthy, livestock, of_block, row};

/// A text with its lines joined again.
fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn told(block: ScenarioBlock) -> String {
    unwrapped(&table::comparison(&of_block(block), Units::Metric))
}

fn verdict(block: &ScenarioBlock) -> String {
    block.verdict.join(" ")
}

/// What the water does with nothing broken on its way below a line; the fault adds nothing.
fn cold_anyway() -> FaultOutcome {
    FaultOutcome {
        peak_c: Some(25.6),
        peak_without_fault_c: Some(25.6),
        lowest_c: Some(21.4),
        lowest_without_fault_c: Some(21.4),
        cold_dose: Some(0.29),
        cold_dose_without_fault: Some(0.29),
        cold_reached_h: vec![Some(50.0), None, None],
        cold_reached_without_fault_h: vec![Some(50.0), None, None],
        ..harmless_weld()
    }
}

#[test]
fn a_fault_that_adds_nothing_is_not_called_worst() {
    let text = told(block(vec![row(
        "on-off",
        healthy(0.0, 0.2, 10.0),
        vec![cold_anyway()],
    )]));
    let said = "- on-off: no fault of the table makes it worse; with nothing broken the water falls below 22 °C, dose \
                0.29 in 72 h, lowest 21.4 °C";
    assert!(text.contains(said), "{text}");
    assert!(
        text.contains(
            "No fault takes the water past a danger line that it does not pass with nothing broken"
        ),
        "{text}"
    );
    let still = FaultOutcome {
        peak_c: Some(25.8),
        ..harmless_weld()
    };
    let text = told(block(vec![row("on-off", healthy(0.0, 0.2, 10.0), vec![still])]));
    assert!(
        text.contains(
            "no fault of the table makes it worse; with nothing broken the water stays at 25.3 to 25.8 °C"
        ),
        "{text}"
    );
}

#[test]
fn a_fault_that_helps_is_not_said_to_do_as_nothing_broken_does() {
    let helps = FaultOutcome {
        lowest_c: Some(21.9),
        cold_dose: Some(0.02),
        ..cold_anyway()
    };
    let record = of_block(block(vec![row("on-off", healthy(0.0, 0.2, 10.0), vec![helps])]));
    let text = table::comparison_with_every_fault(&record, Units::Metric);
    assert!(text.contains("no worse than"), "{text}");
}

#[test]
fn what_a_fault_adds_stands_beside_what_happens_without_it() {
    let colder = FaultOutcome {
        lowest_c: Some(20.6),
        cold_dose: Some(0.71),
        ..cold_anyway()
    };
    let text = told(block(vec![row("on-off", healthy(0.0, 0.2, 10.0), vec![colder])]));
    assert!(
        text.contains(
            "worst is relay left welded: falls below 22 °C after 2.1 d, dose 0.71 in 72 h, lowest 20.6 °C (with \
             nothing broken dose 0.29 in 72 h, lowest 21.4 °C)"
        ),
        "{text}"
    );
}

#[test]
fn a_dose_passed_with_nothing_broken_outside_the_instants_tried_has_a_line_of_its_own() {
    let lost = HealthySummary {
        hot_dose: even(1.7),
        hot_used_up_h: Some(89.0),
        ..healthy(90.0, 5.1, 0.3)
    };
    let text = told(block(vec![row("on-off", lost, vec![harmless_weld()])]));
    assert!(
        text.contains(
            "- on-off: the water passes the dose with nothing broken, after 3.7 d; no fault is to blame for that, it needs \
             cooling first; none makes it worse"
        ),
        "{text}"
    );
}

#[test]
fn a_long_scenario_says_at_how_many_instants_of_which_days_a_fault_was_tried() {
    let mut long = block(vec![row(
        "on-off",
        healthy(0.0, 0.2, 10.0),
        vec![harmless_weld()],
    )]);
    assert!(!told(long.clone()).contains("tried at"));
    long.trial_instants_h = [0.0, 22.0, 205.0]
        .iter()
        .flat_map(|day| (0..8).map(move |phase| day * 24.0 + f64::from(phase) * 3.0))
        .collect();
    long.rows[0].faults[0].tries = 24;
    assert!(
        told(long)
            .contains("tried at 24 instants of 3 days: day 1, the warmest and the coldest (days 23 and 206)")
    );
}

#[test]
fn without_danger_lines_nothing_is_judged_and_nobody_comes_first() {
    let mut bare = block(vec![
        row("on-off", healthy(0.0, 0.2, 10.0), vec![harmless_weld()]),
        row("pi", healthy(40.0, 0.2, 10.0), vec![harmless_weld()]),
    ]);
    bare.livestock = Livestock {
        danger_hot: Vec::new(),
        danger_cold: Vec::new(),
        ..livestock()
    };
    bare.judge();
    assert!(bare.rows.iter().all(|row| row.standing == Standing::NotJudged));
    assert!(
        verdict(&bare).starts_with("Not judged: no danger lines stated"),
        "{}",
        verdict(&bare)
    );
    assert!(verdict(&bare).contains("on-off holds the band longest, 100 % of the time"));
    let text = told(bare);
    for never in [
        "first choice",
        "reaches a line",
        "reaches no line",
        "past the dose",
    ] {
        assert!(!text.contains(never), "`{never}` is in:\n{text}");
    }
    assert!(
        text.contains("worst is relay left welded, peak 27.9 instead of 25.8 °C"),
        "{text}"
    );
}

#[test]
fn a_side_without_danger_lines_is_said_not_to_be_judged() {
    let mut one_sided = block(vec![row(
        "on-off",
        healthy(0.0, 0.2, 10.0),
        vec![harmless_weld()],
    )]);
    one_sided.livestock.danger_cold.clear();
    one_sided.judge();
    assert!(verdict(&one_sided).ends_with("Too cold is not judged: no danger lines stated for it."));
}

#[test]
fn a_first_choice_that_hardly_holds_the_band_is_not_praised_for_it() {
    let weak = HealthySummary {
        above_band_h: even(0.0),
        below_band_h: even(100.0),
        heaters_on_frac: even(0.97),
        ..healthy(0.0, 0.2, 10.0)
    };
    let block = block(vec![row("on-off", weak, vec![harmless_weld()])]);
    assert_eq!(
        block.verdict[0],
        "First comes on-off: no single fault of the table takes the water past the dose, but it keeps the water inside the \
         band only 40.5 % of the time and closes relay left 10.0 times a day; the heaters are on 97 % of the time: too \
         weak for this room."
    );
}

#[test]
fn strategies_that_are_alike_come_first_together() {
    let block = block(vec![
        row("on-off", healthy(0.0, 0.20, 10.0), vec![harmless_weld()]),
        row("pi", healthy(0.5, 0.22, 10.3), vec![harmless_weld()]),
        row("sloppy", healthy(30.0, 0.9, 10.0), vec![harmless_weld()]),
    ]);
    assert_eq!(block.rows[0].standing, Standing::Best);
    assert_eq!(block.rows[1].standing, Standing::Best);
    assert_eq!(block.rows[2].standing, Standing::FitToUse);
    assert!(
        block.verdict[0].starts_with(
            "Trust on-off or pi first, which are alike: they keep the water inside the band 99.7 to 100 % of the time, close \
             relay left 10.0 to 10.3 times a day,"
        ),
        "{}",
        block.verdict[0]
    );
}

#[test]
fn six_minutes_more_to_notice_name_nobody_over_another() {
    let alike = block(vec![
        row("on-off", healthy(0.0, 0.2, 10.0), vec![harmful_weld(7.3)]),
        row("pi", healthy(0.0, 0.2, 10.0), vec![harmful_weld(7.4)]),
    ]);
    let text = verdict(&alike);
    assert!(text.contains("after 7.3 to 7.4 h"), "{text}");
    assert!(
        text.contains("They are alike in the time they leave to notice"),
        "{text}"
    );
    assert!(!text.contains("most time"), "{text}");
}

#[test]
fn the_remedy_fits_the_kind_of_fault_that_decides() {
    for (kind, remedy) in [
        (
            FaultKind::HeaterWelded,
            "a second contact or an independent cut-out",
        ),
        (FaultKind::Outage, "backup power"),
        (FaultKind::Leak, "a level switch"),
        (FaultKind::ProbeWrong, "a second probe that must agree"),
        (FaultKind::CoolingLost, "a second way to cool"),
        (FaultKind::PumpStopped, "a second pump"),
        (FaultKind::HeatingLost, "split the heating"),
    ] {
        let fault = FaultOutcome {
            kind,
            case: "it".to_owned(),
            ..harmful_weld(9.0)
        };
        let text = verdict(&block(vec![row("on-off", healthy(0.0, 0.2, 10.0), vec![fault])]));
        assert!(text.contains(remedy), "{kind:?}: {text}");
        assert_eq!(
            text.contains("cut-out"),
            remedy.contains("cut-out") || kind == FaultKind::ProbeWrong
        );
    }
}

#[test]
fn standing_and_verdict_name_the_same_fault() {
    let soon = FaultOutcome {
        case: "leak in sump".to_owned(),
        kind: FaultKind::Leak,
        hot_dose: Some(2.0),
        ..harmful_weld(3.0)
    };
    let block = block(vec![row(
        "on-off",
        healthy(0.0, 0.2, 10.0),
        vec![harmful_weld(9.0), soon],
    )]);
    let Standing::OneFaultAway { fault, .. } = &block.rows[0].standing else {
        panic!("{:?}", block.rows[0].standing)
    };
    assert!(
        block.verdict[0].contains(&format!("namely {fault}, after 9 h")),
        "{}",
        block.verdict[0]
    );
    assert!(
        verdict(&block).contains("The soonest to do it is leak in sump, after 3 h"),
        "{}",
        verdict(&block)
    );
}

#[test]
fn a_heater_run_dry_is_marked_with_its_reason_first() {
    let dry = FaultOutcome {
        case: "leak in sump".to_owned(),
        hottest_body_c: Some(231.0),
        ..harmless_weld()
    };
    let one = block(vec![row("on-off", healthy(0.0, 0.2, 10.0), vec![dry])]);
    let mark = "run dry: glass may crack; remove power before touching the water";
    let text = told(one.clone());
    let said = format!("- leak in sump (under on-off), heater body up to 231.0 °C, {mark}");
    assert!(text.contains(&said), "{text}");
    let every = table::comparison_with_every_fault(&of_block(one), Units::Us);
    assert!(
        every.contains("447.8 °F") && every.contains("heater run dry: glass may"),
        "{every}"
    );
    assert!(
        !told(block(vec![row(
            "a",
            healthy(0.0, 0.2, 1.0),
            vec![harmless_weld()]
        )]))
        .contains("run dry")
    );
}

#[test]
fn warnings_of_a_scenario_stand_in_its_comparison_once_for_all_that_say_the_same() {
    let mut one = block(vec![row(
        "on-off",
        healthy(0.0, 0.2, 10.0),
        vec![harmless_weld()],
    )]);
    let still = |tank: &str| Warning {
        what: format!("The water of {tank} stands still"),
        why: "It can lie in layers.".to_owned(),
        advice: "Mind it.".to_owned(),
    };
    one.warnings = vec![still("display"), still("sump")];
    assert!(told(one).contains(
        "- The water of display stands still. The water of sump stands still. It can lie in layers. Mind it."
    ));
}

#[test]
fn closings_tell_what_other_heater_bodies_would_make_of_them() {
    let mut one = block(vec![
        row("on-off", healthy(0.0, 0.2, 50.0), vec![harmless_weld()]),
        row("pi", healthy(0.0, 0.2, 288.0), vec![harmless_weld()]),
    ]);
    let with = |closings: [f64; 2]| {
        let times = [0.7, 1.5].into_iter().zip(closings);
        times
            .map(|(capacity_times_frac, closings_per_day)| ClosingsWithBody {
                capacity_times_frac,
                closings_per_day,
            })
            .collect()
    };
    for (row, closings_per_day, others) in [(0, 50.2, [57.8, 44.1]), (1, 288.0, [288.0, 287.0])] {
        one.rows[row].closings_by_body = Some(ClosingsByBody {
            contact: "relay left".to_owned(),
            closings_per_day,
            with: with(others),
        });
    }
    let text = table::comparison(&of_block(one), Units::Metric);
    for line in [
        "on-off: 50 closings a day; 44 to 58 if the heaters' bodies hold 0.7 to 1.5 times the assumed heat\n",
        "pi: closings stay within 5 % if the heaters' bodies hold 0.7 to 1.5 times the assumed heat\n",
    ] {
        assert!(text.contains(line), "{text}");
    }
}

#[test]
fn outdoor_air_is_not_shown_as_the_room() {
    let mut built = block(vec![row(
        "on-off",
        healthy(0.0, 0.2, 10.0),
        vec![harmless_weld()],
    )]);
    built.rooms[0].outdoors_c = Some([-5.0, 8.0]);
    assert!(
        told(built)
            .contains("Room 18.4 to 21 °C, computed from the building; outdoors -5 to 8 °C at 45 % humidity")
    );
    let mut run = crate::pinned::run();
    run.scores.as_mut().unwrap().room.outdoors_c = Some([-5.0, 8.0]);
    assert!(
        unwrapped(&table::run(&run, Units::Metric))
            .contains("14.2 to 20.3 °C, computed from the building; outdoors -5 to 8 °C; at most 52 % humid")
    );
    let mut budget = examples::budget();
    budget.building = Some(BudgetBuilding {
        outdoors_c: 2.0,
        device: Some(RoomDeviceKind::Heating),
        device_w: 480.0,
        device_rated_w: 2000.0,
    });
    let told = |budget: &_| unwrapped(&table::budget(budget, Units::Metric));
    let held = told(&budget);
    assert!(
        held.contains("as its heating holds it with 480 W of 2000 W at the mean outdoors of 2 °C"),
        "{held}"
    );
    budget.building.as_mut().unwrap().device_w = 2000.0;
    let left = told(&budget);
    assert!(
        left.contains("as its heating leaves it with all its 2000 W at the mean outdoors of 2 °C"),
        "{left}"
    );
}

#[test]
fn water_that_condenses_is_never_told_as_less_than_no_evaporation() {
    let mut budget = examples::budget();
    budget.evaporation_l_per_day = -0.3;
    budget.losses[0].power_w = -9.5;
    budget.by_correlation = ["one", "another"]
        .map(|correlation| tepid_output::records::ByCorrelation {
            correlation: correlation.to_owned(),
            own: false,
            total_loss_w: -62.0,
            slope_w_per_k: 9.0,
            evaporation_l_per_day: -0.5,
            warmest_end_c: None,
        })
        .to_vec();
    let mut run = crate::pinned::run();
    run.scores.as_mut().unwrap().evaporated_kg = -9.1;
    for units in [Units::Metric, Units::Us] {
        let (budget, run) = (table::budget(&budget, units), table::run(&run, units));
        let words: Vec<&str> = budget.split_whitespace().chain(run.split_whitespace()).collect();
        let volumes = words.windows(2).filter(|pair| ["L", "gal"].contains(&pair[1]));
        let volumes: Vec<&str> = volumes.map(|pair| pair[0]).collect();
        assert_eq!(volumes.len(), 4, "{volumes:?}");
        assert!(
            volumes.iter().all(|volume| !volume.starts_with('-')),
            "{volumes:?}"
        );
        let gains = budget.lines().filter(|line| line.contains("gains"));
        assert!(
            gains.clone().count() == 2 && gains.into_iter().all(|line| line.contains(volumes[1])),
            "{budget}"
        );
        let loss = budget.lines().find(|line| line.starts_with("condensation"));
        assert!(loss.is_some_and(|line| line.contains("-9.5")), "{budget}");
        assert!(!run.contains("Evaporated"), "{run}");
    }
    let (budget, run) = (
        unwrapped(&table::budget(&budget, Units::Metric)),
        table::run(&run, Units::Metric),
    );
    assert!(budget.contains("Condensation 0.3 L a day"), "{budget}");
    assert!(budget.contains("gains 0.5 L"), "{budget}");
    assert!(
        run.lines()
            .any(|line| line.starts_with("Condensed") && line.ends_with(" 9.1 L")),
        "{run}"
    );
}

#[test]
fn a_change_faster_than_the_livestock_bears_is_marked() {
    let mut run = crate::pinned::run();
    let line = |run: &_| {
        let text = table::run(run, Units::Metric);
        let found = text
            .lines()
            .find(|line| line.starts_with("Fastest change in an hour"));
        found.unwrap().to_owned()
    };
    assert!(
        line(&run).ends_with("0.60 K, at most 1.00 K is borne"),
        "{}",
        line(&run)
    );
    run.livestock.fastest_per_hour_k = Some(0.5);
    assert!(
        line(&run).ends_with("0.60 K: TOO FAST, at most 0.50 K is borne"),
        "{}",
        line(&run)
    );
    run.livestock.fastest_per_hour_k = None;
    assert!(line(&run).ends_with("0.60 K"), "{}", line(&run));
}

#[test]
fn closings_and_life_are_of_one_contact() {
    let mut two = healthy(0.0, 0.2, 10.0);
    let mut busy = two.contacts[0].clone();
    busy.contact = "relay fan".to_owned();
    busy.closings_per_day = even(90.0).unwrap();
    busy.life_years = even(300.0);
    two.contacts.push(busy);
    let worn = two.most_worn_contact().unwrap();
    assert_eq!(
        (worn.contact.as_str(), worn.closings_per_day.worst),
        ("relay left", 10.0)
    );
    let record = of_block(block(vec![row("on-off", two, vec![harmless_weld()])]));
    let text = table::comparison(&record, Units::Metric);
    let line = text.lines().find(|line| line.starts_with("on-off ")).unwrap();
    assert!(
        line.contains("10.0") && line.contains("27.4") && !line.contains("90.0"),
        "{line}"
    );
}

#[test]
fn a_mark_never_stands_alone_and_the_widest_figures_fit() {
    let mut wide = block(vec![
        row(
            "a-strategy-of-its-own",
            healthy(0.05, 10.5, 1234.5),
            vec![harmless_weld()],
        ),
        row("b", healthy(160.0, 20.0, 4000.0), vec![harmless_weld()]),
    ]);
    for row in &mut wide.rows {
        row.healthy.as_mut().unwrap().undershoot_k = even(10.5);
    }
    for units in [Units::Metric, Units::Us] {
        let text = table::comparison(&of_block(wide.clone()), units);
        assert!(
            text.lines()
                .all(|line| line.trim() != "*" && line.chars().count() <= 100),
            "{text}"
        );
        let line = text
            .lines()
            .find(|line| line.starts_with("a-strategy-of-its-own"))
            .unwrap();
        assert_eq!(line.matches(" *").count(), 4, "{line}");
    }
}

#[test]
fn a_fault_of_another_room_names_that_room_as_constant() {
    let warm = FaultOutcome {
        room: RoomKind::Warmest,
        ..harmful_weld(5.0)
    };
    let text = told(block(vec![row("on-off", healthy(0.0, 0.2, 10.0), vec![warm])]));
    assert!(
        text.contains("Constant at the year's warmest, 29 °C - on-off"),
        "{text}"
    );
}
