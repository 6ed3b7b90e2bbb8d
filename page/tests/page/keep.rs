//! What the page says to run in the program is what it shows.

use tepid_page::acts::ActKind;
use tepid_page::lesson::asked;
use tepid_page::sliders::Value;
use tepid_page::{Kept, OwnFile, Setup};
use tepid_sim::run::{RunRequest, run};

use crate::lessons::setup;
use crate::{act, column, plain, played};

/// Runs every command of a setup on the files that it keeps, as the program would, and holds the water to that of the page.
fn assert_commands_run_what_is_shown(setup: &Setup) {
    let shown = played(setup);
    let kept: Vec<&Kept> = [&shown.kept]
        .into_iter()
        .chain(shown.runs.iter().filter_map(|run| run.kept.as_ref()))
        .collect();
    let text = |name: &str| {
        let file = kept.iter().find(|file| file.name == name);
        file.map(|file| file.text.as_str())
    };
    for shown_run in &shown.runs {
        let words: Vec<&str> = shown_run.command.split(' ').collect();
        let ["tepid", "run", scenario, "--strategy", strategy, rest @ ..] = words.as_slice() else {
            panic!("{}", shown_run.command);
        };
        let seed = match rest {
            [] => 7,
            ["--seed", seed] => seed.parse().expect("a seed"),
            _ => panic!("{}", shown_run.command),
        };
        let scenario =
            tepid_scenarios::scenario_text(scenario, text(scenario).expect("kept")).expect("a scenario");
        let strategy = match text(strategy) {
            Some(text) => tepid_scenarios::strategy_text(strategy, text).expect("a strategy"),
            None => tepid_scenarios::strategy(strategy).expect("of the program"),
        };
        let scores = run(&RunRequest::new(&scenario, strategy.recipe.as_ref(), seed), None).expect("runs");
        for tank in &scores.tanks {
            let water = column(shown_run, &format!("water {}", tank.tank));
            assert_eq!(
                water.last().expect("a course").to_bits(),
                tank.end_c.to_bits(),
                "{}",
                shown_run.command
            );
        }
    }
}

#[test]
fn the_commands_beside_a_tank_run_what_is_shown() {
    let mut setup = plain("spare-room-winter", "on-off");
    setup.strategies.push("timer".to_owned());
    setup.strategies.push("narrow one.toml".to_owned());
    setup.files = vec![OwnFile {
        name: "narrow one.toml".to_owned(),
        text: "strategy = \"on-off\"\ndeadband = \"0.2 K\"\n".to_owned(),
    }];
    setup
        .sliders
        .values
        .insert("setpoint".to_owned(), Value::Number(24.5));
    setup.acts = vec![act(ActKind::Weld, "relay left", 3000, Some(3400))];
    setup.seed = 11;
    let commands = setup.commands().expect("commands");
    assert_eq!(
        commands,
        [
            "tepid run spare-room-winter-live.toml --strategy on-off-turned.toml --seed 11",
            "tepid run spare-room-winter-live.toml --strategy timer --seed 11",
            "tepid run spare-room-winter-live.toml --strategy narrow-one.toml --seed 11",
        ]
    );
    assert_commands_run_what_is_shown(&setup);
}

#[test]
fn the_commands_beside_the_tanks_of_every_lesson_run_what_is_shown() {
    for stage in asked()
        .expect("lessons")
        .iter()
        .flat_map(|lesson| &lesson.set_ups)
    {
        assert_commands_run_what_is_shown(&setup(stage));
    }
}
