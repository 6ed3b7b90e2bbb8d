//! What the live page opens at, and what it cannot show.

use std::fs;

use tepid::live_start::{LiveRequest, live_start};
use tepid_scenarios::Setting;

use super::bad_input::run_in;
use super::support::scenario;

#[test]
fn what_the_live_tank_cannot_show_is_refused_with_the_reason_before_anything_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).expect("written");
    write(
        "study.toml",
        "scenarios = [\"lidded-nano\"]\nstrategies = [\"on-off\"]\nduration = \"6 h\"\n",
    );
    for (arguments, said) in [
        ("live shop-room -o out.html", "8 water systems"),
        (
            "report shop-room --strategy on-off --live -o out.html",
            "--live: shop-room has 8 water systems",
        ),
        ("report study.toml --live -o out.html", "a study is many runs"),
        (
            "live lidded-nano --strategy on-off --strategy pi --strategy pid --strategy timer --strategy proportional -o out.html",
            "at most 4 strategies",
        ),
        ("live moon -o out.html", "no scenario is named `moon`"),
        ("live --set duration=1d -o out.html", "expected its name or file"),
        (
            "live lidded-nano --strategy fan-cooling -o out.html",
            "does not apply",
        ),
    ] {
        let arguments: Vec<&str> = arguments.split(' ').collect();
        let (code, _, error) = run_in(folder.path(), &arguments);
        assert_eq!(code, 2, "{error}");
        assert!(error.contains(said), "{said} in {error}");
        assert!(!folder.path().join("out.html").exists());
    }
}

#[test]
fn a_base_by_path_goes_into_the_page_and_a_file_without_one_goes_as_it_stands() {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).expect("written");
        path.to_string_lossy().into_owned()
    };
    let tank = write(
        "tank.toml",
        "base = \"lidded-nano\" # a remark\n[set]\nduration = \"3 d\"\n",
    );
    let variant = write("variant.toml", "base = \"tank.toml\"\ntitle = \"Mine\"\n");
    let start = |asked: &str, settings: &[Setting]| {
        let scenario = tepid_scenarios::scenario(asked, settings).expect("loads");
        let request = LiveRequest {
            asked,
            scenario: &scenario,
            settings,
            strategies: &[],
            seed: 3,
        };
        let start = live_start(&request).expect("can be shown");
        assert_eq!((start.strategies[0].as_str(), start.seed), ("on-off", 3));
        let [file] = start.files.as_slice() else {
            panic!("{:?}", start.files);
        };
        assert_eq!(start.scenario, file.name);
        let carried = tepid_scenarios::scenario_text(&file.name, &file.text).expect("goes alone");
        assert_eq!(carried.duration_ms, scenario.duration_ms);
        assert_eq!(carried.title, scenario.title);
        file.clone()
    };
    let as_it_stands = start(&tank, &[]);
    assert_eq!(as_it_stands.name, "tank.toml");
    assert!(as_it_stands.text.contains("# a remark"));
    assert!(!start(&variant, &[]).text.contains("tank.toml"));
    let changed = start("lidded-nano", &[Setting::new("duration", "2 d")]);
    assert_eq!(changed.name, "lidded-nano, changed.toml");
}

#[test]
fn a_scenario_of_the_library_needs_no_file_and_fans_get_somebody_who_commands_them() {
    let scenario = scenario("warm-room-fan", &[]);
    let request = LiveRequest {
        asked: "warm-room-fan",
        scenario: &scenario,
        settings: &[],
        strategies: &[],
        seed: 7,
    };
    let start = live_start(&request).expect("can be shown");
    assert_eq!(start.scenario, "warm-room-fan");
    assert_eq!(start.strategies, ["on-off", "heat-and-fan"]);
    assert!(start.files.is_empty());
}

#[test]
fn a_script_is_refused_by_its_name() {
    let scenario = scenario("lidded-nano", &[]);
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("mine.rhai");
    fs::write(&path, tepid_strategies::script::TEMPLATE).expect("written");
    let strategies = [path.to_string_lossy().into_owned()];
    let request = LiveRequest {
        asked: "lidded-nano",
        scenario: &scenario,
        settings: &[],
        strategies: &strategies,
        seed: 7,
    };
    let refused = live_start(&request).expect_err("refused").to_string();
    assert!(refused.contains("mine.rhai is a script"), "{refused}");
}
