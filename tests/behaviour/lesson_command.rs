//! A lesson asks before it answers, and what it says to change next runs as printed.

use std::process::Command;

use rayon::prelude::*;

use crate::bad_input::{run_in, tepid};
use crate::support::{run_with, scenario, worst};
use tepid::lesson::{Given, given};
use tepid_lessons::lessons;
use tepid_output::handout::handout;
use tepid_output::records;
use tepid_output::table::{self, LessonDepth};
use tepid_output::wording::Units;

const QUESTION: &str = "Guess first";
const ANSWER: &str = "What came out";
const KEY: &str = "For the teacher";

#[test]
fn a_lesson_asks_before_it_answers() {
    let of = |more: &[&str]| {
        let all: Vec<&str> = ["lesson", "big-heater"].iter().chain(more).copied().collect();
        let (code, text, error) = tepid(&[], &all);
        assert_eq!(code, 0, "{error}");
        text
    };
    let (question, answer, key) = (of(&[]), of(&["--answer"]), of(&["--key"]));
    assert!(question.contains(QUESTION) && !question.contains(ANSWER) && !question.contains(KEY));
    assert!(answer.find(QUESTION) < answer.find(ANSWER) && !answer.contains(KEY));
    assert!(key.find(ANSWER) < key.find(KEY));
    for text in [question, answer, key] {
        assert!(text.contains("\nCautions\n") && text.contains("A welded contact ignores \"off\""));
    }
}

#[test]
fn no_question_gives_its_answer_away() {
    for lesson in lessons() {
        let record = given(lesson).expect("given").record;
        let text = table::lesson(&record, LessonDepth::Question, Units::Metric);
        assert!(!text.contains(&record.lesson.answer), "{}", lesson.name);
        assert!(!text.contains("\n* "), "{}", lesson.name);
        assert!(!record.cautions.is_empty());
    }
}

#[test]
fn without_a_name_all_lessons_are_listed() {
    let (code, text, _) = tepid(&[], &["lesson"]);
    assert_eq!(code, 0);
    for lesson in lessons() {
        assert!(
            text.contains(lesson.name) && text.contains(lesson.title),
            "{}",
            lesson.name
        );
    }
}

#[test]
fn a_misspelt_lesson_ends_with_2_and_names_the_nearest() {
    let (code, text, error) = tepid(&[], &["lesson", "bigheater"]);
    assert_eq!((code, text.as_str()), (2, ""));
    assert!(error.contains("did you mean big-heater?"), "{error}");
    let (code, _, error) = tepid(&[], &["lesson", "big-heater", "--plot", "lesson.gif"]);
    assert_eq!(code, 2);
    assert!(error.contains("must end in .svg or .png"), "{error}");
    assert_eq!(tepid(&[], &["lesson", "--answer"]).0, 2);
}

#[test]
fn what_to_change_next_runs_as_it_is_printed() {
    let program = assert_cmd::cargo::cargo_bin("tepid");
    let path = program.parent().expect("a folder").display().to_string();
    let all = lessons()
        .iter()
        .flat_map(|lesson| lesson.next.iter().map(|next| (lesson.name, next.command)));
    all.collect::<Vec<_>>()
        .into_par_iter()
        .for_each(|(name, command)| {
            assert!(command.starts_with("tepid "), "{name}: {command}");
            let folder = tempfile::tempdir().expect("folder");
            let ran = Command::new("sh")
                .args(["-c", command])
                .env("PATH", format!("{path}:/usr/bin:/bin"))
                .current_dir(folder.path())
                .output()
                .expect("runs");
            let said = String::from_utf8_lossy(&ran.stderr);
            assert!(ran.status.success(), "{name}: {command}\n{said}");
        });
}

#[test]
fn a_lesson_as_json_is_the_record_of_the_library() {
    let (code, text, _) = tepid(&[], &["lesson", "two-halves", "--format", "json"]);
    assert_eq!(code, 0);
    let read: records::Lesson = serde_json::from_str(&text).expect("the record");
    let lesson = tepid_lessons::lesson("two-halves").expect("there");
    assert_eq!(read, given(lesson).expect("given").record);
    let (code, text, _) = tepid(&[], &["lesson", "--format", "csv"]);
    assert!(code == 0 && text.contains("two-halves"));
}

#[test]
fn a_reader_of_fahrenheit_meets_no_celsius_but_in_commands_to_copy() {
    for lesson in lessons() {
        let record = given(lesson).expect("given").record;
        let text = table::lesson(&record, LessonDepth::Key, Units::Us);
        let equation = text.find("\nThe equation\n").expect("an equation");
        let next = text.find("\nChange next\n").expect("what to change next");
        for line in text[..equation].lines().chain(text[next..].lines()) {
            let copied = line.starts_with("    tepid ");
            assert!(copied || !line.contains("°C"), "{}: {line}", lesson.name);
        }
        assert!(text.contains("°F"), "{}", lesson.name);
    }
}

