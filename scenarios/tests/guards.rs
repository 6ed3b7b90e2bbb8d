//! Guards in strategy files and in a study's inline strategies.

use insta::assert_snapshot;
use tepid_scenarios::{Loaded, Report, StrategyFile, load_str};

fn strategy(text: &str) -> StrategyFile {
    match load_str("mine.toml", text) {
        Ok(Loaded::Strategy(file)) => file,
        Ok(_) => panic!("no strategy"),
        Err(report) => panic!("{}", report.plain()),
    }
}

fn report(text: &str) -> Report {
    load_str("mine.toml", text).expect_err("mistakes")
}

const LIMITED: &str = r#"strategy = "on-off"
deadband = "0.4 K"
[[guard]]
guard = "software-limit"
opens_above = "27 °C"
[[guard]]
guard = "longest-on"
longest_on = "2 h"
"#;

#[test]
fn a_strategy_file_holds_guards_from_the_inside_out() {
    let file = strategy(LIMITED);
    assert_eq!((file.name.as_str(), file.strategy), ("mine", "on-off"));
    assert_eq!(file.guards, ["software-limit", "longest-on"]);
    assert_snapshot!(file.recipe.settings());
}

#[test]
fn temperatures_of_guards_are_read_in_either_unit() {
    let us = strategy(&LIMITED.replace("27 °C", "80.6 °F"));
    assert_eq!(us.recipe.settings(), strategy(LIMITED).recipe.settings());
}

#[test]
fn an_inline_strategy_is_called_by_its_guards_too() {
    let text = r#"
scenarios  = ["spare-room-winter"]
strategies = ["on-off", { strategy = "on-off", guard = [{ guard = "software-limit" }, { guard = "hold-off" }] }]
"#;
    match load_str("study.toml", text) {
        Ok(Loaded::Study(study)) => {
            let names: Vec<&str> = study
                .strategies
                .iter()
                .map(|strategy| strategy.file.name.as_str())
                .collect();
            assert_eq!(names, ["on-off", "on-off with software-limit, hold-off"]);
        }
        Ok(_) => panic!("no study"),
        Err(report) => panic!("{}", report.plain()),
    }
}

#[test]
fn an_unknown_guard_shows_the_nearest() {
    assert_snapshot!(report("strategy = \"on-off\"\n[[guard]]\nguard = \"sofware-limit\"\n").plain());
}

#[test]
fn every_mistake_in_strategy_and_guards_is_told_at_once() {
    assert_snapshot!(
        report(
            r#"strategy = "on-off"
deadbnd = "0.4 K"
[[guard]]
guard = "software-limit"
opens_abov = "27 °C"
[[guard]]
opens_above = "27 °C"
[[guard]]
guard = "software-limit"
opens_above = "26 °C"
closes_below = "27 °C"
[[guard]]
guard = "rate-of-rise"
least = "25 °C"
[[guard]]
guard = "longest-on"
longest_on = "2"
"#
        )
        .plain()
    );
}

#[test]
fn an_unknown_strategy_does_not_hide_the_mistakes_of_its_guards() {
    let report = report("strategy = \"on-of\"\n[[guard]]\nguard = \"hold-of\"\n");
    let nearest: Vec<_> = report
        .problems
        .iter()
        .map(|problem| problem.nearest.as_deref())
        .collect();
    assert_eq!(nearest, [Some("on-off"), Some("hold-off")]);
}

#[test]
fn one_guard_needs_its_own_header_or_a_list() {
    assert_snapshot!(report("strategy = \"on-off\"\nguard = \"software-limit\"\n").plain());
}
