//! What an alert is worth, against how long people take.

use tepid::alerts::by_response;
use tepid_output::records::ResponseWorth;
use tepid_sim::run::RunRequest;
use tepid_sim::scenario::Scenario;
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};

use super::{on_off, tank, weld};
use crate::bad_input::tepid;
use crate::support::strategy;

const TOO_WARM: &str = r#"
[[watch]]
probe = "main"
above = "27 °C"
needs = ["power"]
acts  = { does = "unplug heaters" }
[[person]]
name = "keeper"
"#;

/// What an alert about a weld on day 2 is worth.
fn curve(scenario: &Scenario, responses_ms: &[Millis]) -> Vec<ResponseWorth> {
    let recipe = strategy("on-off");
    let request = RunRequest {
        faults: &[weld(DAY)],
        ..RunRequest::new(scenario, recipe.as_ref(), 7)
    };
    by_response(&request, responses_ms).expect("runs")
}

#[test]
fn an_alert_is_worth_what_its_persons_response_is_worth() {
    let scenario = tank(TOO_WARM);
    let responses_ms = [0, 30 * MINUTE, HOUR, 2 * HOUR, 4 * HOUR, 8 * HOUR, 24 * HOUR];
    let curve = curve(&scenario, &responses_ms);
    assert_eq!(curve.len(), responses_ms.len() + 1);
    assert_eq!(curve[0].acted_h, curve[0].heard_h);
    for pair in curve.windows(2) {
        assert!(pair[0].dose_used <= pair[1].dose_used);
        assert!(pair[0].highest_c <= pair[1].highest_c);
    }
    // At once: hardly any dose. A day later, or never: all of it.
    assert!(curve[0].dose_used < 0.01);
    assert!(curve[6].dose_used >= 1.0);
    let nobody = curve.last().expect("rows");
    assert_eq!((nobody.response_h, nobody.acted_h), (None, None));
    let mut without = scenario.clone();
    without.watches[0].acts.clear();
    let without = on_off(&without, &[weld(DAY)]);
    assert_eq!(nobody.dose_used, without.tanks[0].hot.used);
    // The lead is what is left when somebody hears. An answer after it saves nothing, and one shortly before it neither: hot water stays hot
    // when its heater is off.
    let lead_h = nobody.lead_h.expect("a lead");
    let saved_h = |row: &&ResponseWorth| row.response_h.filter(|_| row.dose_used < 1.0);
    let longest_h = curve.iter().filter_map(|row| saved_h(&row)).fold(0.0, f64::max);
    assert!(longest_h >= 2.0 && longest_h < lead_h, "{longest_h} {lead_h}");
    assert!(
        curve
            .iter()
            .any(|row| row.dose_used >= 1.0 && row.response_h.is_some_and(|h| h < lead_h))
    );
}

#[test]
fn an_alert_is_worth_no_more_than_its_way() {
    let muted = format!("{TOO_WARM}[[event]]\nwhat = \"alerts muted\"\nat = \"day 1 00:00\"\n");
    let scenario = tank(&muted);
    let curve = curve(&scenario, &[0, 8 * HOUR]);
    // However fast people are, they hear nothing.
    assert!(
        curve
            .iter()
            .all(|row| row.heard_h.is_none() && row.dose_used >= 1.0)
    );
}

/// The spare room with one big heater, warm, and an alert on which somebody unplugs it.
const RUN: [&str; 11] = [
    "run",
    "spare-room-one-big-heater",
    "--strategy",
    "on-off",
    "--fault",
    "one contact welded",
    "--by-response",
    "--set",
    "watch.too warm.acts={ does = \"unplug heaters\" }",
    "--set",
    "room.temperature.points=[[\"0 h\", \"24 °C\"]]",
];

fn told(format: &str) -> String {
    let (code, out, error) = tepid(&[], &[&RUN[..], &["--format", format]].concat());
    assert_eq!(code, 0, "{error}");
    out
}

#[test]
fn the_command_shows_what_an_alert_is_worth_in_every_format() {
    let table = told("table");
    assert!(
        table.contains("People take") && table.contains("no answer"),
        "{table}"
    );
    assert!(table.contains("Cautions") && table.lines().all(|line| line.chars().count() <= 100));
    let json: serde_json::Value = serde_json::from_str(&told("json")).expect("json");
    assert_eq!(json["format"], "tepid-response-curve");
    let rows = json["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), tepid::alerts::RESPONSES_MS.len() + 1);
    let dose = |row: &serde_json::Value| row["dose_used"].as_f64().expect("dose");
    assert!(rows.windows(2).all(|two| dose(&two[0]) <= dose(&two[1])));
    assert!(dose(&rows[0]) < 0.1 && dose(&rows[9]) >= 1.0);
    assert!(rows[9]["response_h"].is_null() && rows[9]["acted_h"].is_null());
    let csv = told("csv");
    let lines: Vec<&str> = csv.lines().collect();
    assert_eq!(lines.len(), rows.len() + 1);
    assert!(lines[0].starts_with("response_h,heard_h,acted_h,highest_c"));
    assert!(
        lines[10].starts_with(','),
        "nobody's response is no figure: {}",
        lines[10]
    );
}

#[test]
fn a_heater_unplugged_and_forgotten_in_a_cold_room_ends_in_the_dose_of_cold_and_the_table_says_so() {
    let in_the_cold = &RUN[..9];
    let (code, out, error) = tepid(&[], in_the_cold);
    assert_eq!(code, 0, "{error}");
    let row = |starts: &str| out.lines().find(|line| line.starts_with(starts)).expect("a row");
    assert!(row("0 min").contains("> 10, cold"), "{out}");
    assert!(!row("no answer").contains("cold"), "{out}");
}

#[test]
fn an_alert_on_which_nobody_acts_has_no_curve() {
    let arguments = ["run", "garage-outage", "--strategy", "on-off", "--by-response"];
    let (code, out, error) = tepid(&[], &arguments);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(
        error.contains("nobody acts on an alert") && error.contains("acts = {"),
        "{error}"
    );
}

/// Alerts of a real failure are no nuisance, and whoever reads how many got out is told so; a quiet week says nothing.
#[test]
fn alerts_of_a_failure_are_told_to_be_no_nuisance() {
    let nuisance = |fault: &[&str]| {
        let asked: Vec<&str> = ["run", "spare-room-winter", "--strategy", "on-off"]
            .iter()
            .chain(fault)
            .copied()
            .collect();
        let (code, said, _) = crate::bad_input::tepid(&[], &asked);
        assert_eq!(code, 0);
        let line = said
            .lines()
            .find(|line| line.starts_with("Nuisance alerts"))
            .map(str::to_owned);
        line.map(|line| line.split_whitespace().skip(2).collect::<Vec<_>>().join(" "))
    };
    assert_eq!(
        nuisance(&["--fault", "heaters left unplugged"]).as_deref(),
        Some("none")
    );
    assert_eq!(nuisance(&[]), None);
}
