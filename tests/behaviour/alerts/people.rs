//! Whom an alert reaches, and who comes.

use tepid_sim::run::{RunRequest, run};
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};

use super::{heard, on_off, tank, told, weld};
use crate::support::{run_with, strategy};

/// A weld makes it alert within hours; whoever comes unplugs the heaters.
const TOO_WARM: &str = r#"
[[watch]]
name  = "too warm"
probe = "main"
above = "27 °C"
acts  = { does = "unplug heaters" }
"#;

/// The weld at midnight: its alert comes in the small hours.
fn alert_ms(people: &str) -> Millis {
    on_off(&tank(&format!("{TOO_WARM}{people}")), &[weld(DAY)])
        .first_alert_ms
        .expect("an alert")
}

const SLEEPS: &str = r#"
[[person]]
name     = "keeper"
quiet    = { from = "22:00", to = "07:00" }
response = { median = "10 min", spread = 1 }
"#;

#[test]
fn an_alert_by_night_waits_for_somebody_who_sleeps() {
    let scores = on_off(&tank(&format!("{TOO_WARM}{SLEEPS}")), &[weld(DAY)]);
    assert!(scores.first_alert_ms.is_some_and(|at_ms| at_ms < DAY + 7 * HOUR));
    assert_eq!(heard(&scores), Some(("keeper", DAY + 7 * HOUR)));
    assert_eq!(scores.acted_ms, Some(DAY + 7 * HOUR + 10 * MINUTE));
}

#[test]
fn an_alert_passed_on_after_fifteen_minutes_reaches_the_sitter() {
    let sitter = "[[person]]\nname = \"sitter\"\nresponse = { median = \"20 min\", spread = 1 }\n";
    let chain = TOO_WARM.to_owned() + "passed_on = \"15 min\"\n";
    let chain = chain.replacen("acts  =", "# ", 1) + "acts = { does = \"unplug heaters\" }\n";
    let scores = on_off(&tank(&format!("{chain}{SLEEPS}{sitter}")), &[weld(DAY)]);
    let at_ms = scores.first_alert_ms.expect("an alert");
    assert_eq!(heard(&scores), Some(("sitter", at_ms + 15 * MINUTE)));
    assert_eq!(scores.acted_ms, Some(at_ms + 35 * MINUTE));
}

#[test]
fn an_alert_is_not_passed_on_while_somebody_is_at_the_tank() {
    let quick = "[[person]]\nname = \"keeper\"\nresponse = { median = \"5 min\", spread = 1 }\n";
    let slow = quick.replace("5 min", "20 min");
    let sitter = "[[person]]\nname = \"sitter\"\nresponse = { median = \"1 h\", spread = 1 }\n";
    let watch = "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\npassed_on = \"15 min\"\nacts = { does = \"unplug heaters\" }\n";
    let with = |keeper: &str| told(&tank(&format!("{watch}{keeper}{sitter}")), &[weld(DAY)]);
    let unplugged = "heaters unplugged by keeper";
    assert_eq!(with(quick), ["heard by keeper", unplugged]);
    assert_eq!(with(&slow), ["heard by keeper", "heard by sitter", unplugged]);
    let at_once = watch.replace("passed_on = \"15 min\"\n", "");
    assert_eq!(
        told(&tank(&format!("{at_once}{quick}{sitter}")), &[weld(DAY)]),
        ["heard by keeper", "heard by sitter", unplugged]
    );
}

#[test]
fn somebody_who_is_away_for_days_acts_when_back() {
    let away = r#"
[[person]]
name     = "keeper"
away     = { from = "day 1 08:00", to = "day 3 20:00" }
response = { median = "10 min", spread = 1 }
"#;
    let scores = on_off(&tank(&format!("{TOO_WARM}{away}")), &[weld(DAY)]);
    assert_eq!(heard(&scores).map(|(_, at_ms)| at_ms), scores.first_alert_ms);
    assert_eq!(scores.acted_ms, Some(2 * DAY + 20 * HOUR));
}

