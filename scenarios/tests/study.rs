//! Study and strategy files.

use insta::assert_snapshot;
use tepid_scenarios::{
    GateFigure, Loaded, Report, StrategyFile, Study, Tolerance, VaryOf, load_str, strategy,
};

fn study(text: &str) -> Result<Box<Study>, Report> {
    match load_str("study.toml", text) {
        Ok(Loaded::Study(study)) => Ok(study),
        Ok(other) => panic!("{other:?}"),
        Err(report) => Err(report),
    }
}

const STUDY: &str = r#"
title      = "One heater or two"
scenarios  = ["spare-room-winter", { base = "spare-room-winter", name = "one big heater", set = { "heater.left.power" = "400 W" } }]
strategies = ["on-off", "proportional", { strategy = "on-off", name = "narrow", deadband = "0.2 K" }]
faults     = ["none", "one contact welded", "outage"]
replicates = 200
seed       = 7

[[vary]]
path   = "strategy.deadband"
values = ["0.2 K", "0.4 K", "0.8 K"]

[[vary]]
path   = "room.temperature.swing"
values = ["0 K", "6 K"]

[[gate]]
score    = "hot dose used"
under    = "one contact welded"
at_most  = "50 %"

[[gate]]
score    = "closings per day"
at_most  = "60"
no_worse_than_baseline = "5 %"
"#;

#[test]
fn a_study_is_read_as_written() {
    let study = study(STUDY).unwrap();
    let names: Vec<&str> = study
        .scenarios
        .iter()
        .map(|entry| entry.scenario.name.as_str())
        .collect();
    assert_eq!(names, ["spare-room-winter", "one big heater"]);
    assert_eq!(study.scenarios[1].scenario.heaters[0].power_w, 400.0);
    let names: Vec<&str> = study
        .strategies
        .iter()
        .map(|strategy| strategy.file.name.as_str())
        .collect();
    assert_eq!(names, ["on-off", "proportional", "narrow"]);
    assert_eq!((study.replicates, study.seed), (200, 7));
    assert_eq!(study.reference, "on-off");
    assert_eq!(
        (study.vary[0].of, study.vary[0].path.as_str()),
        (VaryOf::Strategy, "deadband")
    );
    assert_eq!(
        (study.vary[1].of, study.vary[1].variants()),
        (VaryOf::Scenario, 2)
    );
    assert_eq!(
        (study.gates[0].at_most, study.gates[0].under.as_deref()),
        (Some(0.5), Some("one contact welded"))
    );
    assert_eq!(
        (study.gates[1].at_most, study.gates[1].no_worse_than_baseline),
        (Some(60.0), Some(Tolerance::Share(0.05)))
    );
    assert_eq!(study.gates[1].of, GateFigure::WorstRun);
}

#[test]
fn a_study_s_scenario_and_strategy_are_built_again_with_varied_values() {
    let study = study(STUDY).unwrap();
    let puts = [study.vary[0].listed(2).unwrap(), study.vary[1].listed(1).unwrap()];
    let varied = study.scenarios[1].with(&puts).unwrap();
    assert_eq!(
        (varied.room.temperature.swing_k, varied.heaters[0].power_w),
        (6.0, 400.0)
    );
    assert_eq!(varied.name, "one big heater");
    let settings = |strategy: usize| study.strategies[strategy].with(&puts).unwrap().recipe.settings();
    assert!(settings(0).contains("0.8 K"), "{}", settings(0));
    assert!(
        !settings(1).contains("0.8 K"),
        "proportional has no deadband: {}",
        settings(1)
    );
}

fn vary(lines: &str) -> Vec<String> {
    let text = format!("scenarios = [\"lidded-nano\"]\nstrategies = [\"on-off\"]\n[[vary]]\n{lines}");
    let study = study(&text).unwrap_or_else(|report| panic!("{}", report.plain()));
    let vary = &study.vary[0];
    (0..vary.variants())
        .filter_map(|position| Some(vary.listed(position)?.text))
        .collect()
}

#[test]
fn evenly_spaced_values_hold_both_ends_and_are_written_as_a_file_would() {
    let deadbands = vary("path = \"strategy.deadband\"\nfrom = \"0.2 K\"\nto = \"0.8 K\"\nsteps = 4");
    assert_eq!(deadbands, ["0.2 K", "0.4 K", "0.6 K", "0.8 K"]);
    let powers = vary("path = \"heater.heater.power\"\nfrom = \"50 W\"\nto = \"25 W\"\nsteps = 2");
    assert_eq!(powers, ["50 W", "25 W"]);
}

#[test]
fn a_drawn_value_is_put_in_with_the_unit_of_its_distribution() {
    let text = "scenarios = [\"lidded-nano\"]\n[[vary]]\npath = \"water.target\"\n\
        distribution = \"normal\"\nmean = \"77 °F\"\nspread = \"0.1 °F\"";
    let study = study(text).unwrap_or_else(|report| panic!("{}", report.plain()));
    let put = study.vary[0].drawn(77.0).unwrap();
    assert_eq!(put.text, "77 °F");
    let scenario = study.scenarios[0].with(&[put]).unwrap();
    assert!((scenario.water.target_c - 25.0).abs() < 1e-9);
}

