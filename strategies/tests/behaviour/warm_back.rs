use tepid_sim::scenario::Role;
use tepid_sim::time::{DAY, HOUR, Millis};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::{TARGET_C, wiring};

const ONE_HEATER: &[Option<Role>] = &[Some(Role::Heat)];

/// Hours until a strong heater has water of 20 °C back at the lower edge, and the most it rose within 4 h, K.
fn way_back(name: &str, given: &[(&str, Value)], outage_ms: Millis) -> (f64, f64) {
    let mut tank = FirstOrderTank::at(TARGET_C, &[1500.0]);
    let mut bench = Bench::new(&*recipe(name, given), &wiring(ONE_HEATER));
    tank.run(&mut bench, DAY, |_, _| {});
    bench.outage(outage_ms);
    tank.temp_c = 20.0;
    let from_ms = bench.now_ms;
    let mut course_c = Vec::new();
    let mut back_ms = None;
    tank.run(&mut bench, 2 * DAY, |now_ms, temp_c| {
        course_c.push(temp_c);
        if temp_c >= 25.3 && back_ms.is_none() {
            back_ms = Some(now_ms - from_ms);
        }
    });
    let most_k = course_c
        .windows((4 * HOUR / 10_000) as usize + 1)
        .map(|window| window[window.len() - 1] - window[0])
        .fold(0.0, f64::max);
    (back_ms.expect("it comes back") as f64 / HOUR as f64, most_k)
}

#[test]
fn after_an_outage_the_water_climbs_no_faster_than_the_ramp() {
    // 5.3 K at 0.5 K/h; on-off with the same heater takes less than two hours.
    let (back_h, most_k) = way_back("warm-back", &[], 6 * HOUR);
    assert!((9.5..10.7).contains(&back_h), "{back_h} h");
    // Over 4 h by 2 K and, within it, one deadband.
    assert!(most_k < 2.0 + 0.41, "{most_k} K in 4 h");
    let (at_once_h, _) = way_back("on-off", &[], 6 * HOUR);
    assert!(at_once_h < 2.0, "{at_once_h} h");
}

#[test]
fn a_fall_of_the_water_itself_is_made_good_slowly_too() {
    let (back_h, most_k) = way_back("warm-back", &[], 0);
    assert!((9.5..10.7).contains(&back_h), "{back_h} h");
    assert!(most_k < 2.0 + 0.41, "{most_k} K in 4 h");
}

#[test]
fn in_ordinary_times_it_is_on_off() {
    let course = |name: &str| {
        let mut tank = FirstOrderTank::at(TARGET_C, &[300.0]);
        let mut bench = Bench::new(&*recipe(name, &[]), &wiring(ONE_HEATER));
        let mut seen_c = Vec::new();
        tank.run(&mut bench, 3 * DAY, |_, temp_c| seen_c.push(temp_c));
        (seen_c, bench.closings[0])
    };
    let (warm_back, on_off) = (course("warm-back"), course("on-off"));
    assert_eq!(warm_back.1, on_off.1);
    for (one_c, other_c) in warm_back.0.iter().zip(&on_off.0) {
        assert!((one_c - other_c).abs() < 1e-9, "{one_c} and {other_c} °C");
    }
}

#[test]
fn one_wild_reading_does_not_keep_the_heater_off() {
    let mut bench = Bench::new(&*recipe("warm-back", &[]), &wiring(ONE_HEATER));
    bench.run(HOUR, Some(25.2));
    bench.step(Some(0.0), |_, _| {});
    bench.run(HOUR, Some(25.2));
    let closed_ms = bench.closed_ms[0];
    bench.run(HOUR, Some(25.0));
    assert_eq!(bench.closed_ms[0], closed_ms + HOUR);
}

#[test]
fn a_climb_that_every_cycle_would_start_is_refused() {
    let warm_back = tepid_strategies::find("warm-back").unwrap();
    let mut values = warm_back.defaults();
    values.set("deadband", Value::Number(0.8)).unwrap();
    assert_eq!((warm_back.build)(&values).unwrap_err().param(), "cold");
}
