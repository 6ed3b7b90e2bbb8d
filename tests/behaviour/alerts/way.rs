//! The way an alert takes.

use tepid_sim::scenario::Effect;
use tepid_sim::time::{DAY, HOUR, MINUTE};

use super::{fault, heard, on_off, outage, tank, tank_of, weld};

/// Cold water tells.
const TOO_COLD: &str = "[[watch]]\nname = \"too cold\"\nprobe = \"main\"\nbelow = \"24.5 °C\"\n";

#[test]
fn an_alert_whose_router_hangs_on_the_dead_supply_reaches_nobody() {
    let by_router = tank(&format!("{TOO_COLD}needs = [\"router\"]\n"));
    let scores = on_off(&by_router, &[outage()]);
    assert_eq!((scores.first_alert_ms, heard(&scores)), (None, None));
    let with_battery = tank(&format!("{TOO_COLD}needs = [\"router\"]\nbattery = \"3 d\"\n"));
    let scores = on_off(&with_battery, &[outage()]);
    assert!(scores.first_alert_ms.is_some());
    assert_eq!(heard(&scores).map(|(who, _)| who), Some("keeper"));
}

#[test]
fn a_battery_that_is_empty_before_the_water_is_cold_is_worth_nothing() {
    let short = tank(&format!("{TOO_COLD}needs = [\"router\"]\nbattery = \"30 min\"\n"));
    assert_eq!(on_off(&short, &[outage()]).first_alert_ms, None);
}

#[test]
fn a_dead_line_out_of_the_house_keeps_what_needs_it_and_lets_the_rest_out() {
    let down = [weld(DAY), fault(DAY, Effect::NetworkDown)];
    let warm = "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\n";
    let by_line = tank(&format!("{warm}needs = [\"network\"]\n"));
    assert_eq!(on_off(&by_line, &down).first_alert_ms, None);
    let siren = tank(&format!("{warm}needs = [\"power\"]\n"));
    assert!(on_off(&siren, &down).first_alert_ms.is_some());
}

#[test]
fn a_hung_controller_tells_nothing_of_what_it_does() {
    let hung = Effect::ControllerHung {
        outputs: tepid_sim::scenario::Outputs::Hold,
        restart: tepid_sim::scenario::Restart::Kept,
    };
    let faults = [weld(DAY), fault(DAY, hung)];
    let warm = "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\n";
    let same_box = tank(&format!("{warm}needs = [\"controller\"]\n"));
    assert_eq!(on_off(&same_box, &faults).first_alert_ms, None);
    assert!(on_off(&tank(warm), &faults).first_alert_ms.is_some());
}

#[test]
fn a_forgotten_mute_costs_the_tank() {
    let warm = "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\nacts = { after = \"30 min\", does = \"unplug heaters\" }\n";
    let muted = format!("{warm}[[event]]\nwhat = \"alerts muted\"\nat = \"day 1 09:00\"\n");
    let told = on_off(&tank(warm), &[weld(DAY)]);
    let untold = on_off(&tank(&muted), &[weld(DAY)]);
    assert!(told.acted_ms.is_some() && told.tanks[0].hot.used < 0.1);
    assert_eq!((untold.first_alert_ms, untold.acted_ms), (None, None));
    assert!(untold.tanks[0].hot.used >= 1.0);
}

#[test]
fn a_weld_that_an_alert_would_have_ended_does_its_worst_behind_a_mute() {
    let scenario = tank(
        "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\nacts = { after = \"30 min\", does = \"unplug heaters\" }\n",
    );
    let set = tepid_scenarios::fault_set(&scenario, "weld behind a mute").expect("built in");
    let [case] = set.cases.as_slice() else {
        panic!("{:?}", set.cases)
    };
    let mut welds: Vec<_> = case.happenings().cloned().collect();
    welds[0].when = tepid_sim::scenario::When::At(DAY);
    let unheard = on_off(&scenario, &welds);
    let heard_of = on_off(&scenario, &welds[..1]);
    assert_eq!((unheard.alerts, unheard.acted_ms), (0, None));
    assert!(unheard.tanks[0].hot.used >= 1.0 && heard_of.tanks[0].hot.used < 0.1);
}

