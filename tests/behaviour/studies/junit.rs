//! What a CI service reads.

use super::{SMALL, compared, folder_with};

#[test]
fn the_report_for_ci_is_read_back_with_one_case_per_scenario_and_fault_and_the_way_to_see_a_failure() {
    let gate = "[[gate]]\nscore = \"hot dose used\"\nunder = \"one contact welded\"\nat_most = \"50 %\"\n";
    let folder = folder_with(&format!("{SMALL}{gate}"));
    let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!(code, 1, "{error}");
    let text = std::fs::read_to_string(folder.path().join("kept/junit.xml")).expect("junit.xml");
    let report = quick_junit::Report::deserialize_from_str(&text).expect("JUnit");
    assert_eq!((report.tests, report.failures, report.errors), (2, 1, 0));
    let cases: Vec<_> = report
        .test_suites
        .iter()
        .flat_map(|suite| &suite.test_cases)
        .collect();
    assert!(cases.iter().all(|case| {
        case.classname
            .as_ref()
            .is_some_and(|name| name.as_str() == "lidded-nano")
    }));
    let failed = cases
        .iter()
        .find_map(|case| match &case.status {
            quick_junit::TestCaseStatus::NonSuccess { message, .. } => message.as_ref(),
            _ => None,
        })
        .expect("a failure");
    for part in [
        "hot dose used",
        "at most 0.50",
        "tepid run study.toml --cell 'lidded-nano / on-off / plug-in relay welded / ",
    ] {
        assert!(failed.as_str().contains(part), "`{part}` is not in: {failed:?}");
    }
}

#[test]
fn the_projects_own_study_over_the_library_plans_and_has_a_baseline_for_every_group() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let loaded = tepid_scenarios::load_file(&root.join("examples/studies/library.toml"));
    let tepid_scenarios::Loaded::Study(study) = loaded.unwrap_or_else(|report| panic!("{}", report.plain()))
    else {
        panic!("not a study");
    };
    let names: Vec<&str> = study
        .scenarios
        .iter()
        .map(|entry| entry.scenario.name.as_str())
        .collect();
    for name in tepid_scenarios::library::names() {
        assert!(
            names.contains(&name),
            "{name} is not in examples/studies/library.toml"
        );
    }
    let plan = tepid::study::Plan::new(*study).expect("plans");
    let baseline =
        std::fs::read_to_string(root.join("examples/studies/library-baseline.json")).expect("baseline");
    for pair in &plan.pairs {
        let (scenario, strategy) = (
            &plan.scenarios[pair.scenario].name,
            &plan.strategies[pair.strategy].name,
        );
        assert!(
            baseline.contains(&format!("\"{scenario} / {strategy} / none: none\"")),
            "{scenario} / {strategy}"
        );
    }
}
