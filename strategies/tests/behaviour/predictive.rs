use tepid_sim::scenario::Role;
use tepid_sim::strategy::{Announced, AnnouncedKind, NewWater};
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::{TARGET_C, wiring};

const ONE_HEATER: &[Option<Role>] = &[Some(Role::Heat)];

/// At 20:00 of day 6, half an hour long: a fifth of all water, 5 K colder.
fn change() -> Announced {
    Announced {
        name: "water change".to_owned(),
        kind: AnnouncedKind::WaterChange,
        start_ms: 5 * DAY + 20 * HOUR,
        end_ms: Some(5 * DAY + 20 * HOUR + 30 * MINUTE),
        new_water: Some(NewWater {
            share_frac: 0.2,
            temp_c: TARGET_C - 5.0,
        }),
    }
}

/// Temperatures just before the change, just after it, and the highest of the day after, °C; `tells` what is announced at which time.
fn through_a_change(
    given: &[(&str, Value)],
    heater_w: f64,
    tells: impl Fn(Millis) -> Vec<Announced>,
) -> (f64, f64, f64) {
    let mut tank = FirstOrderTank::at(TARGET_C, &[heater_w]);
    let mut bench = Bench::new(&*recipe("predictive", given), &wiring(ONE_HEATER));
    let change = change();
    let run_to = |bench: &mut Bench, tank: &mut FirstOrderTank, until_ms: Millis| {
        let mut highest_c = f64::NEG_INFINITY;
        while bench.now_ms < until_ms {
            bench.announced = tells(bench.now_ms);
            tank.run(bench, MINUTE, |_, temp_c| highest_c = highest_c.max(temp_c));
        }
        highest_c
    };
    run_to(&mut bench, &mut tank, change.start_ms);
    let before_c = tank.temp_c;
    run_to(&mut bench, &mut tank, change.start_ms + 30 * MINUTE);
    tank.temp_c += 0.2 * (TARGET_C - 5.0 - tank.temp_c);
    let after_c = tank.temp_c;
    let highest_c = run_to(&mut bench, &mut tank, 7 * DAY);
    (before_c, after_c, highest_c)
}

fn within_a_day(now_ms: Millis) -> Vec<Announced> {
    let change = change();
    let listed = (change.start_ms - DAY..change.start_ms + HOUR).contains(&now_ms);
    listed.then_some(change).into_iter().collect()
}

#[test]
fn rests_on_the_setpoint_whatever_the_heater_and_the_room() {
    for heater_w in [220.0, 400.0, 800.0] {
        for room_c in [21.5, 24.5] {
            let mut tank = FirstOrderTank::at(25.0, &[heater_w]);
            tank.room_c = room_c;
            let mut bench = Bench::new(&*recipe("predictive", &[]), &wiring(ONE_HEATER));
            tank.run(&mut bench, 5 * DAY, |_, _| {});
            let ripple_k = heater_w * 300.0 / 1.41e6;
            tank.run(&mut bench, HOUR, |_, temp_c| {
                assert!(
                    (temp_c - TARGET_C).abs() < ripple_k,
                    "{heater_w} W, {room_c} °C: {temp_c} °C"
                );
            });
        }
    }
}

/// Half of the dip of 1 K ahead, half behind.
#[test]
fn it_warms_before_announced_cold_water() {
    let (before_c, after_c, _) = through_a_change(&[], 800.0, within_a_day);
    assert!((before_c - (TARGET_C + 0.5)).abs() < 0.06, "{before_c} °C before");
    assert!((after_c - (TARGET_C - 0.5)).abs() < 0.3, "{after_c} °C after");
    let (unwarned_c, colder_c, _) = through_a_change(&[], 800.0, |_| Vec::new());
    assert!((unwarned_c - TARGET_C).abs() < 0.06, "{unwarned_c} °C unwarned");
    assert!(after_c - colder_c > 0.3, "{after_c} °C, unwarned {colder_c} °C");
}

#[test]
fn it_warms_no_further_ahead_than_allowed_and_not_at_all_for_warm_water() {
    let little = [("most_ahead", Value::Number(0.2))];
    let (before_c, ..) = through_a_change(&little, 800.0, within_a_day);
    assert!((before_c - (TARGET_C + 0.2)).abs() < 0.06, "{before_c} °C");
    for warm_c in [TARGET_C, TARGET_C + 3.0] {
        let (before_c, ..) = through_a_change(&[], 800.0, |now_ms| {
            let mut list = within_a_day(now_ms);
            for event in &mut list {
                event.new_water = Some(NewWater {
                    share_frac: 0.2,
                    temp_c: warm_c,
                });
            }
            list
        });
        assert!((before_c - TARGET_C).abs() < 0.06, "{warm_c} °C: {before_c} °C");
    }
    let deaf = [("look_ahead", Value::Time(0))];
    let (before_c, ..) = through_a_change(&deaf, 800.0, within_a_day);
    assert!((before_c - TARGET_C).abs() < 0.06, "{before_c} °C");
}

/// The dip is not taken for a loss: without the announcement the estimate of the loss learns it and overshoots.
#[test]
fn announced_cold_water_is_not_taken_for_a_colder_room() {
    let (.., warned_c) = through_a_change(&[("most_ahead", Value::Number(0.0))], 800.0, within_a_day);
    let (.., unwarned_c) = through_a_change(&[], 800.0, |_| Vec::new());
    assert!(
        warned_c < unwarned_c - 0.05,
        "{warned_c} °C warned, {unwarned_c} °C unwarned"
    );
}
