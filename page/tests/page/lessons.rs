use tepid_lessons::{lessons, prepare};
use tepid_page::Setup;
use tepid_page::lesson::{Stage, asked, told};
use tepid_page::sliders::Value;
use tepid_sim::run::run;

use crate::{column, highest, lowest, played};

pub fn setup(stage: &Stage) -> Setup {
    Setup {
        scenario: stage.scenario.clone(),
        strategies: stage.strategies.clone(),
        files: stage.files.clone(),
        sliders: stage.sliders.clone(),
        acts: stage.acts.clone(),
        seed: 7,
    }
}

#[test]
fn every_set_up_stands_on_the_page_as_the_lesson_runs_it() {
    for (asked, lesson) in asked().expect("lessons").iter().zip(lessons()) {
        let prepared = prepare(lesson).expect("ready");
        assert_eq!(asked.set_ups.len(), prepared.len());
        for (stage, one) in asked.set_ups.iter().zip(&prepared) {
            let scores = run(&one.request(), None).expect("runs");
            let shown = played(&setup(stage));
            let which = format!("{}, {}", lesson.name, stage.label);
            assert_eq!(stage.acts.is_empty(), one.failure_ms().is_none(), "{which}");
            for tank in &scores.tanks {
                let water = column(&shown.runs[0], &format!("water {}", tank.tank));
                let end_c = *water.last().expect("a course");
                assert_eq!(
                    end_c.to_bits(),
                    tank.end_c.to_bits(),
                    "{which}: {end_c} and {}",
                    tank.end_c
                );
                assert!((highest(&water) - tank.highest_c).abs() < 0.05, "{which}");
                assert!((lowest(&water) - tank.lowest_c).abs() < 0.05, "{which}");
            }
        }
    }
}

#[test]
fn what_the_page_tells_is_what_the_lesson_tells() {
    for lesson in lessons() {
        let here = told(lesson.name).expect("told");
        assert_eq!(here.right, lesson.key);
        let text =
            tepid_page::answer(format!(r#"{{"lesson": {{"name": "{}"}}}}"#, lesson.name).as_bytes()).text;
        assert_eq!(text, serde_json::to_string(&here).expect("JSON"));
    }
    let wrong = tepid_page::answer(br#"{"lesson": {"name": "moon"}}"#).text;
    assert!(wrong.contains("no lesson is named `moon`"), "{wrong}");
}

#[test]
fn no_answer_stands_among_the_questions() {
    let text = tepid_page::answer(br#"{"lessons": {}}"#).text;
    for lesson in lessons() {
        assert!(text.contains(lesson.title) && !text.contains(&told(lesson.name).expect("told").answer));
    }
}

/// A class goes on from there: sliders take the place of what the lesson set.
#[test]
fn a_lesson_s_tank_can_be_turned_and_saved() {
    let all = asked().expect("lessons");
    let big = &all[0].set_ups[2];
    let mut turned = setup(big);
    turned
        .sliders
        .values
        .insert("heater-power".to_owned(), Value::Number(120.0));
    turned
        .sliders
        .values
        .insert("deadband".to_owned(), Value::Number(0.8));
    let shown = played(&turned);
    let saved = tepid_scenarios::scenario_text("saved.toml", &shown.kept.text).expect("loads");
    assert_eq!(saved.heaters[0].power_w, 120.0);
    assert!(turned.strategies_toml().expect("texts")[0].contains("deadband = \"0.8 K\""));
    let water = column(&shown.runs[0], "water display");
    assert!(highest(&water) < highest(&column(&played(&setup(big)).runs[0], "water display")) - 3.0);
}

#[test]
fn a_limit_in_the_program_is_a_file_of_its_lesson() {
    let place = lessons()
        .iter()
        .position(|one| one.name == "cut-out")
        .expect("there");
    let stage = &asked().expect("lessons")[place].set_ups[1];
    let limited = setup(stage);
    assert_eq!(limited.strategies, ["on-off with a limit.toml"]);
    assert!(limited.strategies_toml().expect("texts")[0].contains("software-limit"));
    let shown = tepid_page::answer(
        format!(
            r#"{{"controls": {}}}"#,
            serde_json::to_string(&limited).expect("JSON")
        )
        .as_bytes(),
    );
    assert!(shown.text.contains("on-off with a limit.toml") && shown.text.contains("heater-dial"));
}

#[test]
fn every_set_up_is_scored_on_the_way_guards_or_not() {
    for stage in asked()
        .expect("lessons")
        .iter()
        .flat_map(|lesson| &lesson.set_ups)
    {
        let shown = played(&setup(stage));
        let tallies = &shown.runs[0].tallies;
        let expected = shown.runs[0].end_ms / tallies.every_ms;
        assert_eq!(tallies.rows as i64, expected, "{}", stage.scenario);
    }
}

#[test]
fn a_strategy_with_a_guard_says_what_both_do() {
    let lessons = asked().expect("lessons");
    let cut_out = lessons.iter().find(|one| one.name == "cut-out").expect("there");
    let shown = played(&setup(&cut_out.set_ups[1]));
    let workers = &shown.runs[0].workers;
    let names: Vec<&str> = workers.iter().map(|worker| worker.name).collect();
    assert_eq!(names, ["on-off", "software-limit"]);
    assert!(workers.iter().all(|worker| !worker.summary.is_empty()));
    assert!(
        shown.runs[0].settings.contains("opens above 27 °C"),
        "{}",
        shown.runs[0].settings
    );
}
