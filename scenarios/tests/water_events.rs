//! Water changes, leaks and failing top-offs: as events of a file and as built-in sets.

use approx::assert_relative_eq;
use tepid_scenarios::{Loaded, Report, fault_set, fault_sets, library, load_str};
use tepid_sim::ids::{ProbeId, PumpId, TankId};
use tepid_sim::physics::water::density_kg_per_m3;
use tepid_sim::scenario::{Effect, Lasts, Origin, Scenario, When};
use tepid_sim::time::HOUR;

/// 100 L of water: 50 × 50 × 40 cm.
const TANK: &str = r#"
title = "one tank"
duration = "4 d"
[water]
target = "25 °C"
[room]
temperature = "20 °C"
[[tank]]
name = "tank"
inside = ["50 cm", "50 cm", "50 cm"]
water_height = "40 cm"
"#;

fn load_text(text: &str) -> Result<Scenario, Report> {
    load_str("test.toml", text).map(|loaded| match loaded {
        Loaded::Scenario(scenario) => *scenario,
        other => panic!("{other:?}"),
    })
}

fn effect(event: &str) -> Effect {
    let text = format!("{TANK}[[event]]\nat = \"day 2\"\n{event}\n");
    load_text(&text)
        .unwrap_or_else(|report| panic!("{}", report.plain()))
        .happenings[0]
        .effect
}

fn refusal(event: &str) -> (&'static str, String) {
    let text = format!("{TANK}[[event]]\nat = \"day 2\"\n{event}\n");
    let report = load_text(&text).expect_err("it is refused");
    assert_eq!(report.problems.len(), 1, "{}", report.plain());
    (report.problems[0].code, report.plain())
}

#[test]
fn a_water_change_brings_water_as_wanted_unless_it_says_otherwise() {
    assert_eq!(
        effect("what = \"water change\"\nshare = \"20 %\"\nlasts = \"1 h\""),
        Effect::WaterChange {
            tank: TankId(0),
            share_frac: 0.2,
            temp_c: 25.0,
            salinity_g_per_kg: 0.0
        }
    );
    assert_eq!(
        effect(
            "what = \"water change\"\nshare = \"50 %\"\ntemperature = \"59 °F\"\nsalinity = \"3 g/kg\"\nlasts = \"1 h\""
        ),
        Effect::WaterChange {
            tank: TankId(0),
            share_frac: 0.5,
            temp_c: 15.0,
            salinity_g_per_kg: 3.0
        }
    );
}

#[test]
fn a_leak_and_a_stuck_top_off_are_flows_of_mass() {
    let Effect::Leak {
        rate_kg_per_s,
        height_m,
        ..
    } = effect("what = \"leak\"\nrate = \"3.6 L/h\"\nheight = \"10 cm\"")
    else {
        panic!("a leak")
    };
    // 1 mL/s of fresh water at 25 °C.
    assert_relative_eq!(rate_kg_per_s, 0.997_05e-3, max_relative = 1e-4);
    assert_eq!(height_m, 0.1);
    let Effect::TopOffStuckOn { rate_kg_per_s } = effect("what = \"top-off stuck on\"\nrate = \"36 L/h\"")
    else {
        panic!("a stuck top-off")
    };
    assert_relative_eq!(rate_kg_per_s, 0.997_05e-2, max_relative = 1e-4);
    assert_eq!(effect("what = \"top-off stopped\""), Effect::TopOffStopped);
}

#[test]
fn a_top_off_pumps_a_tenth_of_all_water_an_hour_unless_its_file_says_otherwise() {
    let top_off = |text: &str| load_text(&format!("{TANK}{text}")).unwrap().top_off.unwrap();
    // 100 L of fresh water at 25 °C are 99.705 kg.
    let usual = top_off("");
    assert_relative_eq!(usual.rate_kg_per_s, 9.970_5 / 3600.0, max_relative = 1e-4);
    assert_eq!(usual.reservoir_kg, None);
    let stated = top_off("[top_off]\nrate = \"2 L/h\"\nreservoir = \"10 L\"\n");
    assert_relative_eq!(stated.rate_kg_per_s, 1.994_1 / 3600.0, max_relative = 1e-4);
    assert_relative_eq!(stated.reservoir_kg.unwrap(), 9.970_5, max_relative = 1e-4);
    let nothing = load_text(&format!("{TANK}[top_off]\nrate = \"0 L/h\"\n")).unwrap_err();
    assert_eq!(nothing.problems[0].code, "out-of-range");
}