#[test]
fn a_mute_that_ends_lets_out_what_still_holds() {
    let scenario = tank(
        "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\n[[event]]\nwhat = \"alerts muted\"\nat = \"day 1 09:00\"\nlasts = \"39 h\"\n",
    );
    assert_eq!(on_off(&scenario, &[weld(DAY)]).first_alert_ms, Some(2 * DAY));
}

#[test]
fn no_sign_of_life_tells_of_an_outage_that_the_box_itself_cannot_tell_of() {
    let outside = "[[watch]]\nname = \"silent house\"\nno_sign_of_life = true\nlasting = \"10 min\"\n";
    assert_eq!(on_off(&tank(outside), &[]).alerts, 0);
    let scores = on_off(&tank(outside), &[outage()]);
    assert_eq!(scores.first_alert_ms, Some(DAY + 10 * MINUTE));
    assert_eq!(heard(&scores), Some(("keeper", DAY + 10 * MINUTE)));
    // Neither a dead line nor a mute on the box hides that nothing comes from it.
    let down = on_off(&tank(outside), &[fault(DAY, Effect::NetworkDown)]);
    assert_eq!(down.first_alert_ms, Some(DAY + 10 * MINUTE));
    let muted = on_off(&tank(outside), &[outage(), fault(0, Effect::AlertsMuted)]);
    assert_eq!(muted.first_alert_ms, Some(DAY + 10 * MINUTE));
}

#[test]
fn what_holds_in_the_warm_up_alerts_from_time_zero_on() {
    let scenario = tank_of(
        "duration = \"6 h\"\nwarm_up = \"12 h\"",
        "[[watch]]\nprobe = \"main\"\nabove = \"20 °C\"\nlasting = \"1 h\"\n",
    );
    let scores = on_off(&scenario, &[]);
    assert_eq!((scores.alerts, scores.first_alert_ms), (1, Some(0)));
    assert!(scores.scored_ms == 6 * HOUR);
}

/// Two circuits, of which one feeds the heater and one the router.
const CIRCUITS: &str = r#"
[[circuit]]
name  = "tank"
feeds = ["heater main"]
[[circuit]]
name  = "study"
feeds = ["router"]
"#;

#[test]
fn an_alert_dies_with_the_circuit_that_it_needs_and_with_no_other() {
    let trip = |at| fault(DAY, Effect::CircuitTripped(tepid_sim::ids::CircuitId(at)));
    let cold = |needs: &str| tank(&format!("{TOO_COLD}needs = [\"{needs}\"]\n{CIRCUITS}"));
    for (needs, own) in [("router", 1), ("study", 1), ("tank", 0)] {
        // Without its circuit the heater cools the tank; with both gone nothing needs the study.
        let both = [trip(0), trip(1)];
        assert_eq!(on_off(&cold(needs), &both).first_alert_ms, None, "{needs}");
        let heater_alone = on_off(&cold(needs), &both[..1]).first_alert_ms;
        assert_eq!(heater_alone.is_some(), own == 1, "{needs}");
    }
}

#[test]
fn a_breaker_that_trips_is_seen_by_the_current_that_is_missing() {
    let watch = "[[watch]]\nheater = \"main\"\ndrawn = \"not though commanded\"\n";
    let trip = fault(DAY, Effect::CircuitTripped(tepid_sim::ids::CircuitId(0)));
    let scores = on_off(&tank(&format!("{watch}{CIRCUITS}")), &[trip]);
    assert!(scores.first_alert_ms.is_some_and(|at_ms| at_ms < DAY + 6 * HOUR));
}

#[test]
fn a_backup_that_feeds_controller_and_router_lets_the_alert_out() {
    let battery = "[[backup]]\nname = \"battery\"\nenergy = \"2 kWh\"\nlimit = \"100 W\"\nfeeds = [\"controller\", \"router\"]\n";
    let watch = format!("{TOO_COLD}needs = [\"power\", \"router\", \"controller\"]\n");
    assert_eq!(on_off(&tank(&watch), &[outage()]).first_alert_ms, None);
    assert!(
        on_off(&tank(&format!("{watch}{battery}")), &[outage()])
            .first_alert_ms
            .is_some()
    );
}
