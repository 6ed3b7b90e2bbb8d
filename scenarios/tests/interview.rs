//! A scenario from eight questions.

use tepid_scenarios::interview::{AnswerError, Answers, ConversationError, Size, Topic, conversation};
use tepid_scenarios::{FileKind, Loaded, kind_of_text, load_str, strategy};
use tepid_sim::quantity::System;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{ActKind, Scenario};
use tepid_sim::time::HOUR;

fn answered(typed: &[(Topic, &str)]) -> Answers {
    let mut answers = Answers::sensible(System::Metric);
    for (topic, typed) in typed {
        answers
            .take(*topic, typed)
            .unwrap_or_else(|error| panic!("{topic:?} `{typed}`: {error}"));
    }
    answers
}

fn scenario_of(answers: &Answers) -> Scenario {
    let text = answers.scenario_text();
    assert_eq!(kind_of_text(&text), FileKind::Scenario);
    match load_str("mine.toml", &text) {
        Ok(Loaded::Scenario(scenario)) => *scenario,
        other => panic!("{other:?}\n{text}"),
    }
}

fn refused(topic: Topic, typed: &str) -> AnswerError {
    let mut answers = Answers::sensible(System::Metric);
    let error = answers.take(topic, typed).expect_err(typed);
    assert_eq!(answers, Answers::sensible(System::Metric));
    error
}

/// 2 × 4 × 3 × 3 × 3 × 3 × 3 × 3 answers; each file is loaded, and run for an hour under on-off.
#[test]
fn whatever_is_answered_the_file_loads_and_runs() {
    let units = ["°C", "F"];
    let sizes = ["20 L", "75 gal", "120 x 50 x 50 cm", "2 ft x 1 ft 6 in x 18 in"];
    let covers = ["open", "mesh", "lid"];
    let rooms = ["16 °C to 27 °C", "-5 °C, 40 °C", "60 to 60 °F"];
    let heaters = ["25 W", "2 x 150 W", "100 W, 200 W and 1 kW"];
    let switching = ["dial", "controller", "both"];
    let animals = ["reef", "tropical fish", "cool"];
    let nearby = ["home", "evenings", "nobody"];
    let on_off = strategy("on-off").expect("built in");
    let mut files = 0;
    for (unit, size) in units
        .iter()
        .flat_map(|unit| sizes.iter().map(move |size| (unit, size)))
    {
        for (cover, room) in covers
            .iter()
            .flat_map(|cover| rooms.iter().map(move |room| (cover, room)))
        {
            for (heater, switch) in heaters
                .iter()
                .flat_map(|heater| switching.iter().map(move |switch| (heater, switch)))
            {
                for (kind, near) in animals
                    .iter()
                    .flat_map(|kind| nearby.iter().map(move |near| (kind, near)))
                {
                    let answers = answered(&[
                        (Topic::Units, unit),
                        (Topic::Size, size),
                        (Topic::Cover, cover),
                        (Topic::Room, room),
                        (Topic::Heaters, heater),
                        (Topic::Switching, switch),
                        (Topic::Livestock, kind),
                        (Topic::Nearby, near),
                    ]);
                    let mut scenario = scenario_of(&answers);
                    scenario.duration_ms = HOUR;
                    scenario.warm_up_ms = 0;
                    let scores =
                        run(&RunRequest::new(&scenario, on_off.recipe.as_ref(), 7), None).expect("runs");
                    assert_eq!(scores.tanks.len(), 1);
                    files += 1;
                }
            }
        }
    }
    assert_eq!(files, 2 * 4 * 81 * 9);
}

#[test]
fn nothing_typed_keeps_what_was_shown() {
    let mut answers = Answers::sensible(System::Metric);
    for topic in Topic::ALL {
        answers.take(topic, "  \n").expect("kept");
    }
    assert_eq!(answers, Answers::sensible(System::Metric));
    scenario_of(&answers);
}

/// What stands in brackets may be typed as it stands there.
#[test]
fn what_is_shown_and_what_is_given_as_an_example_is_understood() {
    for system in [System::Metric, System::UsCustomary] {
        let sensible = Answers::sensible(system);
        for topic in Topic::ALL {
            let shown = sensible.shown(topic);
            let mut answers = sensible.clone();
            answers
                .take(topic, &shown)
                .unwrap_or_else(|error| panic!("{topic:?} `{shown}`: {error}"));
            assert_eq!(answers.shown(topic), shown);
            for example in topic.example(system).split(", or ") {
                let mut answers = sensible.clone();
                answers
                    .take(topic, example)
                    .unwrap_or_else(|error| panic!("{topic:?} `{example}`: {error}"));
            }
        }
    }
}

