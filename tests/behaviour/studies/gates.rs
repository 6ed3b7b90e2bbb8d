//! What must hold.

use super::{SMALL, compared, folder_with, kept, score};
use crate::bad_input::run_in;

const WELD_GATE: &str =
    "\n[[gate]]\nscore = \"hot dose used\"\nunder = \"one contact welded\"\nat_most = \"50 %\"\n";

/// The gates of a kept result: verdict, score, strategy, value, limit.
fn gates(folder: &std::path::Path) -> Vec<serde_json::Value> {
    kept(folder, "kept")["gates"].as_array().expect("gates").clone()
}

#[test]
fn a_relay_that_cooks_the_tank_turns_the_gate_red_and_says_how_to_see_it() {
    let folder = folder_with(&format!("{SMALL}{WELD_GATE}"));
    let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!(code, 1, "{error}");
    assert!(error.contains("2 gates do not hold"), "{error}");
    let gates = gates(folder.path());
    assert_eq!(gates.len(), 2);
    for gate in &gates {
        assert_eq!(gate["verdict"], "broken");
        assert_eq!(gate["worst"]["tank"], "nano");
        assert!(gate["value"].as_f64().expect("value") > 0.5);
        let replay = gate["replay"].as_str().expect("command");
        let (program, cell) = replay.split_once(" --cell ").expect("a cell");
        assert_eq!(program, "tepid run study.toml");
        let cell = cell.trim_matches('\'');
        let (code, out, error) = run_in(folder.path(), &["run", "study.toml", "--cell", cell]);
        assert_eq!(code, 0, "{error}");
        assert!(out.contains("plug-in relay welded"), "{out}");
    }
}

#[test]
fn a_gate_speaks_of_its_strategy_scenario_and_fault_alone() {
    let gate = format!("{SMALL}{WELD_GATE}strategy = \"proportional\"\nscenario = \"lidded-nano\"\n");
    let folder = folder_with(&gate);
    compared(folder.path(), &["--results", "kept"]);
    let gates = gates(folder.path());
    assert_eq!(gates.len(), 1);
    assert_eq!(gates[0]["strategy"], "proportional");
    assert_eq!(gates[0]["fault_set"], "one contact welded");
}

#[test]
fn bounds_hold_up_to_their_very_value_on_either_side() {
    let folder = folder_with(SMALL);
    compared(folder.path(), &["--results", "kept"]);
    let groups = kept(folder.path(), "kept")["groups"].clone();
    let worst = score(&groups[0], "energy")["worst"]["value"]
        .as_f64()
        .expect("kWh");
    for (bound, holds) in [
        (format!("at_most = \"{:.3} kWh\"", worst + 0.01), true),
        (format!("at_most = \"{:.3} kWh\"", worst - 0.01), false),
        (format!("at_least = \"{:.3} kWh\"", worst - 0.01), true),
        (format!("at_least = \"{:.3} kWh\"", worst + 0.01), false),
    ] {
        let gate =
            format!("[[gate]]\nscore = \"energy\"\nunder = \"none\"\nstrategy = \"on-off\"\n{bound}\n");
        std::fs::write(folder.path().join("study.toml"), format!("{SMALL}{gate}")).expect("written");
        let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
        assert_eq!(code, i32::from(!holds), "{bound}: {error}");
    }
}

#[test]
fn a_gate_on_energy_speaks_of_runs_with_nothing_broken_alone() {
    let gate = "[[gate]]\nscore = \"energy\"\nat_most = \"100 kWh\"\n";
    let folder = folder_with(&format!("{SMALL}{gate}"));
    let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!(code, 0, "{error}");
    let judged = gates(folder.path());
    assert_eq!(judged.len(), 2);
    assert!(
        judged
            .iter()
            .all(|gate| gate["fault_set"] == "none" && gate["verdict"] == "holds")
    );
}

#[test]
fn the_mean_may_hold_where_the_worst_run_does_not() {
    let folder = folder_with(SMALL);
    compared(folder.path(), &["--results", "kept"]);
    let groups = kept(folder.path(), "kept")["groups"].clone();
    let under = score(&groups[0], "undershoot");
    let (mean, worst) = (
        under["mean"].as_f64().expect("K"),
        under["worst"]["value"].as_f64().expect("K"),
    );
    assert!(worst > mean);
    let limit = (mean + worst) / 2.0;
    for (of, code_wanted) in [("mean", 0), ("worst run", 1)] {
        let gate = format!(
            "[[gate]]\nscore = \"undershoot\"\nunder = \"none\"\nstrategy = \"on-off\"\nof = \"{of}\"\nat_most = \"{limit} K\"\n"
        );
        std::fs::write(folder.path().join("study.toml"), format!("{SMALL}{gate}")).expect("written");
        let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
        assert_eq!(code, code_wanted, "{of}: {error}");
    }
}

