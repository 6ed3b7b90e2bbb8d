//! What holds of every lesson.

use tepid_lessons::{Lesson, Prepared, Told, lesson, lessons, prepare};
use tepid_sim::run::run;
use tepid_sim::scores::Scores;

fn run_of(lesson: &Lesson) -> (Vec<Prepared>, Vec<Scores>) {
    let prepared = prepare(lesson).unwrap_or_else(|error| panic!("{}: {error}", lesson.name));
    let scores = prepared.iter().map(|one| {
        run(&one.request(), None)
            .unwrap_or_else(|error| panic!("{}, {}: {error}", lesson.name, one.set_up.label))
    });
    let scores = scores.collect();
    (prepared, scores)
}

fn told(lesson: &Lesson) -> Told {
    let (prepared, scores) = run_of(lesson);
    lesson
        .tell(&prepared, &scores)
        .unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn the_right_choice_is_the_one_that_the_runs_show() {
    for lesson in lessons() {
        assert_eq!(told(lesson).right, lesson.key, "{}", lesson.name);
    }
}

#[test]
fn runs_that_came_out_the_other_way_round_would_not_show_it() {
    for lesson in lessons() {
        let (prepared, mut scores) = run_of(lesson);
        scores.reverse();
        let reversed = lesson.tell(&prepared, &scores).map(|told| told.right);
        assert_ne!(reversed.ok(), Some(lesson.key), "{}", lesson.name);
    }
}

#[test]
fn runs_that_are_all_alike_would_not_show_it() {
    for lesson in lessons() {
        let (prepared, scores) = run_of(lesson);
        let alike = vec![scores[0].clone(); scores.len()];
        let told = lesson.tell(&prepared, &alike).map(|told| told.right);
        assert_ne!(told.ok(), Some(lesson.key), "{}", lesson.name);
    }
}

#[test]
fn every_lesson_has_all_its_parts() {
    for lesson in lessons() {
        let told = told(lesson);
        let name = lesson.name;
        let sentences = [
            &told.title,
            &told.aim,
            &told.story,
            &told.answer,
            &told.equation.source,
        ];
        assert!(sentences.iter().all(|text| text.len() > 10), "{name}");
        assert!(told.question.ends_with('?'), "{name}: {}", told.question);
        assert!(
            told.choices.len() >= 3 && lesson.key < told.choices.len(),
            "{name}"
        );
        assert!(
            (15..=60).contains(&told.minutes) && told.ages.contains(" to "),
            "{name}"
        );
        assert!(told.set_ups.len() >= 2 && told.columns.len() >= 2, "{name}");
        assert!(told.explanation.len() >= 2, "{name}");
        assert!(
            told.equation.formula.contains(['=', '<']) && told.equation.symbols.len() >= 3,
            "{name}"
        );
        assert!(
            ["docs/", "sim/src"]
                .iter()
                .any(|place| told.equation.source.contains(place)),
            "{name}"
        );
        assert!(told.next.len() >= 2 && told.for_the_teacher.len() >= 2, "{name}");
    }
}

#[test]
fn names_are_words_of_a_command_line_and_no_two_alike() {
    for (place, one) in lessons().iter().enumerate() {
        assert!(
            one.name.chars().all(|c| c.is_ascii_lowercase() || c == '-'),
            "{}",
            one.name
        );
        assert!(lessons()[..place].iter().all(|before| before.name != one.name));
        assert_eq!(lesson(one.name).map(|found| found.title), Some(one.title));
    }
    assert!(lesson("no-such-lesson").is_none());
}

#[test]
fn no_figure_of_a_text_is_missing() {
    for lesson in lessons() {
        let told = told(lesson);
        let texts = told
            .explanation
            .iter()
            .chain(&told.for_the_teacher)
            .chain([&told.answer]);
        for text in texts {
            assert!(
                !text.contains('–') && !text.contains("NaN") && !text.contains("inf"),
                "{}: {text}",
                lesson.name
            );
        }
        for set_up in &told.set_ups {
            assert_eq!(set_up.values.len(), told.columns.len());
            assert!(
                set_up.values.iter().any(Option::is_some),
                "{}: {}",
                lesson.name,
                set_up.label
            );
        }
    }
}

#[test]
fn an_answer_tells_figures_of_its_table() {
    for lesson in lessons() {
        let told = told(lesson);
        let mut figures = told.set_ups.iter().flat_map(|set_up| &set_up.words);
        assert!(
            figures.any(|figure| told.answer.contains(figure.as_str())),
            "{}: {}",
            lesson.name,
            told.answer
        );
    }
}

/// With other figures in the runs the texts tell others: none is written down.
#[test]
fn what_is_told_follows_the_runs() {
    for lesson in lessons() {
        let (prepared, scores) = run_of(lesson);
        let warmer: Vec<Scores> = scores.iter().cloned().map(changed).collect();
        let before = lesson.tell(&prepared, &scores).expect("told");
        let after = lesson.tell(&prepared, &warmer).expect("told all the same");
        assert_ne!(before.answer, after.answer, "{}", lesson.name);
        assert_ne!(before.explanation, after.explanation, "{}", lesson.name);
    }
}

/// Everything a little more, so that the order of things stays as it was.
fn changed(mut scores: Scores) -> Scores {
    const MORE: f64 = 1.05;
    for tank in &mut scores.tanks {
        for figure in [
            &mut tank.mean_c,
            &mut tank.highest_c,
            &mut tank.lowest_c,
            &mut tank.end_c,
        ] {
            *figure += 0.3;
        }
        tank.highest_c += 0.1;
        tank.below_band_h *= MORE;
        for dose in [&mut tank.hot, &mut tank.cold] {
            dose.used *= MORE;
            dose.used_up_ms = dose.used_up_ms.map(|at_ms| at_ms + 600_000);
            for at_ms in dose.reached_ms.iter_mut().flatten() {
                *at_ms += 600_000;
            }
        }
    }
    for contact in &mut scores.contacts {
        contact.closings_per_day *= MORE;
        contact.closed_frac *= MORE;
        contact.life_years = contact.life_years.map(|years| years / MORE);
    }
    scores.evaporated_kg *= MORE;
    scores
}

/// Readers of Fahrenheit have figures restated one by one.
#[test]
fn every_figure_has_its_unit_right_behind_it() {
    for lesson in lessons() {
        let told = told(lesson);
        let texts = [&told.story, &told.question, &told.answer].into_iter();
        let texts = texts
            .chain(&told.choices)
            .chain(&told.explanation)
            .chain(&told.for_the_teacher);
        for text in texts {
            let words: Vec<&str> = text.split_whitespace().collect();
            for four in words.windows(4) {
                let number = |word: &str| word.parse::<f64>().is_ok();
                let unit = four[3].trim_end_matches(['.', ',', ';', ':', '?']);
                let shared = number(four[0])
                    && ["to", "and", "or"].contains(&four[1])
                    && number(four[2])
                    && ["°C", "K", "L"].contains(&unit);
                assert!(!shared, "{}: {}", lesson.name, four.join(" "));
            }
        }
    }
}