#[test]
fn a_bare_number_is_refused_with_an_example() {
    for (topic, typed) in [
        (Topic::Size, "300"),
        (Topic::Heaters, "2 x 150"),
        (Topic::Size, "120 x 50 x 50"),
    ] {
        let error = refused(topic, typed);
        assert!(
            matches!(error, AnswerError::Quantity { .. }),
            "{typed}: {error:?}"
        );
        let said = error.to_string();
        assert!(
            said.contains("has no unit") && said.contains(topic.example(System::Metric)),
            "{said}"
        );
    }
}

#[test]
fn what_cannot_be_is_refused() {
    for (topic, typed) in [
        (Topic::Units, "kelvin"),
        (Topic::Size, "300 W"),
        (Topic::Size, "0 L"),
        (Topic::Size, "100 m³"),
        (Topic::Size, "1 m x 1 m"),
        (Topic::Cover, "blanket"),
        (Topic::Room, "16 °C"),
        (Topic::Room, "27 °C to 16 °C"),
        (Topic::Room, "16 °C to 90 °C"),
        (Topic::Heaters, "none"),
        (Topic::Heaters, "9 x 100 W"),
        (Topic::Heaters, "-5 W"),
        (Topic::Switching, "1"),
        (Topic::Livestock, "\u{1b}[31m"),
        (Topic::Nearby, "x"),
    ] {
        refused(topic, typed);
    }
}

#[test]
fn the_answers_are_in_the_file_in_the_chosen_units() {
    let answers = answered(&[
        (Topic::Units, "f"),
        (Topic::Size, "48 x 18 x 21 in"),
        (Topic::Room, "60 °F to 80 °F"),
        (Topic::Heaters, "2 x 150 W"),
        (Topic::Switching, "controller"),
        (Topic::Nearby, "evenings"),
    ]);
    let text = answers.scenario_text();
    let code: Vec<&str> = text.lines().filter_map(|line| line.split('#').next()).collect();
    assert!(!code.iter().any(|line| line.contains("°C")), "{text}");
    let scenario = scenario_of(&answers);
    assert!((scenario.tanks[0].length_m - 48.0 * 0.0254).abs() < 1e-9);
    assert!((scenario.room.coldest.temp_c - (60.0 - 32.0) / 1.8).abs() < 0.01);
    assert!((scenario.room.warmest.temp_c - (80.0 - 32.0) / 1.8).abs() < 0.01);
    assert_eq!(
        scenario
            .heaters
            .iter()
            .map(|heater| heater.power_w)
            .collect::<Vec<_>>(),
        [150.0, 150.0]
    );
    let dials: Vec<f64> = scenario
        .contacts
        .iter()
        .filter_map(|contact| contact.own_sensing.map(|dial| dial.opens_above_c))
        .collect();
    assert!(
        dials.len() == 2 && dials.iter().all(|opens_c| (opens_c - 34.0).abs() < 0.01),
        "{dials:?}"
    );
    let acts = &scenario.watches[0].acts;
    assert_eq!(acts.len(), 1);
    assert_eq!(
        (acts[0].kind, acts[0].after_ms),
        (ActKind::UnplugHeaters, 10 * HOUR)
    );
}

#[test]
fn three_lengths_make_the_tank_they_measure() {
    let Size::Inside(sides_m) = answered(&[(Topic::Size, "120 × 50 × 50 cm")]).size else {
        panic!("lengths")
    };
    assert_eq!(sides_m, [1.2, 0.5, 0.5]);
    let answers = answered(&[(Topic::Size, "2 ft by 1 ft 6 in by 18 in")]);
    assert!((answers.size.volume_m3() - 0.6096 * 0.4572 * 0.4572).abs() < 1e-12);
}

/// Every value of the file is explained beside it.
#[test]
fn every_line_of_the_file_has_a_comment() {
    let text = Answers::sensible(System::Metric).scenario_text();
    for line in text.lines().filter(|line| line.contains(" = ")) {
        let (_, comment) = line.rsplit_once("# ").unwrap_or_else(|| panic!("{line}"));
        assert!(comment.len() > 3, "{line}");
    }
    assert!(text.lines().take(2).all(|line| line.starts_with("# ")));
}

#[test]
fn a_question_fits_a_terminal() {
    for topic in Topic::ALL {
        assert!(
            topic.question().chars().count() <= 90 && !topic.question().contains('\n'),
            "{topic:?}"
        );
    }
}

