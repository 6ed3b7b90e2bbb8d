use tepid_sim::scenario::Role;
use tepid_sim::strategy::BindError;
use tepid_sim::time::{DAY, HOUR, MINUTE};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::{TARGET_C, wiring, with_room_probe};

const ONE_HEATER: &[Option<Role>] = &[Some(Role::Heat)];

/// How far a tank strays while its room falls from 23 to 15 °C at once, K: 528 W hold it 12 K above its room.
fn strays_k(name: &str, room_speaks: bool) -> f64 {
    let mut tank = FirstOrderTank::at(TARGET_C, &[528.0]);
    tank.room_c = 23.0;
    let mut bench = Bench::new(&*recipe(name, &[]), &with_room_probe(wiring(ONE_HEATER)));
    let mut strays_k = 0.0_f64;
    for (room_c, days) in [(23.0, 4), (15.0, 2)] {
        tank.room_c = room_c;
        bench.room_c = room_speaks.then_some(room_c);
        strays_k = 0.0;
        tank.run(&mut bench, days * DAY, |_, temp_c| {
            strays_k = strays_k.max((temp_c - TARGET_C).abs());
        });
    }
    strays_k
}

#[test]
fn it_answers_the_room_before_the_water_falls() {
    let (forward_k, pi_k) = (strays_k("feed-forward", true), strays_k("pi", true));
    assert!(
        forward_k < pi_k / 2.0,
        "{forward_k} K with the room known, {pi_k} K without"
    );
}

#[test]
fn a_room_probe_that_never_spoke_leaves_it_a_pi() {
    assert_eq!(strays_k("feed-forward", false), strays_k("pi", false));
}

#[test]
fn what_the_room_probe_read_last_holds_through_its_silence() {
    let closed_ms = |silent: bool| {
        let mut bench = Bench::new(
            &*recipe("feed-forward", &[]),
            &with_room_probe(wiring(ONE_HEATER)),
        );
        bench.room_c = Some(19.5);
        bench.run(HOUR, Some(TARGET_C));
        if silent {
            bench.room_c = None;
        }
        bench.run(5 * HOUR, Some(TARGET_C));
        bench.closed_ms[0]
    };
    assert_eq!(closed_ms(true), closed_ms(false));
    // 6 K below the setpoint of the 12 that full power is for: half the time.
    assert!((closed_ms(false) - 3 * HOUR).abs() < MINUTE);
}

#[test]
fn a_wrong_full_power_is_made_good_by_the_integral() {
    for full_power_at_k in [6.0, 24.0] {
        let given = [("full_power_at", Value::Number(full_power_at_k))];
        let mut tank = FirstOrderTank::at(25.0, &[400.0]);
        let mut bench = Bench::new(
            &*recipe("feed-forward", &given),
            &with_room_probe(wiring(ONE_HEATER)),
        );
        bench.room_c = Some(tank.room_c);
        tank.run(&mut bench, 5 * DAY, |_, _| {});
        tank.run(&mut bench, HOUR, |_, temp_c| {
            // Within a cycle's ripple: 400 W for 5 min on 1.41 MJ/K.
            assert!(
                (temp_c - TARGET_C).abs() < 0.085,
                "{full_power_at_k} K: {temp_c} °C"
            );
        });
    }
}

#[test]
fn without_a_probe_in_the_room_it_does_not_apply() {
    assert_eq!(
        recipe("feed-forward", &[]).bind(&wiring(ONE_HEATER)).err(),
        Some(BindError::DoesNotApply {
            missing: "no probe in the room's air".to_owned()
        })
    );
}
