use tepid_page::acts::ActKind;
use tepid_page::sliders::{Reach, Turned, Value, sliders};
use tepid_page::{Setup, play};
use tepid_sim::run::{RunRequest, run};

use crate::{act, column, plain, played};

fn turned(list: &[(&str, Value)]) -> Turned {
    Turned {
        values: list
            .iter()
            .map(|(key, value)| ((*key).to_owned(), value.clone()))
            .collect(),
    }
}

#[test]
fn the_scenario_that_is_saved_is_the_one_that_ran() {
    let mut setup = plain("spare-room-winter", "on-off");
    setup.sliders = turned(&[
        ("room", Value::Number(-3.0)),
        ("heater-split", Value::Number(70.0)),
        ("cover.display", Value::Word("lid".to_owned())),
    ]);
    setup.acts = vec![
        act(ActKind::Weld, "relay left", 3000, Some(3400)),
        act(ActKind::OpenWindow, "", 5000, None),
    ];
    let shown = played(&setup);
    let saved = tepid_scenarios::scenario_text("saved.toml", &shown.kept.text).expect("loads");
    assert_eq!(saved.heaters[0].power_w, 280.0);
    let recipe = tepid_scenarios::strategy("on-off").expect("built in").recipe;
    let scores = run(&RunRequest::new(&saved, recipe.as_ref(), 7), None).expect("runs");
    let end_c = *column(&shown.runs[0], "water display").last().expect("a course");
    assert_eq!(scores.tanks[0].end_c.to_bits(), end_c.to_bits());
}

#[test]
fn the_scores_so_far_are_those_of_a_run_that_ends_there() {
    let setup = plain("spare-room-winter", "lead-lag");
    let shown = played(&setup);
    let scenario = setup.scenario().expect("loads");
    let recipe = tepid_scenarios::strategy("lead-lag").expect("built in").recipe;
    let tallies = &shown.runs[0].tallies;
    for row in [0, 47, 200] {
        let request = RunRequest {
            end_ms: tallies.every_ms * (row as i64 + 1),
            ..RunRequest::new(&scenario, recipe.as_ref(), 7)
        };
        let scores = run(&request, None).expect("runs");
        let told = |name: &str| {
            let at = tallies
                .columns
                .iter()
                .position(|column| column == name)
                .expect(name);
            tallies.values[row * tallies.columns.len() + at]
        };
        assert_eq!(
            told("energy kWh").to_bits(),
            scores.energy_kwh.to_bits(),
            "row {row}"
        );
        assert_eq!(told("closings relay left"), scores.contacts[1].closings as f64);
        let evaporation = scores
            .heat_balance
            .paths
            .iter()
            .find(|path| path.name == "evaporation display");
        assert_eq!(
            told("heat evaporation display"),
            evaporation.expect("a path").heat_j
        );
    }
}

#[test]
fn every_slider_of_every_scenario_can_stand_at_both_its_ends_and_changes_something() {
    for name in ["spare-room-winter", "lidded-nano", "warm-room-fan"] {
        let mut setup = plain(
            name,
            if name == "warm-room-fan" {
                "heat-and-fan"
            } else {
                "on-off"
            },
        );
        let scenario = setup.untouched().expect("of the library");
        let usual = played(&setup).runs[0].digest.clone();
        for slider in sliders(&scenario) {
            let ends = match &slider.reach {
                Reach::Numbers { from, to, .. } => vec![Value::Number(*from), Value::Number(*to)],
                Reach::Words { words } => words.iter().map(|word| Value::Word((*word).to_owned())).collect(),
            };
            for end in ends {
                setup.sliders = turned(&[(&slider.key, end.clone())]);
                let digest = &played(&setup).runs[0].digest;
                let same = end == slider.usual;
                // A law without a deadband is not moved by that slider.
                let moved =
                    *digest != usual || (slider.key == "deadband" && setup.strategies[0] == "heat-and-fan");
                assert!(same || moved, "{name}: {} at {end:?}", slider.key);
            }
        }
    }
}

#[test]
fn strategies_get_the_parameters_they_have() {
    let mut setup = plain("spare-room-winter", "on-off");
    setup.strategies.push("timer".to_owned());
    setup.sliders = turned(&[
        ("deadband", Value::Number(1.0)),
        ("setpoint", Value::Number(26.0)),
    ]);
    let texts = setup.strategies_toml().expect("strategies");
    assert_eq!(
        texts[0],
        "strategy = \"on-off\"\nsetpoint = \"26 °C\"\ndeadband = \"1 K\"\n"
    );
    assert_eq!(texts[1], "strategy = \"timer\"\n");
}

#[test]
fn what_cannot_be_is_refused_in_words() {
    let refused = |setup: &Setup| play(setup).expect_err("refused").to_string();
    let mut setup = plain("spare-room-winter", "on-off");
    setup.sliders = turned(&[("colour", Value::Number(1.0))]);
    assert!(refused(&setup).contains("there is no slider `colour`"));
    setup.sliders = turned(&[("room", Value::Number(99.0))]);
    assert!(refused(&setup).contains("cannot stand there"));
    setup.sliders = turned(&[("room", Value::Number(f64::NAN))]);
    assert!(refused(&setup).contains("cannot stand there"));
    setup.sliders = Turned::default();
    setup.acts = vec![act(ActKind::Weld, "relay \"left\"\n[set]", 1, None)];
    assert!(
        refused(&setup).contains("names no contact"),
        "{}",
        refused(&setup)
    );
    assert!(refused(&plain("moon", "on-off")).contains("no scenario is named `moon`"));
    assert!(refused(&plain("spare-room-winter", "magic")).contains("no strategy is named `magic`"));
    setup.acts.clear();
    setup.strategies = vec!["on-off".to_owned(); 5];
    assert!(refused(&setup).contains("one to 4 strategies"));
}
