use tepid_sim::scenario::Role;
use tepid_sim::strategy::Wiring;
use tepid_sim::time::HOUR;

use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::{TARGET_C, wiring, with_room_probe};

const HEATER: usize = 0;
const HEATING: usize = 1;
const COOLING: usize = 2;

fn room() -> Wiring {
    let roles = [Role::Heat, Role::HeatRoom, Role::CoolRoom].map(Some);
    with_room_probe(wiring(&roles))
}

/// Whether heater, room's heating and room's cooling are closed after an hour of this.
fn closed(water_c: Option<f64>, room_c: Option<f64>) -> [bool; 3] {
    let mut bench = Bench::new(&*recipe("room-first", &[]), &room());
    bench.room_c = room_c;
    bench.run(HOUR, water_c);
    [HEATER, HEATING, COOLING].map(|contact| bench.states[contact].is_closed())
}

#[test]
fn water_a_little_cold_is_the_work_of_the_room_and_colder_water_of_the_heater_too() {
    assert_eq!(closed(Some(TARGET_C - 0.2), Some(TARGET_C)), [false, true, false]);
    assert_eq!(closed(Some(TARGET_C - 0.8), Some(TARGET_C)), [true, true, false]);
    assert_eq!(closed(Some(TARGET_C), Some(TARGET_C)), [false, false, false]);
}

/// 1 K too warm at a gain of 4 asks for a room 4 K below the target; its cooling starts 1 K and a deadband of 0.5 K above that.
#[test]
fn water_too_warm_wants_a_colder_room() {
    let warm = Some(TARGET_C + 1.0);
    assert_eq!(closed(warm, Some(TARGET_C - 4.3)), [false, true, false]);
    assert_eq!(closed(warm, Some(TARGET_C - 3.0)), [false, false, false]);
    assert_eq!(closed(warm, Some(TARGET_C - 2.4)), [false, false, true]);
}

#[test]
fn no_reading_heats_and_cools_the_room_at_once() {
    for tenth in 0..400 {
        let c = f64::from(tenth) / 10.0;
        let [_, heating, cooling] = closed(Some(TARGET_C), Some(c));
        assert!(!(heating && cooling), "{c} °C in the room");
        let [_, heating, cooling] = closed(Some(c), Some(TARGET_C));
        assert!(!(heating && cooling), "{c} °C in the water");
    }
}

#[test]
fn without_a_reading_the_room_is_left_to_its_own_thermostats_and_heaters_are_off() {
    assert_eq!(closed(None, Some(TARGET_C)), [false, true, true]);
    assert_eq!(closed(Some(TARGET_C - 2.0), None), [true, true, true]);
}

#[test]
fn nobody_asks_for_a_room_that_people_cannot_bear() {
    assert_eq!(closed(Some(TARGET_C - 6.0), Some(28.3)), [true, false, false]);
    assert_eq!(closed(Some(TARGET_C + 6.0), Some(15.7)), [false, true, false]);
}
