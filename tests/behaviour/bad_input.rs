//! Bad input gets a clear error and exit code 2, or a correct result; never a panic.

use assert_cmd::Command;
use std::path::Path;

/// Runs `tepid` with arguments in a folder of its own that holds `files`; exit code, standard output, standard error.
pub fn tepid(files: &[(&str, &[u8])], arguments: &[&str]) -> (i32, String, String) {
    let folder = tempfile::tempdir().expect("folder");
    for (name, bytes) in files {
        std::fs::write(folder.path().join(name), bytes).expect("written");
    }
    run_in(folder.path(), arguments)
}

/// Runs `tepid` in a folder.
pub fn run_in(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let output = Command::cargo_bin("tepid")
        .expect("binary")
        .current_dir(folder)
        .args(arguments)
        .output()
        .expect("runs");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (
        output.status.code().expect("not killed"),
        text(&output.stdout),
        text(&output.stderr),
    )
}

/// A file is refused with exit code 2, and the error says all of this.
#[track_caller]
fn refused(text: &[u8], says: &[&str]) {
    let (code, _, error) = tepid(&[("my-tank.toml", text)], &["check", "my-tank.toml"]);
    assert_eq!(code, 2, "{error}");
    assert!(!error.contains("panicked"), "{error}");
    for part in says {
        assert!(error.contains(part), "`{part}` is not in:\n{error}");
    }
}

/// The default scenario with a text replaced.
#[track_caller]
fn with(old: &str, new: &str) -> Vec<u8> {
    let text = tepid_scenarios::library::text("spare-room-winter").expect("text");
    assert!(text.contains(old), "`{old}` is not in the scenario");
    text.replacen(old, new, 1).into_bytes()
}

#[test]
fn a_missing_unit_is_shown_with_its_line_and_a_fix() {
    refused(
        &with("target   = \"25.5 °C\"", "target   = 25.5"),
        &["my-tank.toml:9:", "25.5", "°C"],
    );
}

#[test]
fn a_wrong_kind_of_unit_is_named() {
    refused(&with("power = \"25 W\"", "power = \"25 L\""), &["`L`", "power"]);
}

#[test]
fn a_temperature_does_not_belong_where_a_difference_does() {
    let (code, _, error) = tepid(
        &[("mine.toml", b"strategy = \"on-off\"\ndeadband = \"24 L\"\n")],
        &["check", "mine.toml"],
    );
    assert_eq!(code, 2, "{error}");
    assert!(error.contains("mine.toml:2:"), "{error}");
}

#[test]
fn a_negative_volume_is_refused() {
    let tank = "inside       = [\"120 cm\", \"50 cm\", \"50 cm\"]\nwater_height = \"45 cm\"\n";
    refused(&with(tank, "volume = \"-300 L\"\n"), &["-300 L", "volume"]);
}

#[test]
fn an_unknown_key_is_refused_with_the_nearest_one() {
    refused(
        &with("cover        = \"mesh\"", "covr         = \"mesh\""),
        &["covr", "did you mean `cover`"],
    );
}

#[test]
fn five_mistakes_are_told_at_once() {
    let text = String::from_utf8(with("cover        = \"mesh\"", "covr = \"mesh\"")).expect("text");
    let text = text
        .replacen("\"35 g/kg\"", "35", 1)
        .replacen("\"25 W\"", "\"25 Wt\"", 1)
        .replacen("rate = \"1500 L/h\"", "rate = \"1500 L\"", 1)
        .replacen("kind   = \"relay\"", "kind   = \"rely\"", 1);
    refused(
        text.as_bytes(),
        &["covr", "35", "Wt", "1500 L", "rely", "5 mistakes"],
    );
}

#[test]
fn an_empty_file_says_what_is_missing() {
    refused(b"", &["tank"]);
}

#[test]
fn a_binary_file_is_no_text() {
    refused(
        &[0x00, 0xff, 0xfe, 0x80, 0x13, 0x37, 0xc3, 0x28],
        &["my-tank.toml"],
    );
}

#[test]
fn a_file_of_ten_megabytes_is_refused_or_read_but_never_a_panic() {
    refused(&vec![b'#'; 10 << 20], &["my-tank.toml"]);
}

#[test]
fn a_missing_file_is_named() {
    let (code, _, error) = tepid(&[], &["check", "not-there.toml"]);
    assert_eq!(code, 2, "{error}");
    assert!(error.contains("not-there.toml"), "{error}");
}

