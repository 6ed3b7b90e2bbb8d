//! What the product exists to teach, as facts about the world.

use crate::support::{run_with, scenario, scenario_of, worst};
use tepid_sim::ids::{ContactId, HeaterId, ProbeId};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Scenario, When};
use tepid_sim::time::HOUR;

/// 200 L in a warm room with one strong heater behind a relay, and whatever else is put into its chain.
fn tank_with(chain: &str, contacts: &str) -> Scenario {
    scenario_of(&format!(
        r#"
title = "One heater"
duration = "4 d"
warm_up = "12 h"
[water]
salinity = "35 g/kg"
target = "25.5 °C"
band = ["25.0 °C", "26.0 °C"]
[livestock]
kind = "reef"
source = "common practice, no source"
used_to = "25.5 °C"
danger_hot = [["28.5 °C", "3 d"], ["30 °C", "12 h"]]
danger_cold = [["22 °C", "2 d"], ["20 °C", "12 h"]]
[[tank]]
name = "display"
inside = ["100 cm", "50 cm", "50 cm"]
water_height = "40 cm"
pane = {{ material = "glass", thickness = "10 mm" }}
cover = "open"
livestock = true
[room]
temperature = "23 °C"
humidity = "55 %"
[[heater]]
name = "main"
power = "400 W"
tank = "display"
chain = [{chain}]
[[contact]]
name = "relay"
kind = "relay"
role = "heat"
{contacts}
[[probe]]
name = "main"
tank = "display"
for = "control"
lag = "30 s"
"#
    ))
}

const CUT_OUT: &str = r#"
[[contact]]
name = "cut-out"
kind = "cut-out"
opens_above = "27.5 °C"
closes_below = "26.5 °C"
bulb = "display"
lag = "60 s"
"#;

fn fault(name: &str, effect: Effect) -> Happening {
    Happening {
        name: name.to_owned(),
        when: When::At(6 * HOUR),
        lasts: Lasts::ToTheEnd,
        effect,
        origin: Origin::Fault,
    }
}

#[test]
fn a_welded_relay_alone_takes_a_strong_heater_past_the_danger_line() {
    let scores = run_with(
        &tank_with("\"relay\"", ""),
        "on-off",
        &[fault("weld", Effect::ContactWelded(ContactId(0)))],
    );
    assert!(worst(&scores).highest_c > 30.0);
    assert!(worst(&scores).hot.used >= 1.0);
}

#[test]
fn a_welded_relay_behind_an_independent_cut_out_never_passes_the_danger_line() {
    let scenario = tank_with("\"cut-out\", \"relay\"", CUT_OUT);
    let scores = run_with(
        &scenario,
        "on-off",
        &[fault("weld", Effect::ContactWelded(ContactId(0)))],
    );
    assert!(worst(&scores).highest_c < 28.0, "{}", worst(&scores).highest_c);
    assert_eq!(worst(&scores).hot.used, 0.0);
    // It opened, and stays open until somebody resets it by hand.
    let cut_out = &scores.contacts[1];
    assert!(
        cut_out.closed_frac < 0.5 && cut_out.closings == 0,
        "{} of the time closed",
        cut_out.closed_frac
    );
    assert!(worst(&scores).end_c < 25.0);
}

#[test]
fn a_weld_at_the_next_opening_keeps_the_contact_closed_for_good() {
    let weld = Happening {
        when: When::Opening {
            contact: ContactId(0),
            nth: 2,
            from_ms: 0,
        },
        ..fault("weld", Effect::ContactWelded(ContactId(0)))
    };
    let scores = run_with(&tank_with("\"relay\"", ""), "on-off", &[weld]);
    let relay = &scores.contacts[0];
    assert!(relay.closings <= 2, "{} closings", relay.closings);
    assert!(relay.closed_frac > 0.8);
}

#[test]
fn a_dead_heater_leaves_the_tank_to_the_room() {
    let scores = run_with(
        &tank_with("\"relay\"", ""),
        "on-off",
        &[fault("dead", Effect::HeaterDead(HeaterId(0)))],
    );
    let tank = worst(&scores);
    assert!(tank.end_c < 23.5 && tank.end_c > 21.5, "{}", tank.end_c);
}

#[test]
fn a_probe_out_of_the_water_heats_without_end() {
    let scores = run_with(
        &tank_with("\"relay\"", ""),
        "on-off",
        &[fault("probe", Effect::ProbeOutOfWater(ProbeId(0)))],
    );
    assert!(worst(&scores).highest_c > 30.0);
}

#[test]
fn a_silent_probe_switches_the_heater_off() {
    let scores = run_with(
        &tank_with("\"relay\"", ""),
        "on-off",
        &[fault("probe", Effect::ProbeSilent(ProbeId(0)))],
    );
    assert!(worst(&scores).end_c < 24.0);
    assert!(worst(&scores).highest_c < 26.0);
}

#[test]
fn without_power_nothing_heats_not_even_a_welded_contact() {
    let weld = fault("weld", Effect::ContactWelded(ContactId(0)));
    let outage = fault("outage", Effect::PowerOut);
    let scores = run_with(&tank_with("\"relay\"", ""), "on-off", &[weld, outage]);
    assert!(worst(&scores).highest_c < 26.0);
    assert!(scores.heaters[0].on_frac < 0.1);
}

