//! Scripts and outside programs as strategies, as a user meets them.

use std::path::Path;

use crate::bad_input::run_in;

/// A strategy that fails on day 2, in a week in which others do not.
const FAILS_LATER: &str = "fn decide(temperature, now) {
    if now > 86400.0 {
        return temperature + no_such_thing(temperature);
    }
    temperature < 25.5
}
";

fn write(folder: &Path, name: &str, text: &str) {
    std::fs::write(folder.join(name), text).expect("a file");
}

#[test]
fn a_script_of_one_line_is_compared_with_a_built_in_strategy() {
    let folder = tempfile::tempdir().expect("a folder");
    write(
        folder.path(),
        "mine.rhai",
        "fn decide(temperature, setpoint) { temperature != () && temperature < setpoint }",
    );
    let arguments = [
        "compare",
        "lidded-nano",
        "--strategy",
        "on-off",
        "--strategy",
        "mine.rhai",
    ];
    let (code, out, error) = run_in(folder.path(), &arguments);
    assert_eq!(code, 0, "{error}");
    assert!(out.lines().any(|line| line.starts_with("mine ")), "{out}");
    let (code, out, error) = run_in(folder.path(), &["run", "lidded-nano", "--strategy", "mine.rhai"]);
    assert_eq!(code, 0, "{error}");
    assert!(out.contains("script mine.rhai"), "{out}");
}

#[test]
fn a_strategy_file_sets_the_parameters_of_a_script_from_its_own_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(folder.path().join("own")).expect("a folder");
    let (_, template, _) = run_in(folder.path(), &["new", "strategy", "--script"]);
    write(&folder.path().join("own"), "mine.rhai", &template);
    let file = "strategy = \"script\"\nfile = \"mine.rhai\"\ndeadband = \"0.2 K\"\ninterval = \"30 s\"\n";
    write(&folder.path().join("own"), "narrow.toml", file);
    let (code, out, error) = run_in(folder.path(), &["check", "own/narrow.toml"]);
    assert_eq!(code, 0, "{error}");
    assert!(
        out.contains("deadband 0.2 K") && out.contains("interval 30 s"),
        "{out}"
    );
    write(
        &folder.path().join("own"),
        "bad.toml",
        &file.replace("deadband", "deadbnad"),
    );
    let (code, _, error) = run_in(folder.path(), &["check", "own/bad.toml"]);
    assert_eq!(code, 2);
    assert!(
        error.contains("bad.toml:3:1") && error.contains("did you mean `deadband`?"),
        "{error}"
    );
    write(
        &folder.path().join("own"),
        "wide.toml",
        &file.replace("0.2 K", "9 K"),
    );
    let (code, _, error) = run_in(folder.path(), &["check", "own/wide.toml"]);
    assert_eq!(code, 2);
    assert!(error.contains("0.05 K to 5 K"), "{error}");
}

#[test]
fn a_mistake_in_a_script_is_told_with_its_place_before_anything_runs() {
    let folder = tempfile::tempdir().expect("a folder");
    write(
        folder.path(),
        "mine.rhai",
        "fn decide(temperature) {\n    temperature < limit\n}\n",
    );
    let (code, _, error) = run_in(folder.path(), &["compare", "--strategy", "mine.rhai"]);
    assert_eq!(code, 2);
    assert!(
        error.contains("mine.rhai:2:19") && error.contains("limit"),
        "{error}"
    );
    write(
        folder.path(),
        "mine.toml",
        "strategy = \"script\"\nfile = \"others.rhai\"\n",
    );
    let (code, _, error) = run_in(folder.path(), &["check", "mine.toml"]);
    assert_eq!(code, 2);
    assert!(
        error.contains("mine.toml:2:8") && error.contains("there is no such file"),
        "{error}"
    );
    write(folder.path(), "mine.toml", "strategy = \"scirpt\"\n");
    let (_, _, error) = run_in(folder.path(), &["check", "mine.toml"]);
    assert!(error.contains("did you mean `script`?"), "{error}");
}

#[test]
fn a_script_that_fails_on_the_way_names_its_line_and_leaves_the_other_strategies_unharmed() {
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "mine.rhai", FAILS_LATER);
    let alone = [
        "compare",
        "lidded-nano",
        "--strategy",
        "on-off",
        "--fault",
        "none",
        "--format",
        "json",
    ];
    let (code, alone, error) = run_in(folder.path(), &alone);
    assert_eq!(code, 0, "{error}");
    let both = [
        "compare",
        "lidded-nano",
        "--strategy",
        "on-off",
        "--strategy",
        "mine.rhai",
        "--fault",
        "none",
        "--format",
        "json",
    ];
    let (code, both, error) = run_in(folder.path(), &both);
    assert_eq!(code, 3, "{error}");
    assert!(
        both.contains("mine.rhai, line 3: ") && both.contains("no_such_thing"),
        "{both}"
    );
    let summary = |text: &str| {
        let record: serde_json::Value = serde_json::from_str(text).expect("json");
        record["scenarios"][0]["rows"][0]["healthy"].clone()
    };
    assert!(!summary(&alone).is_null(), "{alone}");
    assert_eq!(summary(&alone), summary(&both));
}

