//! Who was warned of the worst fault, in comparisons.

use crate::examples::{block, harmful_weld, healthy, of_block, row};
use tepid_output::json::json;
use tepid_output::records::{FaultOutcome, ScenarioBlock};
use tepid_output::wording::Units;
use tepid_output::{csv_text, table};

fn heard(by: &str, heard_h: f64) -> FaultOutcome {
    FaultOutcome {
        first_alert_h: Some(2.1),
        heard_h: Some(heard_h),
        heard_by: Some(by.to_owned()),
        ..harmful_weld(9.0)
    }
}

/// Two strategies that meet these.
fn with_alerts(outcomes: [FaultOutcome; 2], somebody_acts: bool) -> ScenarioBlock {
    let names = ["on-off", "pi"].into_iter();
    let rows = names.zip(outcomes);
    let rows = rows.map(|(name, outcome)| row(name, healthy(0.1, 0.2, 11.0), vec![outcome]));
    ScenarioBlock {
        has_alerts: true,
        somebody_acts,
        ..block(rows.collect())
    }
}

fn told(block: ScenarioBlock) -> String {
    let text = table::comparison(&of_block(block), Units::Metric);
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_comparison_tells_the_first_alert_and_who_heard_of_the_worst_fault() {
    let both = [heard("sitter", 2.4), heard("keeper", 3.0)];
    let text = told(with_alerts(both.clone(), false));
    assert!(
        text.contains("; first alert after 2.1 h, keeper or sitter hears after 2.4 to 3 h"),
        "{text}"
    );
    assert!(!text.contains("nobody acts"), "nobody could: {text}");
    assert!(told(with_alerts(both, true)).contains("hears after 2.4 to 3 h, nobody acts"));
    let acted = FaultOutcome {
        acted_h: Some(4.5),
        ..heard("keeper", 3.0)
    };
    assert!(
        told(with_alerts([acted.clone(), acted], true))
            .contains("keeper hears after 3 h, somebody acts after 4.5 h")
    );
}

#[test]
fn an_alert_that_does_not_get_out_or_that_nobody_hears_is_told_as_that() {
    let mute = || harmful_weld(9.0);
    assert!(told(with_alerts([mute(), mute()], true)).contains("; no alert gets out"));
    let unheard = || FaultOutcome {
        first_alert_h: Some(2.1),
        ..harmful_weld(9.0)
    };
    assert!(
        told(with_alerts([unheard(), unheard()], true))
            .contains("first alert after 2.1 h, nobody hears, nobody acts")
    );
    // What went differently is told apart.
    let apart = told(with_alerts([mute(), heard("keeper", 3.0)], false));
    assert!(
        apart.contains("no alert gets out") && apart.contains("keeper hears after 3 h"),
        "{apart}"
    );
    // A scenario without alerts says nothing of them.
    let none = ScenarioBlock {
        has_alerts: false,
        ..with_alerts([mute(), mute()], false)
    };
    assert!(!told(none).contains("alert"));
}

#[test]
fn json_and_csv_name_them_and_leave_out_what_did_not_happen() {
    let record = of_block(with_alerts([heard("sitter", 2.4), harmful_weld(9.0)], false));
    let text = json(&record).expect("json");
    for part in [
        "\"has_alerts\": true",
        "\"first_alert_h\": 2.1",
        "\"heard_by\": \"sitter\"",
        "\"acted_h\": null",
    ] {
        assert!(text.contains(part), "{part}");
    }
    let lines = csv_text::comparison(&record).expect("csv");
    let lines: Vec<&str> = lines.lines().collect();
    assert!(lines[0].contains("first_alert_h,heard_h,heard_by,acted_h,warning_lead_h"));
    assert!(lines[2].contains(",2.1,2.4,sitter,,"), "{}", lines[2]);
}