#[test]
fn two_things_of_one_name_are_refused() {
    refused(
        &with("name  = \"right\"\npower = \"", "name  = \"left\"\npower = \""),
        &["left"],
    );
}

#[test]
fn a_probe_in_a_tank_that_is_not_there_names_the_tanks() {
    refused(
        &with(
            "name  = \"main\"\ntank  = \"sump\"",
            "name  = \"main\"\ntank  = \"sumpf\"",
        ),
        &["sumpf", "did you mean `sump`"],
    );
}

#[test]
fn a_chain_that_names_no_contact_names_the_nearest() {
    refused(
        &with("\"relay left\", \"dial left\"]", "\"relay lft\", \"dial left\"]"),
        &["relay lft", "relay left"],
    );
}

#[test]
fn a_deadband_of_zero_is_refused() {
    let (code, _, error) = tepid(
        &[("mine.toml", b"strategy = \"on-off\"\ndeadband = \"0 K\"\n")],
        &["check", "mine.toml"],
    );
    assert_eq!(code, 2, "{error}");
    assert!(error.contains("deadband"), "{error}");
}

#[test]
fn a_duration_of_zero_is_refused() {
    refused(&with("duration = \"7 d\"", "duration = \"0 d\""), &["duration"]);
    let (code, _, error) = tepid(
        &[],
        &["run", "lidded-nano", "--strategy", "on-off", "--duration", "0 h"],
    );
    assert_eq!(code, 2, "{error}");
}

#[test]
fn numbers_that_are_none_are_refused() {
    refused(
        &with("target   = \"25.5 °C\"", "target   = \"nan °C\""),
        &["target"],
    );
    refused(&with("target   = \"25.5 °C\"", "target   = nan"), &["target"]);
    refused(&with("power = \"25 W\"", "power = \"inf W\""), &["power"]);
}

#[test]
fn an_unknown_strategy_scenario_or_fault_names_the_nearest() {
    for (arguments, nearest) in [
        (["compare", "--strategy", "on-of"], "on-off"),
        (["compare", "spare-room-wnter", "--all"], "spare-room-winter"),
        (["compare", "--fault", "one contact weldd"], "one contact welded"),
    ] {
        let (code, _, error) = tepid(&[], &arguments);
        assert_eq!(code, 2, "{error}");
        assert!(error.contains(nearest), "{error}");
    }
}

#[test]
fn a_setting_is_checked_like_a_file() {
    let (code, _, error) = tepid(&[], &["budget", "lidded-nano", "--set", "water.target=78"]);
    assert_eq!(code, 2, "{error}");
    assert!(error.contains("78"), "{error}");
    let (code, _, error) = tepid(&[], &["budget", "lidded-nano", "--set", "water.targt=26 °C"]);
    assert_eq!(code, 2, "{error}");
    assert!(error.contains("target"), "{error}");
}

#[test]
fn a_folder_that_is_not_there_fails_before_the_run() {
    let (code, out, error) = tepid(
        &[],
        &[
            "run",
            "lidded-nano",
            "--strategy",
            "on-off",
            "--trace",
            "no/such/folder/t.csv",
        ],
    );
    assert_eq!(code, 3, "{error}");
    assert!(out.is_empty());
    assert!(error.contains("no/such/folder/t.csv"), "{error}");
}

#[test]
fn an_existing_file_is_never_written_over() {
    let folder = tempfile::tempdir().expect("folder");
    std::fs::write(folder.path().join("mine.toml"), "precious").expect("written");
    let (code, _, error) = run_in(folder.path(), &["new", "scenario", "mine.toml"]);
    assert_eq!(code, 2, "{error}");
    assert_eq!(
        std::fs::read_to_string(folder.path().join("mine.toml")).expect("read"),
        "precious"
    );
}