#[test]
fn every_mistake_of_a_study_is_found() {
    let text = STUDY
        .replace("\"spare-room-winter\", {", "\"spare-room-wintr\", {")
        .replace("\"proportional\"", "\"proportionate\"")
        .replace("strategy.deadband", "strategy.dedband")
        .replace("\"hot dose used\"", "\"hot dose\"")
        .replace("\"60\"", "\"60 L\"")
        .replace("\"outage\"]", "\"outrage\"]")
        .replace("replicates = 200", "replicates = 0");
    assert_snapshot!(study(&text).unwrap_err().plain());
}

#[test]
fn values_that_cannot_stand_at_a_varied_path_are_refused() {
    for (from, to) in [
        ("\"0.2 K\", \"0.4 K\", \"0.8 K\"", "\"0.2 K\", \"0.4 W\""),
        ("\"0 K\", \"6 K\"", "\"0 K\", \"-6 K\""),
        ("room.temperature.swing", "room.temperature.swung"),
        (
            "under    = \"one contact welded\"",
            "under    = \"feeding pause\"",
        ),
        ("at_most  = \"50 %\"", "at_most  = \"50 K\""),
        ("under    = \"one contact welded\"", "strategy = \"on-of\""),
        (
            "under    = \"one contact welded\"",
            "scenario = \"one bigger heater\"",
        ),
        ("seed       = 7", "reference = \"on-of\""),
        ("seed       = 7", "duration = \"1 s\""),
        ("seed       = 7", "scored_from = \"8 d\""),
        (
            "seed       = 7",
            "enough = { score = \"overshoot\", within = \"0 K\" }",
        ),
        (
            "seed       = 7",
            "enough = { score = \"overshot\", within = \"0.1 K\" }",
        ),
        (
            "no_worse_than_baseline = \"5 %\"",
            "no_worse_than_baseline = \"-5 %\"",
        ),
        (
            "no_worse_than_baseline = \"5 %\"",
            "no_worse_than_baseline = \"5 K\"",
        ),
        ("name = \"narrow\"", "name = \"on-off\""),
        ("name = \"one big heater\"", "name = \"spare-room-winter\""),
    ] {
        assert!(STUDY.contains(from), "{from}");
        let report = study(&STUDY.replacen(from, to, 1)).unwrap_err();
        let lines: Vec<usize> = report
            .problems
            .iter()
            .map(|problem| problem.place.line_and_column().0)
            .collect();
        let changed = STUDY.replacen(from, to, 1);
        let wanted = changed
            .lines()
            .position(|line| line.contains(to))
            .map(|line| line + 1);
        assert!(
            lines.iter().all(|line| Some(*line) == wanted),
            "{to}: {}",
            report.plain()
        );
    }
}

#[test]
fn a_strategy_by_name_has_all_its_defaults() {
    for entry in tepid_strategies::registry() {
        let StrategyFile {
            name,
            strategy: of,
            guards,
            recipe,
            ..
        } = strategy(entry.name).unwrap();
        assert_eq!(
            (name.as_str(), of, recipe.name()),
            (entry.name, entry.name, entry.name)
        );
        assert!(guards.is_empty());
    }
    let report = strategy("on-of").unwrap_err();
    assert_eq!(report.problems[0].nearest.as_deref(), Some("on-off"));
}

#[test]
fn files_refer_to_each_other_from_where_they_stand() {
    let folder = std::env::temp_dir().join(format!("tepid-study-{}", std::process::id()));
    std::fs::create_dir_all(folder.join("deeper")).unwrap();
    let write = |name: &str, text: &str| std::fs::write(folder.join(name), text).unwrap();
    write(
        "deeper/mine.toml",
        "strategy = \"on-off\"\ndeadband = \"0.6 K\"\n",
    );
    write(
        "deeper/big.toml",
        "base = \"../base.toml\"\nset.heater.left.power = \"300 W\"\n",
    );
    write(
        "base.toml",
        "base = \"spare-room-winter\"\nset.heater.right.power = \"50 W\"\n",
    );
    write("circle.toml", "base = \"circle.toml\"\n");
    write(
        "study.toml",
        "scenarios = [\"deeper/big.toml\"]\nstrategies = [\"deeper/mine.toml\"]\n",
    );
    let Ok(Loaded::Study(study)) = tepid_scenarios::load_file(&folder.join("study.toml")) else {
        panic!("the study loads")
    };
    let heaters = &study.scenarios[0].scenario.heaters;
    assert_eq!((heaters[0].power_w, heaters[1].power_w), (300.0, 50.0));
    assert_eq!(
        (
            study.scenarios[0].scenario.name.as_str(),
            study.strategies[0].file.name.as_str()
        ),
        ("big", "mine")
    );
    let report = tepid_scenarios::load_file(&folder.join("circle.toml")).unwrap_err();
    assert_eq!(report.problems[0].code, "base-of-itself");
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn what_adds_up_over_a_run_is_not_judged_under_a_fault() {
    let gate = "scenarios = [\"lidded-nano\"]\n[[gate]]\nscore = \"energy\"\nunder = \"one contact welded\"\nat_most = \"5 kWh\"\n";
    let report = study(gate).unwrap_err();
    assert_eq!(report.problems[0].code, "no-score-under-faults");
    assert!(report.plain().contains("study.toml:4:9"), "{}", report.plain());
}
