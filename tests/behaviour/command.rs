//! The command as a user meets it.

use crate::bad_input::{run_in, tepid};
use std::io::Read;

#[test]
fn the_bare_command_compares_and_names_whom_to_trust() {
    let (code, out, error) = tepid(&[], &[]);
    assert_eq!(code, 0, "{error}");
    assert!(error.is_empty(), "something on standard error in a pipe: {error}");
    for part in [
        "spare-room-winter",
        "on-off",
        "staggered-pair",
        "Verdict",
        "RCD/GFCI",
        "relay left welded",
    ] {
        assert!(out.contains(part), "`{part}` is not in:\n{out}");
    }
    assert!(
        out.lines().all(|line| line.chars().count() <= 100),
        "a line is wider than 100 columns"
    );
}

#[test]
fn the_list_has_the_published_keys() {
    let (code, out, _) = tepid(&[], &["list", "--format", "json"]);
    assert_eq!(code, 0);
    let list: serde_json::Value = serde_json::from_str(&out).expect("json");
    for key in ["scenarios", "strategies", "guards", "faults"] {
        let entries = list[key].as_array().expect(key);
        assert!(!entries.is_empty());
        assert!(
            entries
                .iter()
                .all(|entry| entry["name"].is_string() && entry["summary"].is_string())
        );
    }
}

#[test]
fn strategies_are_listed_by_themselves_with_their_guards() {
    let (code, out, _) = tepid(&[], &["list", "strategies", "--format", "json"]);
    assert_eq!(code, 0);
    let list: serde_json::Value = serde_json::from_str(&out).expect("json");
    let keys: Vec<&String> = list.as_object().expect("an object").keys().collect();
    assert_eq!(keys, ["guards", "strategies"]);
    let (_, out, _) = tepid(&[], &["list", "strategies"]);
    assert!(out.contains("on-off ") && out.contains("software-limit ") && !out.contains("Faults"));
}

#[test]
fn every_strategy_and_guard_is_explained_within_100_columns_with_its_law_and_cautions() {
    let strategies = tepid_strategies::registry().iter().map(|entry| entry.name);
    let guards = tepid_strategies::guard::guards().iter().map(|entry| entry.name);
    for name in strategies.chain(guards) {
        let (code, out, error) = tepid(&[], &["explain", "strategy", name, "--without-faults"]);
        assert_eq!((code, error.as_str()), (0, ""), "{name}");
        for part in ["\nLaw\n", "\nKnown weakness\n", "\nParameter ", "\nCautions\n"] {
            assert!(out.contains(part), "{name}: no {part:?} in:\n{out}");
        }
        let wide = out.lines().find(|line| line.chars().count() > 100);
        assert_eq!(wide, None, "{name}");
    }
}

#[test]
fn an_explanation_tries_the_faults_it_is_asked_for() {
    let asked = |form: &str| {
        let arguments = [
            "explain",
            "strategy",
            "on-off",
            "--fault",
            "one contact welded",
            "--fault",
            "probe wild",
            "--format",
            form,
        ];
        tepid(&[], &arguments).1
    };
    let record: serde_json::Value = serde_json::from_str(&asked("json")).expect("json");
    assert_eq!(record["format"], "tepid-explanation");
    let sets = record["coverage"]["sets"].as_array().expect("sets");
    let past: Vec<bool> = sets.iter().map(|set| set["past"].is_object()).collect();
    assert_eq!(past, [true, false]);
    let text = asked("table");
    assert!(
        text.contains("Not covered") && text.contains("Below the dose: probe wild"),
        "{text}"
    );
}

#[test]
fn a_name_that_is_neither_strategy_nor_guard_shows_the_nearest() {
    let (code, _, error) = tepid(&[], &["explain", "strategy", "sofware-limit"]);
    assert_eq!(code, 2);
    assert!(error.contains("did you mean `software-limit`?"), "{error}");
}

#[test]
fn a_comparison_as_json_is_versioned() {
    let (code, out, _) = tepid(
        &[],
        &[
            "compare",
            "lidded-nano",
            "--strategy",
            "on-off",
            "--format",
            "json",
        ],
    );
    assert_eq!(code, 0);
    let record: serde_json::Value = serde_json::from_str(&out).expect("json");
    assert_eq!(record["format"], "tepid-comparison");
    assert_eq!(record["version"], 1);
}