#[cfg(unix)]
#[test]
fn a_program_that_crashes_is_a_failed_run_with_its_last_words() {
    let folder = tempfile::tempdir().expect("a folder");
    write(
        folder.path(),
        "mine.sh",
        "read hello\necho '{\"protocol\":1}'\nread first\necho '{\"contacts\":{}}'\nread second\necho 'no bus' >&2\nexit 7\n",
    );
    write(
        folder.path(),
        "mine.toml",
        "strategy = \"program\"\ncommand = [\"sh\", \"mine.sh\"]\n",
    );
    let (code, out, error) = run_in(folder.path(), &["run", "lidded-nano", "--strategy", "mine.toml"]);
    assert_eq!(code, 3, "{out}");
    assert!(error.contains("the run failed"), "{error}");
    let told = out.replace('\n', " ");
    assert!(
        told.contains("program `sh mine.sh`: it ended (exit status: 7); its last words: `no bus`"),
        "{out}"
    );
    assert!(
        told.contains("in the warm-up, 24.0 h before scoring begins: "),
        "{out}"
    );
}

#[test]
fn a_program_is_not_started_by_check_and_its_command_must_name_one() {
    let folder = tempfile::tempdir().expect("a folder");
    write(
        folder.path(),
        "mine.toml",
        "strategy = \"program\"\ncommand = [\"./no-such-program\"]\n",
    );
    let (code, _, error) = run_in(folder.path(), &["check", "mine.toml"]);
    assert_eq!(code, 0, "{error}");
    let (code, out, _) = run_in(folder.path(), &["run", "lidded-nano", "--strategy", "mine.toml"]);
    assert_eq!(code, 3);
    assert!(out.contains("cannot be started"), "{out}");
    for wrong in ["", "command = []\n", "command = \"python3 mine.py\"\n"] {
        write(
            folder.path(),
            "wrong.toml",
            &format!("strategy = \"program\"\n{wrong}"),
        );
        let (code, _, error) = run_in(folder.path(), &["check", "wrong.toml"]);
        assert_eq!(code, 2, "{wrong}");
        assert!(error.contains("command"), "{error}");
    }
}

#[test]
fn a_script_gives_the_same_bytes_on_any_number_of_threads() {
    let folder = tempfile::tempdir().expect("a folder");
    let (_, template, _) = run_in(folder.path(), &["new", "strategy", "--script"]);
    write(folder.path(), "mine.rhai", &template);
    let on = |threads| {
        let arguments = [
            "compare",
            "lidded-nano",
            "--strategy",
            "mine.rhai",
            "--threads",
            threads,
            "--format",
            "json",
        ];
        let (code, out, error) = run_in(folder.path(), &arguments);
        assert_eq!(code, 0, "{error}");
        out
    };
    assert_eq!(on("1"), on("3"));
}

/// Whether an interpreter or a compiler is there.
#[cfg(unix)]
fn there_is(program: &str) -> bool {
    std::process::Command::new(program)
        .arg("--version")
        .output()
        .is_ok()
}

/// A folder with the example programs in it.
#[cfg(unix)]
fn with_examples() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/programs");
    for entry in std::fs::read_dir(examples).expect("the examples") {
        let path = entry.expect("an entry").path();
        std::fs::copy(&path, folder.path().join(path.file_name().expect("a name"))).expect("copied");
    }
    folder
}

/// Half an hour of the example in Python between two `tee`: what was said each way, line by line.
#[cfg(unix)]
fn said() -> String {
    let folder = with_examples();
    let tapped = r#"strategy = "program"
command = ["sh", "-c", "tee asked.txt | python3 proportional.py | tee answered.txt"]
"#;
    write(folder.path(), "tapped.toml", tapped);
    let arguments = [
        "run",
        "warm-room-fan",
        "--strategy",
        "tapped.toml",
        "--duration",
        "30 min",
    ];
    let (code, _, error) = run_in(folder.path(), &arguments);
    assert_eq!(code, 0, "{error}");
    let lines = |name: &str| {
        let text = std::fs::read_to_string(folder.path().join(name)).expect("what was said");
        text.lines().map(str::to_owned).collect::<Vec<_>>()
    };
    let both = lines("asked.txt").into_iter().zip(lines("answered.txt"));
    both.map(|(asked, answered)| format!("> {asked}\n< {answered}\n"))
        .collect()
}

