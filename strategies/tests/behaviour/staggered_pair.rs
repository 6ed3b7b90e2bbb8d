use tepid_sim::scenario::Role;
use tepid_sim::strategy::BindError;
use tepid_sim::time::{DAY, HOUR};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::wiring;

const TWO_HEATERS: &[Option<Role>] = &[Some(Role::Heat), Some(Role::Heat)];

#[test]
fn the_second_works_only_when_the_water_falls_further() {
    let mut bench = Bench::new(&*recipe("staggered-pair", &[]), &wiring(TWO_HEATERS));
    for (reading_c, closed) in [
        (25.31, [false, false]),
        (25.29, [true, false]),
        (25.01, [true, false]),
        (24.99, [true, true]),
        (25.39, [true, true]),
        (25.41, [true, false]),
        (25.69, [true, false]),
        (25.71, [false, false]),
    ] {
        bench.step(Some(reading_c), |_, _| {});
        assert_eq!(
            [bench.states[0].is_closed(), bench.states[1].is_closed()],
            closed,
            "at {reading_c} °C"
        );
    }
}

#[test]
fn a_lead_that_is_strong_enough_works_alone() {
    let mut tank = FirstOrderTank::at(25.5, &[250.0, 250.0]);
    let mut bench = Bench::new(&*recipe("staggered-pair", &[]), &wiring(TWO_HEATERS));
    tank.run(&mut bench, 3 * DAY, |_, _| {});
    assert!(bench.closings[0] > 0);
    assert_eq!(bench.closings[1], 0);
}

#[test]
fn a_dead_lead_leaves_the_water_lower_by_the_offset() {
    let lowest_c = |heat_w: &[f64]| {
        let mut tank = FirstOrderTank::at(25.5, heat_w);
        let mut bench = Bench::new(&*recipe("staggered-pair", &[]), &wiring(TWO_HEATERS));
        let mut lowest_c = f64::INFINITY;
        tank.run(&mut bench, 3 * DAY, |_, temp_c| lowest_c = lowest_c.min(temp_c));
        lowest_c
    };
    let lower_k = lowest_c(&[250.0, 250.0]) - lowest_c(&[0.0, 250.0]);
    // Within what the water falls in one 10 s interval: 200 W on 1.41 MJ/K, 1.4 mK.
    assert!((lower_k - 0.3).abs() < 0.002, "{lower_k} K");
}

#[test]
fn the_file_may_name_another_lead() {
    let names = vec!["contact 1".to_owned(), "contact 0".to_owned()];
    let swapped = recipe("staggered-pair", &[("contacts", Value::Names(names))]);
    let mut bench = Bench::new(&*swapped, &wiring(TWO_HEATERS));
    bench.run(HOUR, Some(25.1));
    assert_eq!(bench.closed_ms, [0, HOUR]);
}

#[test]
fn a_single_heater_is_no_pair() {
    let wiring = wiring(&[Some(Role::Heat), None, Some(Role::Cool)]);
    let refused = recipe("staggered-pair", &[]).bind(&wiring).err();
    assert_eq!(
        refused,
        Some(BindError::DoesNotApply {
            missing: "only one heat contact".to_owned()
        })
    );
}
