//! What a watch sees.

use tepid_sim::ids::{ContactId, HeaterId, ProbeId};
use tepid_sim::scenario::Effect;
use tepid_sim::time::{DAY, HOUR, MINUTE};

use super::{fault, on_off, tank, weld};

#[test]
fn two_probes_that_disagree_are_seen_whichever_of_them_is_wrong() {
    let tank =
        tank("[[watch]]\nprobe = \"main\"\nother = \"check\"\napart = \"0.8 K\"\nlasting = \"5 min\"\n");
    assert_eq!(on_off(&tank, &[]).alerts, 0);
    for probe in [0, 1] {
        let off = fault(
            DAY,
            Effect::ProbeOffset {
                probe: ProbeId(probe),
                by_k: -2.0,
            },
        );
        assert_eq!(on_off(&tank, &[off]).first_alert_ms, Some(DAY + 5 * MINUTE));
    }
}

#[test]
fn a_weld_is_seen_as_current_drawn_though_not_commanded_long_before_the_water_is_too_warm() {
    let by_current = tank("[[watch]]\nheater = \"main\"\ndrawn = \"though not commanded\"\n");
    let by_water = tank("[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\n");
    assert_eq!(on_off(&by_current, &[]).alerts, 0);
    let seen_ms = on_off(&by_current, &[weld(DAY)]).first_alert_ms.expect("seen");
    let warm_ms = on_off(&by_water, &[weld(DAY)]).first_alert_ms.expect("too warm");
    assert!(seen_ms >= DAY + 5 * MINUTE);
    assert!(seen_ms < warm_ms - 30 * MINUTE, "{seen_ms} {warm_ms}");
}

#[test]
fn a_dead_element_and_a_contact_that_stays_open_are_seen_as_nothing_drawn_though_commanded() {
    let tank = tank("[[watch]]\nheater = \"main\"\ndrawn = \"not though commanded\"\n");
    assert_eq!(on_off(&tank, &[]).alerts, 0);
    for effect in [
        Effect::HeaterDead(HeaterId(0)),
        Effect::ContactStuckOpen(ContactId(0)),
    ] {
        let alert_ms = on_off(&tank, &[fault(DAY, effect)]).first_alert_ms;
        assert!(alert_ms.is_some_and(|at_ms| (DAY..DAY + 6 * HOUR).contains(&at_ms)));
    }
}

#[test]
fn a_heater_that_never_rests_is_seen_by_its_current_alone() {
    let tank = tank("[[watch]]\nheater = \"main\"\ndraws_above = \"10 W\"\nlasting = \"3 h\"\n");
    assert_eq!(on_off(&tank, &[]).alerts, 0);
    let alert_ms = on_off(&tank, &[weld(DAY)]).first_alert_ms.expect("seen");
    assert!(
        (DAY + 2 * HOUR..=DAY + 3 * HOUR + MINUTE).contains(&alert_ms),
        "{alert_ms}"
    );
}

#[test]
fn water_that_moves_faster_than_it_ever_should_is_seen_before_it_is_too_warm() {
    // The heater moves the water by its deadband of 0.4 K in a cycle; welded, 400 W warm 200 L by some 1.5 K in an hour.
    let tank =
        tank("[[watch]]\nprobe = \"main\"\nfaster = \"0.9 K/h\"\nover = \"60 min\"\nlasting = \"0 s\"\n");
    assert_eq!(on_off(&tank, &[]).alerts, 0);
    let alert_ms = on_off(&tank, &[weld(DAY)]).first_alert_ms.expect("seen");
    assert!(alert_ms > DAY && alert_ms < DAY + 2 * HOUR, "{alert_ms}");
}

#[test]
fn a_silent_probe_is_seen_once_it_has_been_silent_long_enough() {
    let tank = tank("[[watch]]\nprobe = \"check\"\nno_reading = true\nlasting = \"20 min\"\n");
    let silent = fault(DAY, Effect::ProbeSilent(ProbeId(1)));
    assert_eq!(on_off(&tank, &[silent]).first_alert_ms, Some(DAY + 20 * MINUTE));
}

#[test]
fn an_alert_with_nothing_broken_and_the_water_out_of_danger_is_a_nuisance() {
    // A line in the middle of the deadband.
    let nervous = tank("[[watch]]\nprobe = \"main\"\nabove = \"25.5 °C\"\nlasting = \"1 min\"\n");
    let healthy = on_off(&nervous, &[]);
    assert!(healthy.alerts > 4);
    assert_eq!(healthy.nuisance_alerts, healthy.alerts);
    let per_year = f64::from(healthy.alerts) * 365.0 / 4.0;
    assert!((healthy.nuisance_alerts_per_year() / per_year - 1.0).abs() < 1e-3);
    let calm = tank("[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\n");
    let welded = on_off(&calm, &[weld(DAY)]);
    assert_eq!((welded.alerts, welded.nuisance_alerts), (1, 0));
}