#[test]
fn its_picture_and_its_handout_speak_fahrenheit_too() {
    for lesson in lessons() {
        let Given { record, figure } = given(lesson).expect("given");
        let figure = figure.in_units(Units::Us);
        let svg = figure.svg().expect("a picture");
        assert!(svg.contains("°F"), "{}", lesson.name);
        assert!(!svg.contains("°C") && !svg.contains(" K<"), "{}", lesson.name);
        let page = handout(&record, &figure.bare_svg().expect("a picture"), true, Units::Us);
        let equation = page.find("The equation").expect("an equation");
        let next = page.find("Change next").expect("what to change next");
        let told = [&page[..equation], &page[next..]].concat();
        let told = told
            .split("class=\"command\"")
            .map(|part| part.split_once('<').map_or("", |(_, rest)| rest));
        assert!(
            told.into_iter().all(|part| !part.contains("°C")),
            "{}",
            lesson.name
        );
    }
}

#[test]
fn the_equation_of_a_handout_is_set_as_by_hand() {
    let lesson = tepid_lessons::lesson("outage").expect("there");
    let Given { record, figure } = given(lesson).expect("given");
    let page = handout(
        &record,
        &figure.bare_svg().expect("a picture"),
        true,
        Units::Metric,
    );
    assert!(page.contains("(T<sub>0</sub> − T<sub>room</sub>) · e<sup>−t/τ</sup>,"));
}

#[test]
fn every_lesson_can_be_drawn() {
    let folder = tempfile::tempdir().expect("folder");
    for lesson in lessons() {
        let svg = given(lesson).expect("given").figure.svg().expect("a picture");
        for set_up in (lesson.set_ups)() {
            assert!(svg.contains(set_up.label), "{}: {}", lesson.name, set_up.label);
        }
    }
    let (code, _, error) = run_in(folder.path(), &["lesson", "big-heater", "--plot", "lesson.png"]);
    assert_eq!(code, 0, "{error}");
    let png = std::fs::read(folder.path().join("lesson.png")).expect("a picture");
    assert!(png.starts_with(b"\x89PNG"));
}

/// What the texts say of the commands to try next, held to what these print.
#[test]
fn what_a_teacher_is_told_of_the_next_commands_is_so() {
    let real = run_with(&scenario("lidded-nano", &[]), "on-off", &[]);
    let perfect = given(tepid_lessons::lesson("deadband").expect("there"))
        .expect("given")
        .record;
    // The second set-up has the deadband of the command.
    let closings = perfect.lesson.set_ups[1].values[0].expect("a figure");
    assert!(real.contacts[0].closings_per_day > 1.2 * closings);
    let small = run_with(
        &scenario("spare-room-one-big-heater", &[("heater.heater.power", "200 W")]),
        "on-off",
        &[],
    );
    assert!(worst(&small).undershoot_k > 1.0, "{}", worst(&small).undershoot_k);
}

#[test]
fn a_handout_needs_nothing_but_itself_and_keeps_its_key_on_a_sheet_of_its_own() {
    let folder = tempfile::tempdir().expect("folder");
    let of = |more: &[&str]| {
        let all: Vec<&str> = ["lesson", "cut-out", "-o", "out.html"]
            .iter()
            .chain(more)
            .copied()
            .collect();
        let (code, out, error) = run_in(folder.path(), &all);
        assert_eq!((code, out.as_str(), error.as_str()), (0, "", ""));
        std::fs::read_to_string(folder.path().join("out.html")).expect("a page")
    };
    let (whole, bare, us) = (of(&[]), of(&["--without-key"]), of(&["--units", "us"]));
    for part in ["<script", " src=", "@import", "url(", "href=\"http"] {
        assert!(!whole.contains(part), "{part}");
    }
    let lesson = tepid_lessons::lesson("cut-out").expect("there");
    let told = given(lesson).expect("given").record;
    // The question stands before the first break of sheets, the answer after the last.
    let sheets: Vec<&str> = whole.split("class=\"sheet\"").collect();
    assert_eq!(sheets.len(), 3);
    assert!(sheets[0].contains(lesson.question) && sheets[0].matches("class=\"line\"").count() >= 3);
    for caution in &told.cautions {
        assert!(
            sheets[0].contains(&caution.marked().replace('"', "&quot;")),
            "{}",
            caution.marked()
        );
    }
    assert!(sheets[1].contains("</svg>") && sheets[1].contains("<sub>relay</sub>"));
    assert!(
        sheets[2].contains("Right: C") && !sheets[0].contains("Right: ") && !sheets[1].contains("Right: ")
    );
    assert!(!bare.contains("Right: ") && bare.contains("</svg>") && !bare.contains("Often said"));
    assert!(us.contains("°F") && !us.contains("°C"));
}

#[test]
fn all_handouts_go_into_a_folder() {
    let folder = tempfile::tempdir().expect("folder");
    let (code, _, error) = run_in(
        folder.path(),
        &["lesson", "--all", "-o", "class/one", "--without-key"],
    );
    assert_eq!(code, 0, "{error}");
    for lesson in lessons() {
        let path = folder
            .path()
            .join("class/one")
            .join(format!("{}.html", lesson.name));
        assert!(
            std::fs::read_to_string(path)
                .expect("a page")
                .contains(lesson.title)
        );
    }
    for (arguments, said) in [
        (vec!["lesson", "big-heater", "-o", "out.pdf"], "must end in .html"),
        (vec!["lesson", "-o", "out.html"], "which lesson?"),
        (vec!["lesson", "--all"], "--output"),
    ] {
        let (code, _, error) = run_in(folder.path(), &arguments);
        assert!(code == 2 && error.contains(said), "{arguments:?}: {error}");
    }
}
