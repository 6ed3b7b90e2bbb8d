//! The one suite for every strategy, and what it finds in bad ones.

use std::path::Path;

use tepid::conformance::conformance;
use tepid_output::records::{CheckVerdict, Conformance};

use crate::bad_input::run_in;

fn write(folder: &Path, name: &str, text: &str) {
    std::fs::write(folder.join(name), text).expect("a file");
}

/// What the suite finds in a strategy file or script of this text.
fn checked(name: &str, text: &str) -> Conformance {
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), name, text);
    let path = folder.path().join(name);
    let strategy = tepid_scenarios::strategy(path.to_str().expect("a path"))
        .unwrap_or_else(|report| panic!("{}", report.plain()));
    conformance(&strategy.name, strategy.recipe.as_ref())
}

/// The one check that fails, and why.
#[track_caller]
fn only_failure(record: &Conformance) -> (String, String) {
    let fails: Vec<_> = record
        .checks
        .iter()
        .filter(|check| check.verdict == CheckVerdict::Fails)
        .collect();
    assert_eq!(fails.len(), 1, "{record:#?}");
    (fails[0].check.clone(), fails[0].reason.clone())
}

#[test]
fn every_built_in_strategy_passes() {
    // Each waits on purpose now and then; side by side they wait together.
    std::thread::scope(|scope| {
        for entry in tepid_strategies::registry() {
            scope.spawn(|| {
                let recipe = (entry.build)(&entry.defaults()).expect("defaults");
                let record = conformance(entry.name, recipe.as_ref());
                assert!(
                    record
                        .checks
                        .iter()
                        .all(|check| check.verdict == CheckVerdict::Holds),
                    "{record:#?}"
                );
            });
        }
    });
}

#[test]
fn declared_minimum_times_are_measured() {
    let record = checked(
        "on.toml",
        "strategy = \"on-off\"\nminimum_on = \"4 min\"\nminimum_off = \"3 min\"\n",
    );
    assert_eq!(record.failures(), 0, "{record:#?}");
    let times = &record.checks[5];
    assert!(
        times.reason.contains("(4 min declared)") && times.reason.contains("(3 min declared)"),
        "{times:?}"
    );
}

#[test]
fn the_script_that_new_writes_passes_and_is_compared() {
    let folder = tempfile::tempdir().expect("a folder");
    let (code, out, error) = run_in(folder.path(), &["new", "strategy", "--script", "mine.rhai"]);
    assert_eq!(code, 0, "{error}");
    assert!(out.contains("tepid check strategy mine.rhai"), "{out}");
    let (code, out, error) = run_in(folder.path(), &["check", "strategy", "mine.rhai"]);
    assert_eq!(code, 0, "{out}{error}");
    assert!(out.contains("Nothing fails."), "{out}");
    assert!(out.lines().all(|line| line.chars().count() <= 100), "{out}");
    let example = format!(
        "{}/examples/scripts/minimum-times.rhai",
        env!("CARGO_MANIFEST_DIR")
    );
    let (code, out, error) = run_in(folder.path(), &["check", "strategy", &example]);
    assert_eq!(code, 0, "{out}{error}");
    assert!(out.contains("(30 s declared)"), "{out}");
    let compare = [
        "compare",
        "lidded-nano",
        "--strategy",
        "on-off",
        "--strategy",
        "mine.rhai",
    ];
    let (code, out, error) = run_in(folder.path(), &compare);
    assert_eq!(code, 0, "{error}");
    assert!(out.contains("mine"), "{out}");
}

#[test]
fn a_script_that_cannot_bear_silence_fails_that_check_alone_and_the_command_ends_with_1() {
    let folder = tempfile::tempdir().expect("a folder");
    write(
        folder.path(),
        "mine.rhai",
        "fn decide(temperature, setpoint) {\n    temperature < setpoint\n}\n",
    );
    let (code, out, error) = run_in(
        folder.path(),
        &["check", "strategy", "mine.rhai", "--format", "json"],
    );
    assert_eq!(
        code, 0,
        "nothing compared with a number is false, so it opens: {out}{error}"
    );
    write(
        folder.path(),
        "mine.rhai",
        "fn decide(temperature, setpoint) {\n    temperature - setpoint < 0.0\n}\n",
    );
    let (code, out, error) = run_in(
        folder.path(),
        &["check", "strategy", "mine.rhai", "--format", "json"],
    );
    assert_eq!(code, 1, "{error}");
    let record: Conformance = serde_json::from_str(&out).expect("json");
    let failing: Vec<&str> = record
        .checks
        .iter()
        .filter(|check| check.verdict == CheckVerdict::Fails)
        .map(|check| check.check.as_str())
        .collect();
    assert!(failing.contains(&"survives absent readings"), "{failing:?}");
    assert!(
        record.checks[1].reason.contains("mine.rhai, line 2"),
        "{record:?}"
    );
}

#[test]
fn a_broken_promise_of_minimum_times_is_found() {
    let record = checked(
        "mine.rhai",
        "fn parameters() { #{ minimum_on: #{ value: \"5 min\" } } }
         fn decide(temperature, setpoint) { temperature != () && temperature < setpoint }",
    );
    let (check, reason) = only_failure(&record);
    assert_eq!(check, "keeps its declared minimum times");
    assert!(reason.contains("at least 5 min is declared"), "{reason}");
}

#[test]
fn a_strategy_that_heats_warm_water_does_not_settle() {
    let record = checked(
        "mine.rhai",
        "fn decide(temperature, setpoint) { temperature != () && temperature > setpoint }",
    );
    let (check, reason) = only_failure(&record);
    assert_eq!(check, "settles in the reference tank");
    assert!(
        reason.contains("in a cold room it leaves the water at"),
        "{reason}"
    );
    let record = checked("mine.rhai", "fn decide(temperature) { false }");
    assert_eq!(only_failure(&record).1, "it never closes anything");
}