/// Only the scenario knows its contacts; the mistake stands in the strategy's file all the same.
#[test]
fn a_strategy_that_names_what_a_scenario_has_not_is_shown_at_its_place_with_the_nearest() {
    let file: &[u8] = b"strategy = \"on-off\"\ncontacts = [\"relay lft\"]\n";
    let study: &[u8] = b"scenarios = [\"spare-room-winter\"]\nduration = \"1 d\"\n\
        strategies = [\"pi\", { strategy = \"on-off\", contacts = [\"relay lft\"] }]\n";
    let files: &[(&str, &[u8])] = &[("mine.toml", file), ("study.toml", study)];
    let asked: [(&[&str], &str); 6] = [
        (
            &["run", "spare-room-winter", "--strategy", "mine.toml"],
            "mine.toml:2:13",
        ),
        (
            &["compare", "spare-room-winter", "--strategy", "mine.toml"],
            "mine.toml:2:13",
        ),
        (
            &["faults", "spare-room-winter", "--strategy", "mine.toml"],
            "mine.toml:2:13",
        ),
        (
            &["odds", "spare-room-winter", "--strategy", "mine.toml"],
            "mine.toml:2:13",
        ),
        (&["compare", "study.toml"], "study.toml:3:"),
        (&["check", "study.toml"], "study.toml:3:"),
    ];
    for (arguments, place) in asked {
        let (code, _, said) = tepid(files, arguments);
        assert_eq!(code, 2, "{arguments:?}: {said}");
        for part in [place, "relay lft", "did you mean `relay left`?", "relay right"] {
            assert!(said.contains(part), "{arguments:?}, {part}: {said}");
        }
    }
}

#[test]
fn a_comparison_of_strategies_none_of_which_applies_says_what_is_missing() {
    let (code, _, said) = tepid(
        &[],
        &["compare", "spare-room-winter", "--strategy", "fan-cooling"],
    );
    assert_eq!(code, 2);
    assert!(said.contains("no commanded contact that cools"), "{said}");
    let beside = [
        "compare",
        "spare-room-winter",
        "--strategy",
        "fan-cooling",
        "--strategy",
        "on-off",
    ];
    assert_eq!(tepid(&[], &beside).0, 0);
}

#[test]
fn a_strategy_file_without_its_strategy_is_told_so_and_not_read_as_a_tank() {
    let (code, _, said) = tepid(
        &[("mine.toml", b"deadband = \"0.3 K\"\n")],
        &["check", "mine.toml"],
    );
    assert_eq!(code, 2);
    assert!(
        said.contains("strategy has no `strategy`") && !said.contains("[[tank]]"),
        "{said}"
    );
}

#[test]
fn explain_without_saying_what_shows_the_words_to_write() {
    let (code, _, said) = tepid(&[], &["explain", "pi"]);
    assert_eq!(code, 2);
    assert!(said.contains("tepid explain strategy pi"), "{said}");
}

/// Whoever mixes up two options must not lose the file that took an evening.
#[test]
fn no_command_writes_over_a_file_that_it_reads() {
    let tank = library_tank();
    let law: &[u8] = b"strategy = \"on-off\"\n";
    let variant: &[u8] = b"base = \"tank.toml\"\ntitle = \"another\"\n";
    let asked: [&[&str]; 7] = [
        // A file behind the one that is named.
        &[
            "run",
            "variant.toml",
            "--strategy",
            "on-off",
            "--trace",
            "tank.toml",
        ],
        &["run", "tank.toml", "--strategy", "law.svg", "--plot", "law.svg"],
        &["run", "tank.toml", "--strategy", "on-off", "--trace", "tank.toml"],
        &[
            "run",
            "tank.toml",
            "--strategy",
            "on-off",
            "--trace",
            "./tank.toml",
        ],
        &[
            "plot",
            "wear",
            "tank.toml",
            "--strategy",
            "law.svg",
            "-o",
            "law.svg",
        ],
        &["report", "tank.html", "--strategy", "on-off", "-o", "tank.html"],
        &["card", "tank.html", "--strategy", "on-off", "-o", "tank.html"],
    ];
    for arguments in asked {
        let folder = tempfile::tempdir().expect("folder");
        let files: [(&str, &[u8]); 4] = [
            ("tank.toml", &tank),
            ("variant.toml", variant),
            ("tank.html", &tank),
            ("law.svg", law),
        ];
        for (name, bytes) in files {
            std::fs::write(folder.path().join(name), bytes).expect("written");
        }
        let (code, _, said) = run_in(folder.path(), arguments);
        assert_eq!(code, 2, "{arguments:?}: {said}");
        assert!(said.contains("would be written over"), "{arguments:?}: {said}");
        for (name, bytes) in files {
            assert_eq!(
                std::fs::read(folder.path().join(name)).expect("read"),
                bytes,
                "{arguments:?}"
            );
        }
    }
}

fn library_tank() -> Vec<u8> {
    tepid_scenarios::library::text("lidded-nano")
        .expect("text")
        .as_bytes()
        .to_vec()
}