#[test]
fn a_run_writes_its_course_and_a_plot() {
    let folder = tempfile::tempdir().expect("folder");
    let (code, out, error) = run_in(
        folder.path(),
        &[
            "run",
            "lidded-nano",
            "--strategy",
            "on-off",
            "--trace",
            "t.csv",
            "--plot",
            "p.svg",
        ],
    );
    assert_eq!(code, 0, "{error}");
    assert!(out.contains("Heat balance"), "{out}");
    let trace = std::fs::read_to_string(folder.path().join("t.csv")).expect("trace");
    assert!(trace.lines().count() > 1000);
    let plot = std::fs::read_to_string(folder.path().join("p.svg")).expect("plot");
    assert!(
        plot.starts_with("<svg") && plot.trim_end().ends_with("</svg>"),
        "not an SVG"
    );
    let (code, _, error) = run_in(
        folder.path(),
        &["run", "lidded-nano", "--strategy", "on-off", "--plot", "p.png"],
    );
    assert_eq!(code, 0, "{error}");
    let mut head = [0; 8];
    std::fs::File::open(folder.path().join("p.png"))
        .expect("png")
        .read_exact(&mut head)
        .expect("head");
    assert_eq!(&head, b"\x89PNG\r\n\x1a\n");
}

#[test]
fn what_new_writes_passes_check() {
    for kind in ["scenario", "strategy", "study"] {
        let folder = tempfile::tempdir().expect("folder");
        let (code, _, error) = run_in(folder.path(), &["new", kind, "mine.toml"]);
        assert_eq!(code, 0, "{error}");
        let (code, out, error) = run_in(folder.path(), &["check", "mine.toml"]);
        assert_eq!(code, 0, "{error}");
        assert!(out.contains("without mistakes"), "{out}");
        let (code, out, _) = run_in(folder.path(), &["new", kind]);
        assert_eq!(code, 0);
        assert_eq!(
            out,
            std::fs::read_to_string(folder.path().join("mine.toml")).expect("written")
        );
    }
}

#[test]
fn a_budget_adds_up() {
    for scenario in tepid_scenarios::library::names() {
        let (code, out, error) = tepid(&[], &["budget", scenario, "--format", "json"]);
        assert_eq!(code, 0, "{error}");
        let record: serde_json::Value = serde_json::from_str(&out).expect("json");
        // One of each water system, where there are several.
        let systems = record["systems"].as_array();
        for budget in systems.map_or(std::slice::from_ref(&record), Vec::as_slice) {
            let losses = budget["losses"].as_array().expect("losses");
            let sum: f64 = losses.iter().filter_map(|path| path["power_w"].as_f64()).sum();
            let total = budget["total_loss_w"].as_f64().expect("total");
            assert!(
                (sum - total).abs() < 1e-9 * total.abs().max(1.0),
                "{scenario}: {sum} against {total}"
            );
        }
    }
}

#[test]
fn a_year_long_run_is_no_trouble() {
    let (code, out, error) = tepid(
        &[],
        &[
            "run",
            "lidded-nano",
            "--strategy",
            "on-off",
            "--duration",
            "365 d",
            "--format",
            "json",
        ],
    );
    assert_eq!(code, 0, "{error}");
    let run: serde_json::Value = serde_json::from_str(&out).expect("json");
    assert_eq!(run["scores"]["scored_h"], 8760.0);
}

#[test]
fn tables_speak_fahrenheit_on_request() {
    let (code, out, _) = tepid(&[], &["budget", "lidded-nano", "--units", "us"]);
    assert_eq!(code, 0);
    assert!(out.contains("°F") && !out.contains("°C"), "{out}");
}

#[test]
fn a_new_study_can_be_compared_as_it_is_written() {
    let folder = tempfile::tempdir().expect("folder");
    let (code, _, error) = run_in(folder.path(), &["new", "study", "mine.toml"]);
    assert_eq!(code, 0, "{error}");
    let (code, out, error) = run_in(folder.path(), &["compare", "mine.toml"]);
    // Its gate is red: one big heater cooks the tank when its contact welds.
    assert_eq!(code, 1, "{error}");
    assert!(
        out.contains("spare-room-one-big-heater") && out.contains("narrow"),
        "{out}"
    );
}
