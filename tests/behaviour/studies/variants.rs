//! What varies.

use super::{SMALL, compared, folder_with, kept, score};
use crate::bad_input::run_in;

/// The groups with nothing broken: scenario, strategy and worst undershoot, K.
fn healthy(result: &serde_json::Value) -> Vec<(String, String, f64)> {
    let groups = result["groups"].as_array().expect("groups").iter();
    groups
        .filter(|group| group["case"] == "none")
        .map(|group| {
            let text = |key: &str| group[key].as_str().expect(key).to_owned();
            (
                text("scenario"),
                text("strategy"),
                score(group, "undershoot")["worst"]["value"].as_f64().expect("K"),
            )
        })
        .collect()
}

#[test]
fn each_value_is_a_variant_with_a_name_and_strategies_without_the_parameter_stay_one() {
    let vary = "[[vary]]\npath = \"strategy.deadband\"\nvalues = [\"0.2 K\", \"1 K\"]\n\
        [[vary]]\npath = \"heater.heater.power\"\nfrom = \"30 W\"\nto = \"50 W\"\nsteps = 2\n";
    let folder = folder_with(&format!("{SMALL}{vary}").replace(", \"one contact welded\"", ""));
    let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!(code, 0, "{error}");
    let groups = healthy(&kept(folder.path(), "kept"));
    let names: Vec<(&str, &str)> = groups
        .iter()
        .map(|(scenario, strategy, _)| (scenario.as_str(), strategy.as_str()))
        .collect();
    let (weak, strong) = (
        "lidded-nano, heater.heater.power = 30 W",
        "lidded-nano, heater.heater.power = 50 W",
    );
    let (narrow, wide) = ("on-off, deadband = 0.2 K", "on-off, deadband = 1 K");
    assert_eq!(
        names,
        [
            (weak, narrow),
            (weak, wide),
            (weak, "proportional"),
            (strong, narrow),
            (strong, wide),
            (strong, "proportional")
        ]
    );
    assert!(
        groups[4].2 > groups[3].2 + 0.2,
        "a wider deadband lets the water cool further: {groups:?}"
    );
}

#[test]
fn a_parameter_of_a_guard_varies_too() {
    let study = SMALL.replace(
        "\"on-off\", \"proportional\"",
        "{ strategy = \"on-off\", name = \"held\", guard = [{ guard = \"longest-on\", longest_on = \"2 h\" }] }, \"proportional\"",
    );
    let vary = "[[vary]]\npath = \"strategy.guard.longest-on.longest_on\"\nvalues = [\"2 min\", \"2 h\"]\n";
    let folder = folder_with(&format!("{study}{vary}").replace(", \"one contact welded\"", ""));
    let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!(code, 0, "{error}");
    let groups = healthy(&kept(folder.path(), "kept"));
    let strategies: Vec<&str> = groups.iter().map(|(_, strategy, _)| strategy.as_str()).collect();
    let (short, long) = (
        "held, guard.longest-on.longest_on = 2 min",
        "held, guard.longest-on.longest_on = 2 h",
    );
    assert_eq!(strategies, [short, long, "proportional"]);
    assert!(
        groups[0].2 > groups[1].2,
        "held after two minutes it does not keep up: {groups:?}"
    );
}

#[test]
fn a_drawn_value_is_another_in_each_replicate_and_the_same_for_every_strategy() {
    let vary = "[[vary]]\npath = \"water.target\"\ndistribution = \"uniform\"\nlow = \"24.6 °C\"\nhigh = \"25.4 °C\"\n";
    let folder = folder_with(&format!("{SMALL}{vary}").replace(", \"one contact welded\"", ""));
    let target = |strategy: &str, replicate: u32| {
        let cell = format!("lidded-nano / {strategy} / none / {replicate}");
        let (code, out, error) = run_in(
            folder.path(),
            &["run", "study.toml", "--cell", &cell, "--format", "json"],
        );
        assert_eq!(code, 0, "{error}");
        let run: serde_json::Value = serde_json::from_str(&out).expect("json");
        run["target_c"].as_f64().expect("target")
    };
    let targets: Vec<f64> = (0..3).map(|replicate| target("on-off", replicate)).collect();
    assert!(
        targets.iter().all(|target| (24.6..=25.4).contains(target)),
        "{targets:?}"
    );
    assert!(
        targets[0] != targets[1] && targets[1] != targets[2],
        "{targets:?}"
    );
    assert_eq!(targets[1], target("proportional", 1));
}

#[test]
fn a_value_that_does_not_stand_is_underlined_in_the_study_even_where_it_breaks_another_line() {
    for (path, values, says) in [
        ("strategy.deadband", "[\"0.2 K\", \"0.4 W\"]", "study.toml:8:25"),
        // The band that it must lie in stands in the library.
        (
            "water.target",
            "[\"25 °C\", \"20 °C\"]",
            "study.toml:8:20: with this value `lidded-nano` does not stand",
        ),
    ] {
        let vary = format!("[[vary]]\npath = \"{path}\"\nvalues = {values}\n");
        let folder = folder_with(&format!("{SMALL}{vary}"));
        for command in ["check", "compare"] {
            let (code, _, error) = run_in(folder.path(), &[command, "study.toml"]);
            assert_eq!(code, 2);
            assert!(error.contains(says), "`{says}` is not in: {error}");
        }
    }
}