#[test]
fn a_change_for_the_worse_is_caught_against_a_kept_baseline() {
    let gate = "[[gate]]\nscore = \"closings per day\"\nunder = \"none\"\nno_worse_than_baseline = \"5 %\"\n";
    let folder = folder_with(&format!("{SMALL}{gate}"));
    let (code, _, error) = compared(folder.path(), &[]);
    assert_eq!(code, 2, "{error}");
    assert!(error.contains("gate 1 compares with a baseline"), "{error}");
    let (code, _, error) = compared(folder.path(), &["--save-baseline", "base.json"]);
    assert_eq!(code, 0, "{error}");
    let (code, _, error) = compared(folder.path(), &["--baseline", "base.json"]);
    assert_eq!(code, 0, "{error}");
    let narrow = format!("{SMALL}{gate}").replace(
        "\"on-off\"",
        "{ strategy = \"on-off\", name = \"on-off\", deadband = \"0.1 K\" }",
    );
    std::fs::write(folder.path().join("study.toml"), narrow).expect("written");
    let (code, _, error) = compared(folder.path(), &["--baseline", "base.json", "--results", "kept"]);
    assert_eq!(code, 1, "{error}");
    assert!(error.contains("1 gate does not hold"), "{error}");
    let gates = gates(folder.path());
    assert_eq!(gates[0]["verdict"], "broken");
    let (baseline, limit) = (&gates[0]["bound"]["baseline"], &gates[0]["bound"]["limit"]);
    let share = limit.as_f64().expect("limit") / baseline.as_f64().expect("baseline");
    assert!((share - 1.05).abs() < 1e-12);
}

#[test]
fn a_group_that_no_baseline_is_kept_for_is_not_passed_over() {
    let gate = "[[gate]]\nscore = \"energy\"\nunder = \"none\"\nno_worse_than_baseline = \"5 %\"\n";
    let folder = folder_with(&format!("{SMALL}{gate}"));
    compared(folder.path(), &["--save-baseline", "base.json"]);
    let more = format!("{SMALL}{gate}").replace("\"proportional\"]", "\"proportional\", \"pi\"]");
    std::fs::write(folder.path().join("study.toml"), more).expect("written");
    let (code, _, error) = compared(folder.path(), &["--baseline", "base.json"]);
    assert_eq!(code, 1, "{error}");
    assert!(error.contains("cannot be judged"), "{error}");
}

#[test]
fn a_baseline_of_other_conditions_is_nothing_to_hold_figures_against() {
    let gate = "[[gate]]\nscore = \"energy\"\nunder = \"none\"\nno_worse_than_baseline = \"5 %\"\n";
    let study = format!("{SMALL}{gate}");
    let folder = folder_with(&study);
    compared(folder.path(), &["--save-baseline", "base.json"]);
    for (from, to, says) in [
        (
            "duration = \"1 d\"",
            "duration = \"2 d\"",
            "another duration than this study has (1 d and 2 d)",
        ),
        ("replicates = 3", "replicates = 4", "another number of replicates"),
        ("replicates = 3", "replicates = 3\nseed = 2", "another seed"),
    ] {
        std::fs::write(folder.path().join("study.toml"), study.replace(from, to)).expect("written");
        let (code, _, error) = compared(folder.path(), &["--baseline", "base.json"]);
        assert_eq!(code, 2, "{error}");
        assert!(error.contains(says), "`{says}` is not in: {error}");
    }
}

#[test]
fn a_file_that_is_no_baseline_is_refused() {
    let folder = folder_with(SMALL);
    for text in ["", "[]", "{\"format\": \"tepid-study\"}"] {
        std::fs::write(folder.path().join("base.json"), text).expect("written");
        let (code, _, error) = compared(folder.path(), &["--baseline", "base.json"]);
        assert_eq!(code, 2, "{error}");
        assert!(
            error.contains("base.json") && error.contains("--save-baseline"),
            "{error}"
        );
    }
}

#[test]
fn a_score_without_a_value_does_not_pass_for_a_good_one() {
    let gate = "[[gate]]\nscore = \"cost\"\nat_most = \"5\"\nunder = \"none\"\n";
    let scenario = "{ base = \"lidded-nano\", remove = [\"cost\"] }";
    let folder = folder_with(&format!("{SMALL}{gate}").replace("\"lidded-nano\"", scenario));
    let (code, _, error) = compared(folder.path(), &[]);
    assert_eq!(code, 1, "{error}");
    assert!(error.contains("cannot be judged"), "{error}");
}

#[test]
fn an_alert_that_reaches_nobody_is_no_warning() {
    // The weld of a strong heater cooks the tank; nobody is told, so the lead is negative and a bound on it is broken.
    let gate = "[[gate]]\nscore = \"warning lead\"\nunder = \"one contact welded\"\nat_least = \"1 h\"\n";
    let strong = "{ base = \"lidded-nano\", set = { \"heater.heater.power\" = \"150 W\" } }";
    let folder = folder_with(&format!("{SMALL}{gate}").replace("\"lidded-nano\"", strong));
    let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!(code, 1, "{error}");
    assert!(gates(folder.path())[0]["value"].as_f64().expect("lead") <= 0.0);
}

#[test]
fn failed_runs_do_not_stop_the_rest_and_end_with_three() {
    let folder = folder_with(&SMALL.replace("\"proportional\"", "\"mine.rhai\""));
    std::fs::write(
        folder.path().join("mine.rhai"),
        "fn decide(temperature) { throw \"no idea\"; }",
    )
    .expect("written");
    let (code, _, error) = compared(folder.path(), &["--results", "kept", "--verbose"]);
    assert_eq!(code, 3, "{error}");
    assert!(error.contains("failed: lidded-nano / mine / none / 0"), "{error}");
    let result = kept(folder.path(), "kept");
    assert_eq!(result["complete"], true);
    assert_eq!(result["failures"].as_array().expect("failures").len(), 6);
    assert_eq!(result["groups"][0]["replicates"], 3);
}
