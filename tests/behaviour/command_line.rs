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
    for command in ["run", "faults"] {
        let error = refused(
            &[],
            &[command, "lidded-nano", "--strategy", "fan-cooling"],
            &[
                "--strategy fan-cooling",
                "no commanded contact that cools",
                "on-off",
            ],
        );
        assert!(!error.contains("staggered-pair"), "{error}");
    }
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

#[test]
fn what_is_compared_is_named_once() {
    for (more, says) in [
        (
            &["--strategy", "on-off", "--strategy", "on-off"][..],
            "two strategies of this comparison are named `on-off`",
        ),
        (
            &["lidded-nano"],
            "two scenarios of this comparison are named `lidded-nano`",
        ),
        (
            &["--fault", "none", "--fault", "none"],
            "two fault sets of this comparison are named `none`",
        ),
    ] {
        let arguments = [&["compare", "lidded-nano"], more].concat();
        refused(&[], &arguments, &[says]);
    }
    let study: &[u8] = b"scenarios = [\"lidded-nano\"]\nfaults = [\"none\", \"none\"]\n";
    let says = ["study.toml:2:19", "two fault sets of this study are named `none`"];
    refused(&[("study.toml", study)], &["check", "study.toml"], &says);
}

#[test]
fn a_wrong_fault_set_is_underlined_and_the_nearest_is_named() {
    for command in [
        &["run", "lidded-nano", "--strategy", "on-off"][..],
        &["compare", "lidded-nano"],
    ] {
        let arguments = [command, &["--fault", "one contact weld"]].concat();
        let says = ["--fault: ", "^^^^", "did you mean `one contact welded`?"];
        refused(&[], &arguments, &says);
    }
}

#[test]
fn a_negative_duration_is_told_in_plain_words() {
    let arguments = ["run", "lidded-nano", "--strategy", "on-off", "--duration", "-3 d"];
    refused(&[], &arguments, &["--duration -3 d: a run lasts at least 1 min"]);
}

#[test]
fn a_setting_of_a_strategy_is_sent_to_a_strategy_file() {
    let arguments = [
        "run",
        "lidded-nano",
        "--strategy",
        "on-off",
        "--set",
        "strategy.deadband=0.2 K",
    ];
    refused(&[], &arguments, &["tepid new strategy"]);
}

#[test]
fn bytes_that_are_no_text_are_shown_with_line_and_column() {
    let latin_1: &[u8] = b"title = \"a\"\n# t\xe9mp\n";
    refused(
        &[("tank.toml", latin_1)],
        &["check", "tank.toml"],
        &["tank.toml:2:4"],
    );
}

#[test]
fn the_life_of_a_contact_that_welds_is_not_told() {
    let run = |fault: &[&str]| {
        let arguments = [&["run", "lidded-nano", "--strategy", "on-off"], fault].concat();
        let (code, out, error) = tepid(&[], &arguments);
        assert_eq!(code, 0, "{error}");
        let line = out
            .lines()
            .find(|line| line.starts_with("plug-in relay"))
            .map(str::to_owned);
        line.expect("the relay")
    };
    let welded = run(&["--fault", "one contact welded"]);
    assert!(welded.ends_with('–'), "{welded}");
    let healthy = run(&[]);
    assert!(healthy.ends_with("years"), "{healthy}");
}

#[test]
fn a_fault_that_finds_nothing_to_strike_is_told_and_not_left_out() {
    for arguments in [
        &[
            "run",
            "lidded-nano",
            "--strategy",
            "on-off",
            "--fault",
            "chiller blocked",
        ][..],
        &["compare", "lidded-nano", "--fault", "chiller blocked"],
    ] {
        let (code, _, error) = tepid(&[], arguments);
        assert_eq!(code, 2, "{error}");
        assert!(
            error.contains("`chiller blocked` has no case in lidded-nano"),
            "{error}"
        );
    }
}