#[test]
fn happenings_with_water_that_make_no_sense_are_refused() {
    for (event, code) in [
        ("what = \"water change\"\nlasts = \"1 h\"", "missing-field"),
        ("what = \"water change\"\nshare = \"20 %\"", "missing-field"),
        (
            "what = \"water change\"\nshare = \"100 %\"\nlasts = \"1 h\"",
            "out-of-range",
        ),
        ("what = \"leak\"", "missing-field"),
        (
            "what = \"leak\"\nrate = \"1 L/h\"\nheight = \"40 cm\"",
            "out-of-range",
        ),
        (
            "what = \"leak\"\nrate = \"1 L/h\"\nshare = \"10 %\"",
            "field-not-used",
        ),
        ("what = \"top-off stuck on\"", "missing-field"),
        ("what = \"outage\"\nrate = \"1 L/h\"", "field-not-used"),
        ("what = \"room heating off\"", "no-room-device"),
        ("what = \"room cooling stuck on\"", "no-room-device"),
    ] {
        let (found, plain) = refusal(event);
        assert_eq!(found, code, "{plain}");
    }
    let nobody = format!("top_off = \"none\"\n{TANK}[[event]]\nat = \"day 2\"\nwhat = \"top-off stopped\"\n");
    assert_eq!(load_text(&nobody).unwrap_err().problems[0].code, "no-top-off");
}

#[test]
fn the_built_in_water_faults_scale_with_the_tank() {
    let scenario = load_text(TANK).unwrap();
    let only = |set: &str| {
        let cases = fault_set(&scenario, set).unwrap().cases;
        assert_eq!(cases.len(), 1, "{set}");
        assert_eq!(
            (cases[0].fault.when, cases[0].fault.origin),
            (When::WorstPhase, Origin::Fault)
        );
        cases[0].clone()
    };
    let litre_kg = density_kg_per_m3(0.0, 25.0) / 1e3;
    let leak = only("leak");
    assert_eq!(leak.fault.name, "leak in tank");
    let Effect::Leak {
        rate_kg_per_s,
        height_m,
        ..
    } = leak.fault.effect
    else {
        panic!("{leak:?}")
    };
    // 5 L an hour of 100 L, down to 10 of 40 cm.
    assert_relative_eq!(rate_kg_per_s * 3600.0, 5.0 * litre_kg, max_relative = 1e-12);
    assert_relative_eq!(height_m, 0.1, max_relative = 1e-12);
    let stuck = only("top-off stuck on");
    let Effect::TopOffStuckOn { rate_kg_per_s } = stuck.fault.effect else {
        panic!("{stuck:?}")
    };
    assert_relative_eq!(rate_kg_per_s * 3600.0, 10.0 * litre_kg, max_relative = 1e-12);
    assert_eq!(stuck.fault.lasts, Lasts::For(HOUR));
    let change = only("cold water change");
    assert_eq!(change.fault.name, "cold water change in tank");
    assert_eq!(
        (change.fault.effect, change.fault.lasts),
        (
            Effect::WaterChange {
                tank: TankId(0),
                share_frac: 0.25,
                temp_c: 15.0,
                salinity_g_per_kg: 0.0
            },
            Lasts::For(HOUR)
        )
    );
    let stopped = only("top-off stopped");
    assert_eq!(
        (stopped.fault.effect, stopped.fault.lasts),
        (Effect::TopOffStopped, Lasts::ToTheEnd)
    );
}

#[test]
fn a_set_strikes_only_what_is_there() {
    let bare = load_text(&format!("top_off = \"none\"\n{TANK}")).unwrap();
    for set in [
        "top-off stopped",
        "top-off stuck on",
        "room heating off",
        "probe silent",
        "pump stopped",
    ] {
        assert_eq!(fault_set(&bare, set).unwrap().cases, [], "{set}");
    }
    let reef = library::load("spare-room-winter").unwrap().unwrap();
    let stopped = fault_set(&reef, "pump stopped").unwrap().cases;
    assert_eq!(stopped.len(), reef.pumps.len());
    assert_eq!(
        (stopped[0].fault.effect, stopped[0].fault.lasts),
        (Effect::PumpStopped(PumpId(0)), Lasts::ToTheEnd)
    );
    let silent = fault_set(&reef, "probe silent").unwrap().cases;
    assert_eq!(silent[0].fault.effect, Effect::ProbeSilent(ProbeId(0)));
}

#[test]
fn every_case_of_every_library_scenario_has_a_name_of_its_own() {
    for name in library::names() {
        let scenario = library::load(name).unwrap().unwrap();
        for set in fault_sets(&scenario) {
            // A feeding pause stops pumps one after another under one name.
            if set.name == "feeding pause" {
                continue;
            }
            let mut names: Vec<&str> = set.cases.iter().map(|case| case.fault.name.as_str()).collect();
            let count = names.len();
            names.sort_unstable();
            names.dedup();
            assert_eq!(names.len(), count, "{name}: {}", set.name);
        }
    }
}

#[test]
fn a_water_change_of_less_than_a_minute_is_refused_once_and_so_is_a_length_without_unit() {
    let change = |lasts: &str| format!("what = \"water change\"\nshare = \"20 %\"\nlasts = \"{lasts}\"");
    let (code, text) = refusal(&change("30 s"));
    assert_eq!(code, "out-of-range");
    assert!(text.contains("1 min or more"), "{text}");
    let (_, text) = refusal(&change("20"));
    assert!(text.contains("lasts"), "{text}");
}
