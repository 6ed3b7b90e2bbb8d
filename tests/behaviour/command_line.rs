//! Mistakes of the command line are told in its own words, once.

use crate::bad_input::tepid;

/// Exit code 2 and these words on standard error.
#[track_caller]
fn refused(files: &[(&str, &[u8])], arguments: &[&str], says: &[&str]) -> String {
    let (code, out, error) = tepid(files, arguments);
    assert_eq!(code, 2, "{error}");
    assert!(out.is_empty(), "{out}");
    for part in says {
        assert!(error.contains(part), "`{part}` is not in:\n{error}");
    }
    error
}

const STUDY: (&str, &[u8]) = ("study.toml", b"scenarios = [\"lidded-nano\"]\n");
const OTHER_STUDY: (&str, &[u8]) = ("other.toml", b"scenarios = [\"warm-room-fan\"]\n");

#[test]
fn one_study_at_a_time_is_compared() {
    let says = ["one study at a time", "study.toml"];
    refused(
        &[STUDY, OTHER_STUDY],
        &["compare", "study.toml", "other.toml"],
        &says,
    );
    refused(&[STUDY], &["compare", "lidded-nano", "study.toml"], &says);
}

#[test]
fn a_change_by_path_reaches_the_scenarios_of_a_study() {
    let arguments = ["compare", "study.toml", "--set", "water.targt=26 °C"];
    refused(&[STUDY], &arguments, &["did you mean `target`"]);
    let temperature = |set: &[&str]| {
        let arguments = [
            &[
                "compare",
                "study.toml",
                "--strategy",
                "on-off",
                "--fault",
                "none",
                "--format",
                "json",
            ],
            set,
        ];
        let (code, out, error) = tepid(&[STUDY], &arguments.concat());
        assert_eq!(code, 0, "{error}");
        out
    };
    assert_ne!(
        temperature(&[]),
        temperature(&["--set", "heater.heater.power=30 W"])
    );
}

#[test]
fn a_mistake_in_an_option_names_the_option_and_no_line() {
    for arguments in [
        ["compare", "lidded-nano", "--strategy", "on-of"],
        ["compare", "lidded-nano", "--set", "water.targt=26 °C"],
    ] {
        let error = refused(&[], &arguments, &[arguments[2], "did you mean"]);
        assert!(!error.contains(":1:") && !error.contains("STRATEGY"), "{error}");
    }
}

#[test]
fn a_file_that_cannot_be_read_is_named_once() {
    for arguments in [
        &["check", "nix.toml"][..],
        &["budget", "nix.toml"],
        &["compare", "nix.toml"],
    ] {
        let error = refused(&[], arguments, &["no such file"]);
        assert_eq!(error.matches("nix.toml").count(), 1, "{error}");
    }
}

#[test]
fn a_scenario_of_the_library_is_checked_by_its_name() {
    let (code, out, error) = tepid(&[], &["check", "lidded-nano"]);
    assert_eq!(code, 0, "{error}");
    assert!(out.contains("without mistakes"), "{out}");
    refused(&[], &["check", "lidded-nanoo"], &["did you mean `lidded-nano`?"]);
}

#[test]
fn a_run_lasts_from_a_minute_to_ten_years() {
    for length in ["0 h", "59 s", "3661 d", "-1 d"] {
        let duration = format!("--duration={length}");
        refused(
            &[],
            &["run", "lidded-nano", "--strategy=on-off", &duration],
            &[length, "1 min", "3660 d"],
        );
    }
    let (code, _, error) = tepid(
        &[],
        &["run", "lidded-nano", "--strategy=on-off", "--duration=1 min"],
    );
    assert_eq!(code, 0, "{error}");
}

#[test]
fn an_interval_takes_fifty_samples_or_more() {
    let with = |samples| {
        tepid(
            &[],
            &["budget", "lidded-nano", "--uncertainty", "--samples", samples],
        )
    };
    assert_eq!(with("49").0, 2);
    assert!(with("49").2.contains("50"));
    assert_eq!(with("50").0, 0);
}

#[test]
fn a_file_of_another_kind_is_called_by_its_kind_and_nothing_else() {
    let strategy: (&str, &[u8]) = ("mine.toml", b"strategy = \"on-off\"\n");
    let error = refused(
        &[strategy],
        &["budget", "mine.toml"],
        &["this file is a strategy", "1 mistake"],
    );
    assert!(!error.contains("missing"), "{error}");
    refused(
        &[STUDY],
        &["budget", "study.toml"],
        &["this file is a study", "1 mistake"],
    );
}

#[test]
fn a_strategy_that_does_not_apply_is_refused_with_those_that_do() {
    let error = refused(
        &[],
        &["run", "lidded-nano", "--strategy", "fan-cooling"],
        &[
            "--strategy fan-cooling",
            "no commanded contact that cools",
            "on-off",
        ],
    );
    assert!(!error.contains("staggered-pair"), "{error}");
}

#[test]
fn a_temperature_given_for_a_rooms_swing_shows_as_the_difference_it_is_taken_for() {
    let scenario = b"title = \"Wrong swing\"\nduration = \"1 d\"\n[water]\ntarget = \"25 \xc2\xb0C\"\n[room]\ntemperature = { mean = \"20 \xc2\xb0C\", swing = \"12 \xc2\xb0C\" }\n[[tank]]\nname = \"tank\"\ninside = [\"60 cm\", \"40 cm\", \"40 cm\"]\ncover = \"open\"\n";
    let (code, out, error) = tepid(&[("swing.toml", scenario)], &["check", "swing.toml"]);
    assert_eq!(code, 0, "{error}");
    assert!(
        out.contains("room: 20 °C (68 °F), 12 K (21.6 °F) from coldest to warmest within a day"),
        "{out}"
    );
    assert!(
        out.contains("the year's coldest and warmest are not stated"),
        "{out}"
    );
}
