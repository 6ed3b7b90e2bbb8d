use tepid_sim::scenario::Role;
use tepid_sim::time::{DAY, HOUR};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::wiring;

const ONE_HEATER: &[Option<Role>] = &[Some(Role::Heat)];

#[test]
fn the_night_has_a_duty_of_its_own() {
    let given = [
        ("duty", Value::Number(0.2)),
        ("night_duty", Value::Number(0.8)),
        ("night_from", Value::Time(21 * HOUR)),
        ("night_to", Value::Time(6 * HOUR)),
    ];
    let mut bench = Bench::new(&*recipe("timer", &given), &wiring(ONE_HEATER));
    let mut closed_ms = 0;
    for hour in 0..48 {
        bench.run(HOUR, None);
        let night = hour % 24 < 6 || hour % 24 >= 21;
        let expected_ms = if night { HOUR * 8 / 10 } else { HOUR * 2 / 10 };
        assert_eq!(bench.closed_ms[0] - closed_ms, expected_ms, "hour {hour}");
        closed_ms = bench.closed_ms[0];
    }
}

/// Rests at room + duty × power / loss, whatever that is: with 300 W, half the time, on 44 W/K, 3.41 K above the room.
#[test]
fn the_water_follows_the_room_kelvin_by_kelvin() {
    for room_c in [16.0, 21.0, 26.0] {
        let mut tank = FirstOrderTank::at(22.0, &[300.0]);
        tank.room_c = room_c;
        let mut bench = Bench::new(&*recipe("timer", &[]), &wiring(ONE_HEATER));
        tank.run(&mut bench, 10 * DAY, |_, _| {});
        let above_k = tank.temp_c - room_c;
        // A cycle's ripple: 300 W × 0.5 × 150 s on 1.41 MJ/K, 16 mK.
        assert!((above_k - 150.0 / 44.0).abs() < 0.017, "{room_c} °C: {above_k} K");
    }
}

#[test]
fn a_night_of_no_length_is_refused() {
    let timer = tepid_strategies::find("timer").unwrap();
    let mut values = timer.defaults();
    values.set("night_to", Value::Time(22 * HOUR)).unwrap();
    assert_eq!((timer.build)(&values).unwrap_err().param(), "night_to");
    assert!(values.set("night_from", Value::Time(DAY)).is_err());
}