#[test]
fn whatever_switches_the_heaters_today_a_strategy_is_not_overruled_by_a_dial() {
    let on_off = strategy("on-off").expect("built in");
    for (switching, animals) in [("dial", "cool"), ("controller", "tropical"), ("both", "reef")] {
        let scenario = scenario_of(&answered(&[
            (Topic::Switching, switching),
            (Topic::Livestock, animals),
        ]));
        let scores = run(&RunRequest::new(&scenario, on_off.recipe.as_ref(), 7), None).expect("runs");
        let closings = |what: &str| -> u64 {
            let of = scores
                .contacts
                .iter()
                .filter(|contact| contact.contact.starts_with(what));
            of.map(|contact| contact.closings).sum()
        };
        assert!(closings("relay") > 20, "{switching}: {}", closings("relay"));
        assert_eq!(closings("dial"), 0, "{switching}");
    }
}

/// A conversation of these lines; the answers and what was shown.
fn talked(lines: &[&str]) -> (Result<Answers, ConversationError>, String) {
    let typed = lines.iter().map(|line| format!("{line}\n")).collect::<String>();
    let mut shown = Vec::new();
    let answers = conversation(&mut typed.as_bytes(), &mut shown);
    (answers, String::from_utf8(shown).expect("text"))
}

#[test]
fn a_conversation_asks_eight_questions_and_takes_the_answers_in_their_order() {
    let (answers, shown) = talked(&[
        "F",
        "75 gal",
        "lid",
        "61 to 79",
        "1 × 300 W",
        "dial",
        "reef",
        "home",
    ]);
    let answers = answers.expect("answered");
    for topic in Topic::ALL {
        assert_eq!(shown.matches(topic.question()).count(), 1, "{topic:?}\n{shown}");
    }
    assert_eq!((answers.units, answers.cover), (System::UsCustomary, "lid"));
    assert_eq!(answers.heaters_w, [300.0]);
    let scenario = scenario_of(&answers);
    assert!((scenario.room.coldest.temp_c - (61.0 - 32.0) / 1.8).abs() < 0.01);
    assert!((scenario.room.warmest.temp_c - (79.0 - 32.0) / 1.8).abs() < 0.01);
}

#[test]
fn a_cover_nobody_knows_is_asked_again_until_it_is_known() {
    for unknown in ["blanket", "half open", "m e s h", "plastic", "x", "?"] {
        let (answers, shown) = talked(&["", "", unknown, unknown, "open", "", "", "", "", ""]);
        assert_eq!(answers.expect("answered").cover, "open");
        assert_eq!(
            shown
                .matches(&format!("`{unknown}` is not one of open, mesh, lid"))
                .count(),
            2,
            "{shown}"
        );
    }
}

#[test]
fn answers_that_end_early_make_no_scenario() {
    let (answers, _) = talked(&["", "300 L"]);
    assert!(matches!(answers, Err(ConversationError::Ended)), "{answers:?}");
}

#[test]
fn bytes_that_are_no_text_are_asked_again() {
    let typed = [b"\n\n\xff\xfe\n".as_slice(), b"lid\n\n\n\n\n\n".as_slice()].concat();
    let answers = conversation(&mut typed.as_slice(), &mut Vec::new());
    assert_eq!(answers.expect("answered").cover, "lid");
}

#[test]
fn heaters_are_understood_as_people_write_them() {
    let heaters = |typed: &str| answered(&[(Topic::Heaters, typed)]).heaters_w;
    for one in ["300 W", "300W", "1 × 300 W", "1x300W", "1 X 300 W", "0.3 kW"] {
        assert_eq!(heaters(one), [300.0], "{one}");
    }
    for two in [
        "2x150W",
        "2 x 150 W",
        "2×150 W",
        "2 X 150W",
        "2*150 W",
        "150 W + 150 W",
    ] {
        assert_eq!(heaters(two), [150.0, 150.0], "{two}");
    }
}

#[test]
fn bare_temperatures_are_in_the_unit_that_was_chosen() {
    let room_c = |unit: &str, typed: &str| answered(&[(Topic::Units, unit), (Topic::Room, typed)]).room_c;
    assert_eq!(room_c("C", "16 to 27"), (16.0, 27.0));
    for written in [
        "59 to 86",
        "59, 86",
        "59 °F to 86 °F",
        "59 to 86 F",
        "15 °C to 30 °C",
    ] {
        let (winter_c, summer_c) = room_c("°F", written);
        assert!(
            (winter_c - 15.0).abs() < 1e-9 && (summer_c - 30.0).abs() < 1e-9,
            "{written}"
        );
    }
}

#[test]
fn a_file_in_us_units_says_how_to_see_results_in_them() {
    let says = |system| Answers::sensible(system).scenario_text().contains("`--units us`");
    assert!(says(System::UsCustomary));
    assert!(!says(System::Metric));
}
