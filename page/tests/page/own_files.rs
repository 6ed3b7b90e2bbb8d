use tepid_page::acts::ActKind;
use tepid_page::sliders::{Turned, Value};
use tepid_page::{OwnFile, OwnKind, Setup, answer, play};

use crate::{act, plain, played};

fn file(name: &str, text: &str) -> OwnFile {
    OwnFile {
        name: name.to_owned(),
        text: text.to_owned(),
    }
}

/// The reef of the spare room as if somebody had written it, whole.
fn my_tank() -> OwnFile {
    file(
        "my tank.toml",
        &tepid_scenarios::written_out("spare-room-winter", &[]).expect("written out"),
    )
}

fn own(file: OwnFile, strategy: &str) -> Setup {
    Setup {
        scenario: file.name.clone(),
        files: vec![file],
        ..plain("", strategy)
    }
}

#[test]
fn the_same_tank_in_a_file_of_ones_own_gives_the_same_bits_whatever_is_turned_and_done() {
    let change = |setup: &mut Setup| {
        setup.sliders = Turned {
            values: [
                ("room".to_owned(), Value::Number(-3.0)),
                ("heater-split".to_owned(), Value::Number(70.0)),
                ("cover.display".to_owned(), Value::Word("lid".to_owned())),
            ]
            .into(),
        };
        setup.acts = vec![act(ActKind::Weld, "relay left", 3000, Some(3400))];
    };
    let mut of_the_library = plain("spare-room-winter", "on-off");
    let mut mine = own(my_tank(), "on-off");
    assert_eq!(
        played(&mine).runs[0].digest,
        played(&of_the_library).runs[0].digest
    );
    change(&mut of_the_library);
    change(&mut mine);
    let (mine, theirs) = (played(&mine), played(&of_the_library));
    assert_eq!(mine.runs[0].digest, theirs.runs[0].digest);
    assert_eq!(mine.runs[0].happened, theirs.runs[0].happened);
}

#[test]
fn what_is_saved_of_it_opens_again_and_gives_the_same_bits_as_often_as_one_likes() {
    let mut setup = own(my_tank(), "on-off");
    setup.acts = vec![act(ActKind::StopPump, "return", 3000, Some(3400))];
    let first = played(&setup);
    assert!(!first.kept.text.contains("base ="), "{}", first.kept.text);
    let second = played(&own(file("my tank-live.toml", &first.kept.text), "on-off"));
    assert_eq!(second.runs[0].digest, first.runs[0].digest);
    assert_eq!(second.kept.text, first.kept.text);
}

#[test]
fn a_strategy_file_runs_as_it_is() {
    let narrow = "strategy = \"on-off\"\ndeadband = \"0.2 K\"\n[[guard]]\nguard = \"software-limit\"\nopens_above = \"27 °C\"\n";
    let mut setup = plain("spare-room-winter", "on-off");
    setup.files = vec![file("narrow.toml", narrow)];
    setup.strategies.push("narrow.toml".to_owned());
    let runs = played(&setup).runs;
    assert_eq!(runs[1].strategy, "narrow.toml");
    assert_ne!(runs[0].digest, runs[1].digest);
    assert_eq!(setup.files[0].kind(), Ok(OwnKind::Strategy));
    let controls = serde_json::json!({ "controls": setup }).to_string();
    let controls: serde_json::Value = serde_json::from_str(&answer(controls.as_bytes()).text).expect("JSON");
    assert_eq!(controls["strategies"][0], "narrow.toml");
}

#[test]
fn a_mistake_is_told_with_line_column_what_was_expected_and_the_nearest_name() {
    let text = my_tank().text.replace("power = \"200 W\"", "pwoer = \"200 W\"");
    let told = file("my tank.toml", &text)
        .kind()
        .expect_err("refused")
        .to_string();
    let line = text
        .lines()
        .position(|line| line.contains("pwoer"))
        .expect("a line")
        + 1;
    for part in [
        format!("my tank.toml:{line}:"),
        "power".to_owned(),
        "pwoer".to_owned(),
    ] {
        assert!(told.contains(&part), "{part} in: {told}");
    }
}

#[test]
fn what_a_page_cannot_show_is_refused_in_words() {
    let refused = |name: &str, text: &str| file(name, text).kind().expect_err("refused").to_string();
    let study = "scenarios = [\"lidded-nano\"]\nstrategies = [\"on-off\"]\n";
    assert!(refused("study.toml", study).contains("this is a study"));
    let base = "base = \"../other.toml\"\n";
    assert!(
        refused("mine.toml", base).contains("other.toml"),
        "{}",
        refused("mine.toml", base)
    );
    assert!(refused("mine.toml", "").contains("the file says nothing"));
    let shop = file(
        "shop.toml",
        &tepid_scenarios::written_out("shop-room", &[]).expect("written out"),
    );
    let mistake = play(&own(shop, "on-off")).expect_err("refused").to_string();
    assert!(mistake.contains("8 water systems"), "{mistake}");
    let mut many = plain("lidded-nano", "on-off");
    many.files = vec![my_tank(); 9];
    assert!(
        play(&many)
            .expect_err("refused")
            .to_string()
            .contains("at most 8 files")
    );
}