#[cfg(unix)]
#[test]
fn the_transcript_in_the_page_of_the_protocol_is_what_is_said() {
    if !there_is("python3") {
        return;
    }
    let page = include_str!("../../docs/program.md");
    let shown = page
        .split("```text\n")
        .nth(1)
        .and_then(|rest| rest.split("```").next())
        .expect("a transcript");
    let said = said();
    assert!(shown.lines().count() >= 6, "{shown}");
    assert!(
        said.starts_with(shown),
        "shown:\n{shown}\nsaid:\n{}",
        &said[..2000]
    );
}

/// The tank starts a night colder than its room: both programs must heat, neither the whole day.
#[cfg(unix)]
#[test]
fn the_example_programs_hold_the_water_of_a_cold_room() {
    let folder = with_examples();
    let compiled = there_is("cc") && {
        let build = std::process::Command::new("cc")
            .args(["-o", "thermostat", "thermostat.c"])
            .current_dir(folder.path())
            .status();
        build.is_ok_and(|status| status.success())
    };
    for (file, is_there) in [
        ("proportional.toml", there_is("python3")),
        ("thermostat.toml", compiled),
    ] {
        if !is_there {
            continue;
        }
        let arguments = [
            "run",
            "warm-room-fan",
            "--strategy",
            file,
            "--duration",
            "2 d",
            "--set",
            "room.temperature.mean=18 °C",
            "--format",
            "json",
        ];
        let (code, out, error) = run_in(folder.path(), &arguments);
        assert_eq!(code, 0, "{error}");
        let record: serde_json::Value = serde_json::from_str(&out).expect("json");
        let tank = &record["scores"]["tanks"][0];
        let (lowest_c, highest_c) = (
            tank["lowest_c"].as_f64().unwrap(),
            tank["highest_c"].as_f64().unwrap(),
        );
        assert!(
            lowest_c > 24.0 && highest_c < 26.0,
            "{file}: {lowest_c} to {highest_c} °C"
        );
    }
}

#[test]
fn the_scripts_that_the_pages_show_are_read() {
    let mut read = 0;
    for page in [
        include_str!("../../README.md"),
        include_str!("../../docs/script.md"),
    ] {
        for block in page
            .split("```rust\n")
            .skip(1)
            .filter_map(|rest| rest.split("```").next())
        {
            // A page may show the parameters alone.
            let decide = if block.contains("fn decide") {
                ""
            } else {
                "fn decide(deadband) { deadband > 0.0 }"
            };
            tepid_strategies::script::Script::read("page.rhai", &format!("{block}{decide}"))
                .unwrap_or_else(|problem| panic!("{problem}\n{block}"));
            read += 1;
        }
    }
    assert_eq!(read, 3);
}

#[test]
fn a_misspelt_word_in_a_script_is_shown_at_its_place_with_the_nearest() {
    let folder = tempfile::tempdir().expect("a folder");
    for (text, place, nearest) in [
        (
            "fn decide(temperatur) { true }",
            "mine.rhai:1:11: ",
            "`temperature`",
        ),
        (
            "fn decide(setpoint) {\n setpont > 3.0\n}",
            "mine.rhai:2:2: ",
            "`setpoint`",
        ),
        ("fn decid(setpoint) { true }", "mine.rhai:1:4: ", "`decide`"),
    ] {
        write(folder.path(), "mine.rhai", text);
        let (code, _, error) = run_in(folder.path(), &["check", "mine.rhai"]);
        assert_eq!(code, 2, "{error}");
        assert!(error.starts_with(place), "{error}");
        assert!(error.contains(&format!("did you mean {nearest}?")), "{error}");
    }
}

#[test]
fn a_failed_run_says_why_once() {
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "mine.rhai", "fn decide() { \"warm\" }");
    let (code, out, error) = run_in(folder.path(), &["run", "lidded-nano", "--strategy", "mine.rhai"]);
    assert_eq!(code, 3);
    assert!(out.contains("returns the text \"warm\""), "{out}");
    assert!(!error.contains("warm"), "{error}");
}

#[test]
fn a_script_explained_shows_the_parameters_that_it_declares_with_their_meaning() {
    let folder = tempfile::tempdir().expect("folder");
    let (code, _, error) = run_in(folder.path(), &["new", "strategy", "--script", "mine.rhai"]);
    assert_eq!(code, 0, "{error}");
    let arguments = ["explain", "strategy", "mine.rhai", "--without-faults"];
    let (code, out, error) = run_in(folder.path(), &arguments);
    assert_eq!(code, 0, "{error}");
    assert!(
        out.contains("0.05 K to 5 K") && out.contains("full width between closing and"),
        "{out}"
    );
    assert!(out.lines().all(|line| line != "."), "{out}");
}