#[test]
fn somebody_at_work_acts_when_home() {
    let works = r#"
[[person]]
name     = "keeper"
at_home  = { from = "17:30", to = "08:00" }
response = { median = "1 h", spread = 1 }
"#;
    let scenario = tank(&format!("{TOO_WARM}{works}"));
    let scores = on_off(&scenario, &[weld(DAY + 6 * HOUR)]);
    let at_ms = scores.first_alert_ms.expect("an alert");
    assert!((DAY + 7 * HOUR..DAY + 17 * HOUR).contains(&at_ms), "{at_ms}");
    assert_eq!(scores.acted_ms, Some(DAY + 17 * HOUR + 30 * MINUTE));
}

#[test]
fn somebody_who_never_answers_at_night_leaves_it_to_the_one_who_does() {
    let people = r#"
[[person]]
name     = "keeper"
response = [{ from = "22:00", to = "08:00", never = true }, { median = "1 min", spread = 1 }]
[[person]]
name     = "sitter"
response = { median = "2 h", spread = 1 }
"#;
    let scores = on_off(&tank(&format!("{TOO_WARM}{people}")), &[weld(DAY)]);
    let at_ms = scores.first_alert_ms.expect("an alert");
    assert!(at_ms < DAY + 8 * HOUR);
    assert_eq!(scores.acted_ms, Some(at_ms + 2 * HOUR));
}

#[test]
fn the_first_who_can_do_it_does_it() {
    let people = r#"
[[person]]
name     = "neighbour"
response = { median = "5 min", spread = 1 }
can      = ["lift the lid"]
[[person]]
name     = "keeper"
response = { median = "3 h", spread = 1 }
"#;
    let scores = on_off(&tank(&format!("{TOO_WARM}{people}")), &[weld(DAY)]);
    assert_eq!(scores.acted_ms, Some(alert_ms(people) + 3 * HOUR));
    assert_eq!(heard(&scores).map(|(who, _)| who), Some("neighbour"));
}

#[test]
fn whoever_comes_when_all_is_well_again_leaves_it_as_it_is() {
    let people = "[[person]]\nname = \"keeper\"\nresponse = { median = \"2 h\", spread = 1 }\n";
    let mut wild = super::fault(
        DAY,
        tepid_sim::scenario::Effect::ProbeReads {
            probe: tepid_sim::ids::ProbeId(0),
            reading_c: 35.0,
        },
    );
    wild.lasts = tepid_sim::scenario::Lasts::For(20 * MINUTE);
    let scores = on_off(&tank(&format!("{TOO_WARM}{people}")), &[wild]);
    assert_eq!((scores.alerts, scores.acted_ms), (1, None));
}

#[test]
fn one_more_person_leaves_the_moods_of_the_others_as_they_were() {
    let keeper = "[[person]]\nname = \"keeper\"\nresponse = { median = \"30 min\", spread = 3 }\n";
    let idle = "[[person]]\nname = \"idle\"\nresponse = { never = true }\n";
    let acted_ms = |people: &str| {
        let scores = on_off(&tank(&format!("{TOO_WARM}{people}")), &[weld(DAY)]);
        scores.acted_ms.expect("acted")
    };
    assert_eq!(acted_ms(keeper), acted_ms(&format!("{idle}{keeper}")));
}

#[test]
fn strategies_meet_the_same_person_in_the_same_mood_and_replicates_another() {
    let people = "[[person]]\nname = \"keeper\"\nresponse = { median = \"30 min\", spread = 3 }\n";
    let scenario = tank(&format!("{TOO_WARM}{people}"));
    let took_ms = |scores: &tepid_sim::scores::Scores| {
        let heard = scores.heard.as_ref().expect("heard");
        scores.acted_ms.expect("acted") - heard.at_ms
    };
    let one = run_with(&scenario, "on-off", &[weld(DAY)]);
    let other = run_with(&scenario, "proportional", &[weld(DAY)]);
    assert_eq!(took_ms(&one), took_ms(&other));
    let recipe = strategy("on-off");
    let faults = [weld(DAY)];
    let next = run(
        &RunRequest {
            faults: &faults,
            replicate: 1,
            ..RunRequest::new(&scenario, recipe.as_ref(), 7)
        },
        None,
    )
    .expect("runs");
    assert_ne!(took_ms(&one), took_ms(&next));
}
