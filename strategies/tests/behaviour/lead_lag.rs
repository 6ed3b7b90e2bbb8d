use tepid_sim::scenario::Role;
use tepid_sim::strategy::BindError;
use tepid_sim::time::{DAY, HOUR, MINUTE};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::{TARGET_C, wiring};

const HEAT: Option<Role> = Some(Role::Heat);

#[test]
fn heaters_share_the_run_time() {
    for heaters in [2, 3] {
        let mut tank = FirstOrderTank::at(TARGET_C, &vec![260.0; heaters]);
        let mut bench = Bench::new(&*recipe("lead-lag", &[]), &wiring(&vec![HEAT; heaters]));
        tank.run(&mut bench, 30 * DAY, |_, _| {});
        let mean_ms = bench.closed_ms.iter().sum::<i64>() as f64 / heaters as f64;
        for closed_ms in &bench.closed_ms {
            // One spell of the lead, some 4 h of 370 h a heater.
            assert!(
                (*closed_ms as f64 / mean_ms - 1.0).abs() < 0.03,
                "{:?}",
                bench.closed_ms
            );
        }
    }
}

#[test]
fn the_next_joins_only_after_the_lead_alone_did_not_hold() {
    let mut bench = Bench::new(&*recipe("lead-lag", &[]), &wiring(&[HEAT, HEAT, HEAT]));
    bench.run(15 * MINUTE, Some(25.2));
    assert_eq!(bench.closed_ms, [15 * MINUTE, 0, 0]);
    bench.run(15 * MINUTE, Some(25.2));
    assert_eq!(bench.closed_ms, [30 * MINUTE, 15 * MINUTE, 0]);
    // Between the edges nobody joins and nobody leaves.
    bench.run(5 * HOUR, Some(25.5));
    assert_eq!(bench.closed_ms[2], 0);
    bench.run(MINUTE, Some(25.7));
    assert!(bench.states.iter().all(|state| !state.is_closed()));
    // Who has run least leads next.
    bench.run(MINUTE, Some(25.2));
    assert_eq!(bench.closed_ms[2], MINUTE);
}

#[test]
fn a_water_that_recovers_in_between_starts_the_wait_anew() {
    let mut bench = Bench::new(&*recipe("lead-lag", &[]), &wiring(&[HEAT, HEAT]));
    for _ in 0..10 {
        bench.run(14 * MINUTE, Some(25.2));
        bench.run(MINUTE, Some(25.4));
    }
    assert_eq!(bench.closed_ms[1], 0);
}

#[test]
fn a_dead_lead_is_made_good_by_the_next() {
    let mut tank = FirstOrderTank::at(TARGET_C, &[0.0, 300.0]);
    let mut bench = Bench::new(&*recipe("lead-lag", &[]), &wiring(&[HEAT, HEAT]));
    let mut lowest_c = f64::INFINITY;
    tank.run(&mut bench, 10 * DAY, |_, temp_c| lowest_c = lowest_c.min(temp_c));
    // 200 W of loss on 1.41 MJ/K for a quarter of an hour and an interval: 0.13 K below the lower edge.
    let alone_c = 25.3 - 198.0 * 910.0 / 1.41e6;
    assert!((alone_c - 0.005..25.3).contains(&lowest_c), "{lowest_c} °C");
}

#[test]
fn one_heater_takes_no_turns() {
    let refused = recipe("lead-lag", &[]).bind(&wiring(&[HEAT, None])).err();
    assert_eq!(
        refused,
        Some(BindError::DoesNotApply {
            missing: "only one heat contact".to_owned()
        })
    );
    let pair = tepid_strategies::find("lead-lag").unwrap();
    let mut values = pair.defaults();
    values
        .set("contacts", Value::Names(vec!["left".to_owned()]))
        .unwrap();
    assert_eq!((pair.build)(&values).unwrap_err().param(), "contacts");
}