#[test]
fn the_scored_time_and_its_beginning_are_the_studys() {
    let with = |line: &str| {
        let folder = folder_with(
            &SMALL
                .replace("duration = \"1 d\"\n", line)
                .replace(", \"one contact welded\"", ""),
        );
        let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
        assert_eq!(code, 0, "{error}");
        let result = kept(folder.path(), "kept");
        let value = |name: &str| score(&result["groups"][0], name)["mean"].as_f64().expect("mean");
        (value("energy"), value("rms deviation"))
    };
    let (day, two_days) = (with("duration = \"1 d\"\n"), with("duration = \"2 d\"\n"));
    assert!(two_days.0 > 1.5 * day.0, "{day:?} {two_days:?}");
    // The same two days, the water judged on the second: the same electricity, another deviation.
    let second_day = with("duration = \"2 d\"\nscored_from = \"1 d\"\n");
    assert!(
        second_day.0 == two_days.0 && second_day.1 != two_days.1,
        "{second_day:?} {two_days:?}"
    );
}

#[test]
fn check_says_how_much_a_study_runs_before_anything_does() {
    let folder = folder_with(SMALL);
    let (code, out, error) = run_in(folder.path(), &["check", "study.toml"]);
    assert_eq!(code, 0, "{error}");
    assert!(
        out.contains("1 scenario, 2 strategies, 2 fault sets, 3 replicates: 12 cells"),
        "{out}"
    );
    compared(folder.path(), &["--results", "kept"]);
    let bytes: usize = super::files(&folder.path().join("kept"))
        .iter()
        .map(|(_, bytes)| bytes.len())
        .sum();
    let said: f64 = out
        .split("about ")
        .nth(2)
        .and_then(|rest| rest.split(' ').next())
        .expect("size")
        .parse()
        .expect("kB");
    let share = bytes as f64 / 1000.0 / said;
    assert!((0.5..2.0).contains(&share), "{bytes} bytes, said {said} kB");
}

#[test]
fn a_study_says_itself_what_is_compared() {
    let folder = folder_with(SMALL);
    for option in [
        &["--strategy", "pi"][..],
        &["--fault", "outage"],
        &["--all"],
        &["--set", "water.target=26 °C"],
        &["--seed", "3"],
        &["--replicates", "2"],
    ] {
        let (code, _, error) = compared(folder.path(), option);
        assert_eq!(code, 2, "{error}");
        assert!(
            error.contains(option[0]) && error.contains("expected it in the file"),
            "{error}"
        );
    }
    let (code, _, error) = run_in(folder.path(), &["compare", "lidded-nano", "--results", "kept"]);
    assert_eq!(code, 2);
    assert!(error.contains("belong to a study"), "{error}");
}

#[test]
fn what_could_not_be_told_apart_or_never_holds_is_refused_before_anything_runs() {
    for (lines, says) in [
        (
            "[[vary]]\npath = \"strategy.deadband\"\nvalues = [\"0.2 K\", \"0.2 K\"]\n",
            "stands twice among the values",
        ),
        (
            "[[vary]]\npath = \"strategy.deadband\"\nvalues = [\"0.2 K\"]\n[[vary]]\npath = \"strategy.deadband\"\nvalues = [\"0.3 K\"]\n",
            "`deadband` varies twice",
        ),
        (
            "[[gate]]\nscore = \"overshoot\"\nat_most = \"1 K\"\nat_least = \"2 K\"\n",
            "no value is at most",
        ),
    ] {
        let folder = folder_with(&format!("{SMALL}{lines}"));
        let (code, _, error) = run_in(folder.path(), &["check", "study.toml"]);
        assert_eq!(code, 2, "{error}");
        assert!(
            error.contains(says) && error.contains("study.toml:"),
            "`{says}` is not in: {error}"
        );
    }
    let alone = SMALL.replace("\"none\", ", "");
    for line in [
        "enough = { score = \"energy\", within = \"1 kWh\" }\n",
        "[[gate]]\nscore = \"energy\"\nat_most = \"1 kWh\"\n",
    ] {
        let folder = folder_with(&format!("{alone}{line}"));
        let (code, _, error) = run_in(folder.path(), &["check", "study.toml"]);
        assert_eq!(code, 2, "{error}");
        assert!(error.contains("has no value in any run of this study"), "{error}");
    }
    let joined = "scenarios = [{ base = \"lidded-nano\", name = \"a / b\" }, { base = \"lidded-nano\", name = \"a\" }]\n\
        strategies = [{ strategy = \"on-off\", name = \"c\" }, { strategy = \"pi\", name = \"b / c\" }]\n";
    let folder = folder_with(joined);
    let (code, _, error) = run_in(folder.path(), &["check", "study.toml"]);
    assert_eq!(code, 2, "{error}");
    assert!(error.contains("`a / b / c / none / 0`"), "{error}");
}

#[test]
fn a_name_that_would_break_a_table_or_a_terminal_is_refused() {
    for name in ["a\\nb", "a\\u001b[31mb", "a\\tb"] {
        let scenario = format!("{{ base = \"lidded-nano\", name = \"{name}\" }}");
        let folder = folder_with(&SMALL.replace("\"lidded-nano\"", &scenario));
        let (code, _, error) = run_in(folder.path(), &["check", "study.toml"]);
        assert_eq!(code, 2, "{error}");
        assert!(
            error.contains("cannot be printed") && !error.contains('\u{1b}'),
            "{error}"
        );
    }
}

#[test]
fn a_study_without_its_scenarios_is_still_a_study() {
    let folder = folder_with(&SMALL.replace("scenarios", "scenaros"));
    let (code, _, error) = run_in(folder.path(), &["check", "study.toml"]);
    assert_eq!(code, 2);
    assert!(error.contains("did you mean `scenarios`?"), "{error}");
}
