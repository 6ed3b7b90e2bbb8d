//! What an alert is worth, against how long people take.

use tepid::alerts::by_response;
use tepid_sim::time::{DAY, HOUR, MINUTE};

use super::{on_off, tank, weld};
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

#[test]
fn an_alert_is_worth_what_its_persons_response_is_worth() {
    let scenario = tank(TOO_WARM);
    let recipe = strategy("on-off");
    let responses_ms = [0, 30 * MINUTE, HOUR, 2 * HOUR, 4 * HOUR, 8 * HOUR, 24 * HOUR];
    let curve = by_response(&scenario, recipe.as_ref(), &[weld(DAY)], &responses_ms, 7).expect("runs");
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
    let saved_h = |row: &&tepid::alerts::ResponseWorth| row.response_h.filter(|_| row.dose_used < 1.0);
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
    let recipe = strategy("on-off");
    let curve = by_response(&scenario, recipe.as_ref(), &[weld(DAY)], &[0, 8 * HOUR], 7).expect("runs");
    // However fast people are, they hear nothing.
    assert!(
        curve
            .iter()
            .all(|row| row.heard_h.is_none() && row.dose_used >= 1.0)
    );
}