/// The shell's clock tells whole seconds; the pause of the suite is longer than one.
#[cfg(unix)]
#[test]
fn a_program_that_looks_at_the_clock_decides_otherwise_at_another_speed() {
    let folder = tempfile::tempdir().expect("a folder");
    write(
        folder.path(),
        "clock.sh",
        "read hello; echo '{\"protocol\":1}'; begun=$(date +%s)
         while read line; do
             if [ $(($(date +%s) - begun)) -gt 0 ]; then state=true; else state=false; fi
             echo \"{\\\"contacts\\\":{\\\"relay left\\\":$state}}\"
         done",
    );
    write(
        folder.path(),
        "clock.toml",
        "strategy = \"program\"\ncommand = [\"sh\", \"clock.sh\"]\n",
    );
    let path = folder.path().join("clock.toml");
    let strategy = tepid_scenarios::strategy(path.to_str().expect("a path")).expect("loads");
    let record = conformance("clock", strategy.recipe.as_ref());
    let speeds = record
        .checks
        .iter()
        .find(|check| check.check == "decides the same at two speeds")
        .expect("that check");
    assert_eq!(speeds.verdict, CheckVerdict::Fails, "{record:#?}");
    assert!(speeds.reason.ends_with("does it look at a clock?"), "{speeds:?}");
}

#[test]
fn a_bad_file_ends_with_2_and_check_without_a_file_too() {
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "mine.rhai", "fn decide( { }");
    let (code, _, error) = run_in(folder.path(), &["check", "strategy", "mine.rhai"]);
    assert_eq!(code, 2);
    assert!(error.contains("mine.rhai:1:"), "{error}");
    let (code, _, _) = run_in(folder.path(), &["check"]);
    assert_eq!(code, 2);
}

#[test]
fn a_mistake_that_ends_every_check_is_told_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = "fn decide(temperature) { if temperature == () { return 0.0; } 1.5 * (25.0 - temperature) }";
    std::fs::write(folder.path().join("mine.rhai"), text).expect("written");
    let (code, out, _) = run_in(folder.path(), &["check", "strategy", "mine.rhai"]);
    assert_eq!(code, 1);
    assert_eq!(out.matches("FAILS").count(), 1, "{out}");
    assert!(
        out.contains("not tried") && out.contains("One check fails."),
        "{out}"
    );
}

#[test]
fn a_fan_turned_on_below_where_the_heaters_stop_is_found_though_the_water_is_held() {
    let with_fan_above = |edge: &str| {
        checked(
            "mine.toml",
            &format!(
                "strategy = \"on-off\"\n[[guard]]\nguard = \"fan-on-limit\"\ncloses_above = \"{edge}\"\n"
            ),
        )
    };
    let (check, reason) = only_failure(&with_fan_above("24.5 °C"));
    assert_eq!(check, "never heats and cools at once");
    assert!(reason.contains("24.5 °C"), "{reason}");
    let above = with_fan_above("27 °C");
    assert_eq!(above.failures(), 0, "{above:#?}");
}

#[test]
fn guards_in_an_order_in_which_one_cannot_see_the_other_are_warned_of() {
    let folder = tempfile::tempdir().expect("a folder");
    let guards = ["rate-of-rise", "software-limit"].map(|name| format!("[[guard]]\nguard = \"{name}\"\n"));
    let of =
        |inner: usize, outer: usize| format!("strategy = \"on-off\"\n{}{}", guards[inner], guards[outer]);
    write(folder.path(), "wrong.toml", &of(0, 1));
    write(folder.path(), "right.toml", &of(1, 0));
    let (code, said, _) = run_in(folder.path(), &["check", "wrong.toml"]);
    assert_eq!(code, 0);
    assert!(
        said.contains("`rate-of-rise` belongs after `software-limit`"),
        "{said}"
    );
    let (_, said, _) = run_in(folder.path(), &["check", "right.toml"]);
    assert!(!said.contains("belongs after"), "{said}");
}

#[cfg(unix)]
#[test]
fn a_program_that_keeps_silent_is_waited_for_once() {
    let record = checked(
        "mine.toml",
        "strategy = \"program\"\ncommand = [\"sleep\", \"100\"]\nanswer_within = \"200 ms\"\n",
    );
    let (_, reason) = only_failure(&record);
    assert!(reason.contains("it gave no answer within"), "{reason}");
    let not_tried = record
        .checks
        .iter()
        .filter(|check| check.verdict == CheckVerdict::NotTried);
    assert_eq!(not_tried.count(), record.checks.len() - 2, "{record:#?}");
}

/// The same fight on a tank: the water keeps its band, and the comparison tells the hours.
#[test]
fn a_comparison_tells_for_how_long_heaters_and_fan_work_against_each_other() {
    let folder = tempfile::tempdir().expect("a folder");
    write(
        folder.path(),
        "fights.toml",
        "strategy = \"on-off\"\n[[guard]]\nguard = \"fan-on-limit\"\ncloses_above = \"24.5 °C\"\n",
    );
    let asked = [
        "compare",
        "warm-room-fan",
        "--strategy",
        "heat-and-fan",
        "--strategy",
        "fights.toml",
    ];
    let (code, said, _) = run_in(folder.path(), &asked);
    assert_eq!(code, 0);
    assert!(
        said.contains("fights: heaters and cooling work against each other for"),
        "{said}"
    );
    assert!(!said.contains("heat-and-fan: heaters and cooling work"), "{said}");
}
