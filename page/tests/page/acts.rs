use tepid_page::OwnFile;
use tepid_page::acts::ActKind;

use crate::{act, column, column_of_tallies, highest, lowest, plain, played};

const DAY_MIN: usize = 24 * 60;

#[test]
fn a_welded_relay_without_a_second_contact_overheats_the_tank_and_undoing_it_brings_it_back() {
    let mut setup = plain("spare-room-one-big-heater", "on-off");
    let healthy = played(&setup);
    setup.acts = vec![act(ActKind::Weld, "relay", 60, None)];
    let welded = played(&setup);
    setup.acts[0].to_min = Some(60 + 600);
    let undone = played(&setup);
    let water = |of: &tepid_page::Played| column(&of.runs[0], "water display");
    assert!(highest(&water(&healthy)) < 26.0);
    assert!(highest(&water(&welded)) > 28.5, "{}", highest(&water(&welded)));
    assert!(welded.runs[0].used_up_ms.is_some());
    let reached = &welded.runs[0].reached;
    assert!(reached[0].hot && reached[0].temp_c == 28.5 && reached[0].at_ms > 60 * 60_000);
    let first_minute = reached[0].at_ms as usize / 60_000;
    let around = &water(&welded)[first_minute..first_minute + 2];
    assert!(around[0] <= 28.5 && around[1] >= 28.5, "{around:?}");
    assert!(healthy.runs[0].reached.is_empty());
    let after_undo = &water(&undone)[3 * DAY_MIN..];
    assert!(highest(after_undo) < 26.0, "{}", highest(after_undo));
}

#[test]
fn what_nobody_has_done_yet_changes_nothing() {
    let mut setup = plain("spare-room-winter", "lead-lag");
    let healthy = played(&setup);
    for (what, of) in [
        (ActKind::Weld, "relay left"),
        (ActKind::KillHeater, "right"),
        (ActKind::StopPump, "return"),
        (ActKind::CutPower, ""),
        (ActKind::OpenWindow, ""),
    ] {
        setup.acts = vec![act(what, of, 3000, Some(3600))];
        let struck = played(&setup);
        let width = healthy.runs[0].course.columns.len();
        let before = 3000 * width;
        let bits = |of: &tepid_page::Played| {
            let values = &of.runs[0].course.values;
            values.iter().map(|value| value.to_bits()).collect::<Vec<_>>()
        };
        assert_eq!(bits(&healthy)[..before], bits(&struck)[..before], "{what:?}");
        assert_ne!(bits(&healthy)[before..], bits(&struck)[before..], "{what:?}");
    }
}

#[test]
fn every_act_does_what_it_says() {
    let mut setup = plain("spare-room-winter", "on-off");
    let from = 3000;
    let mut after = |what, of: &str, name: &str| {
        setup.acts = vec![act(what, of, from, Some(from + 300))];
        let struck = played(&setup);
        column(&struck.runs[0], name)[from as usize + 1..from as usize + 300].to_vec()
    };
    assert_eq!(
        lowest(&after(ActKind::Weld, "relay left", "contact relay left")),
        1.0
    );
    assert_eq!(highest(&after(ActKind::KillHeater, "left", "heater left")), 0.0);
    assert_eq!(highest(&after(ActKind::StopPump, "return", "pump return")), 0.0);
    assert_eq!(highest(&after(ActKind::CutPower, "", "heater right")), 0.0);
    assert_eq!(highest(&after(ActKind::CutPower, "", "pump stream")), 0.0);
    assert!(highest(&after(ActKind::OpenWindow, "", "room")) < 15.0);
    // A probe in the air of a cold room reads the room, and the strategy heats.
    assert!(lowest(&after(ActKind::PullProbe, "main", "probe main")) < 20.0);
}

#[test]
fn everything_that_can_be_done_in_any_scenario_can_be_run() {
    for name in tepid_scenarios::library::names() {
        let mut setup = plain(name, "on-off");
        let scenario = setup.untouched().expect("of the library");
        if scenario.system_tanks().len() > 1 || scenario.duration_ms > 10 * 86_400_000 {
            continue;
        }
        setup.acts = ActKind::ALL
            .into_iter()
            .flat_map(|what| {
                what.targets(&scenario)
                    .into_iter()
                    .map(move |of| act(what, &of, 60, Some(90)))
            })
            .collect();
        assert!(setup.acts.len() > 4, "{name}");
        played(&setup);
    }
}

#[test]
fn what_the_scenario_itself_does_is_told_like_an_act() {
    let outage = played(&plain("garage-outage", "on-off"));
    let told = outage.runs[0]
        .happened
        .iter()
        .find(|one| one.what == Some(ActKind::CutPower));
    let told = told.expect("the scenario's own outage");
    let minute = |at_ms: i64| usize::try_from(at_ms / 60_000).expect("after time zero");
    let (from, to) = (minute(told.from_ms), minute(told.to_ms.expect("it ends")));
    let drawn = column(&outage.runs[0], "heater left");
    assert_eq!(highest(&drawn[from + 1..to]), 0.0);
    let mut setup = plain("spare-room-winter", "on-off");
    setup.acts = vec![act(ActKind::Weld, "dial left", 100, Some(200))];
    let welded = played(&setup);
    let told = welded.runs[0]
        .happened
        .iter()
        .find(|one| one.what == Some(ActKind::Weld))
        .expect("a weld");
    assert_eq!(
        (told.of[0].as_str(), minute(told.from_ms), told.to_ms.map(minute)),
        ("dial left", 100, Some(200))
    );
}

#[test]
fn every_alert_that_is_counted_says_what_it_is() {
    let mut setup = plain("year-round", "on-off");
    setup.acts = vec![act(ActKind::Weld, "relay left", 60, None)];
    let run = &played(&setup).runs[0];
    let counted = column_of_tallies(run, "alerts");
    assert!(!run.alerts.is_empty());
    assert_eq!(run.alerts.len() as f64, *counted.last().expect("scores"));
    assert!(
        run.alerts.iter().any(|alert| alert.name == "too warm"),
        "{:?}",
        run.alerts
    );
    assert!(run.alerts.is_sorted_by_key(|alert| alert.at_ms));
}

/// The page then says "already there at the start" in place of a time.
#[test]
fn a_line_that_is_passed_from_the_start_is_reached_in_the_first_minute() {
    let mut setup = plain("warm.toml", "heater-dial");
    setup.files = vec![OwnFile {
        name: "warm.toml".to_owned(),
        text: "base = \"warm-room-fan\"\ntitle = \"Warm\"\n[set]\n\"livestock.danger_hot\" = [[\"26.5 °C\", \"3 d\"], [\"31 °C\", \"1 h\"]]\n"
            .to_owned(),
    }];
    let run = &played(&setup).runs[0];
    assert!(column(run, "water tank")[0] > 26.5);
    assert_eq!(run.reached[0].temp_c, 26.5);
    assert!(run.reached[0].at_ms < 60_000, "{:?}", run.reached);
}