#[test]
fn a_dial_four_kelvin_off_lets_a_weld_four_kelvin_further() {
    let dial = r#"
[[contact]]
name = "dial"
kind = "thermostat"
opens_above = "27.0 °C"
"#;
    let scenario = tank_with("\"relay\", \"dial\"", dial);
    let weld = fault("weld", Effect::ContactWelded(ContactId(0)));
    let off = fault(
        "dial",
        Effect::DialOff {
            contact: ContactId(1),
            by_k: 4.0,
        },
    );
    let right = run_with(&scenario, "on-off", std::slice::from_ref(&weld));
    let wrong = run_with(&scenario, "on-off", &[weld, off]);
    let further = worst(&wrong).highest_c - worst(&right).highest_c;
    assert!((further - 4.0).abs() < 0.1, "{further}");
}

#[test]
fn stopping_the_return_pump_leaves_the_display_to_cool_while_the_sump_heats() {
    let scenario = scenario("spare-room-winter", &[]);
    let stop = Happening {
        name: "return pump stopped".to_owned(),
        when: When::At(6 * HOUR),
        lasts: Lasts::For(12 * HOUR),
        effect: Effect::PumpStopped(tepid_sim::ids::PumpId(0)),
        origin: Origin::Fault,
    };
    let with = run_with(&scenario, "on-off", &[stop]);
    let without = run_with(&scenario, "on-off", &[]);
    assert!(worst(&with).lowest_c < worst(&without).lowest_c - 1.0);
}

#[test]
fn overlapping_faults_of_one_kind_end_when_the_last_of_them_ends() {
    let outage = |from_ms, lasts_ms| Happening {
        name: "outage".to_owned(),
        when: When::At(from_ms),
        lasts: Lasts::For(lasts_ms),
        effect: Effect::PowerOut,
        origin: Origin::Fault,
    };
    let scenario = tank_with("\"relay\"", "");
    let both = run_with(
        &scenario,
        "on-off",
        &[outage(HOUR, 4 * HOUR), outage(3 * HOUR, 6 * HOUR)],
    );
    let one = run_with(&scenario, "on-off", &[outage(HOUR, 8 * HOUR)]);
    assert_eq!(both.tanks, one.tanks);
}

#[test]
fn an_alert_that_nobody_hears_in_time_is_too_late() {
    let mut scenario = tank_with(
        "\"relay\"",
        r#"
[[watch]]
name  = "too warm"
probe = "main"
above = "26.5 °C"
needs = ["power"]
acts  = { after = "1 h", does = "unplug heaters" }
"#,
    );
    let weld = fault("weld", Effect::ContactWelded(ContactId(0)));
    let quick = run_with(&scenario, "on-off", std::slice::from_ref(&weld));
    assert!(worst(&quick).highest_c < 28.5, "{}", worst(&quick).highest_c);
    assert!(quick.acted_ms.is_some());
    scenario.watches[0].acts.clear();
    let nobody = run_with(&scenario, "on-off", &[weld]);
    assert!(worst(&nobody).hot.used >= 1.0);
    assert!(nobody.warning_lead_ms.is_some_and(|lead_ms| lead_ms > 0));
}

#[test]
fn a_second_weld_that_nobody_noticed_takes_the_protection_away() {
    let scenario = scenario("spare-room-winter", &[]);
    let set = tepid_scenarios::fault_set(&scenario, "weld behind a weld").expect("built in");
    let case = set
        .cases
        .iter()
        .find(|case| case.fault.name.starts_with("relay left welded, dial left"))
        .expect("case");
    let placed = tepid::rooms::in_room(&scenario, tepid_output::records::RoomKind::Warmest);
    let fix = |happening: &Happening| Happening {
        when: When::At(0),
        ..happening.clone()
    };
    let alone = run_with(&placed, "on-off", &[fix(&case.fault)]);
    let both: Vec<Happening> = case.happenings().map(fix).collect();
    let behind = run_with(&placed, "on-off", &both);
    assert!(
        worst(&alone).hot.used < 1.0,
        "the dial alone keeps the dose: {}",
        worst(&alone).hot.used
    );
    assert!(
        worst(&behind).highest_c > worst(&alone).highest_c + 1.0,
        "{}",
        worst(&behind).highest_c
    );
}

#[test]
fn after_an_outage_the_recovery_is_told_with_its_reason() {
    let mut scenario = tank_with("\"relay\"", "");
    scenario.happenings.push(Happening {
        name: "outage".to_owned(),
        when: When::At(24 * HOUR),
        lasts: Lasts::For(8 * HOUR),
        effect: Effect::PowerOut,
        origin: Origin::Event,
    });
    let scores = run_with(&scenario, "on-off", &[]);
    let recovery = worst(&scores).recovery.clone().expect("the water left the band");
    assert_eq!(recovery.after, "outage");
    assert!(
        recovery.complete && (0.5..12.0).contains(&recovery.length_h),
        "{recovery:?}"
    );
}
