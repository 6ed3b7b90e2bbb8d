//! The room: its heating, its cooling, the weather outdoors.

use super::{Course, TANK, course_of};
use tepid_sim::scores::Scores;

/// The tank in a room of 45 m³ that answers, with air outdoors of a temperature, heating at 20 °C or cooling at 25 °C, and a fault from 24 h on.
fn housed(outdoors: &str, device: &str, fault: &str) -> (Scores, Course) {
    let building = format!(
        "temperature = \"{outdoors}\"\n\
         building = {{ volume = \"45 m³\", envelope = \"50 W/K\", heat_capacity = \"500 kJ/K\", air_changes = \"0 per hour\", {device} }}"
    );
    let tank = TANK.replace("temperature = \"20 °C\"", &building);
    course_of(&format!("{tank}{fault}"), "on-off")
}

const HEATING: &str = "heating = { setpoint = \"20 °C\", power = \"1500 W\" }";
const COOLING: &str = "cooling = { setpoint = \"25 °C\", power = \"1500 W\" }";

/// Watts that tank, pump and heater give the room: the room of 50 W/K without ventilation settles where it loses what it is given.
fn settles_at_c(outdoors_c: f64, device_w: f64, tank_w: f64) -> f64 {
    outdoors_c + (device_w + tank_w) / 50.0
}

#[test]
fn a_room_whose_cooling_fails_warms_to_the_air_outdoors_and_takes_the_water_past_its_setpoint() {
    let (_, healthy) = housed("33 °C", COOLING, "");
    let (scores, course) = housed("33 °C", COOLING, "[[fault]]\nwhat = \"room cooling off\"\n");
    assert!(healthy.between_h(0.0, 72.0).all(|row| row.room_c < 26.0));
    assert!(course.between_h(0.0, 24.0).all(|row| row.room_c < 26.0));
    // Nothing but the pump's 10 W and what the water still takes up stands between the room and the air outdoors.
    let room_c = course.at_h(71.0).room_c;
    assert!((room_c - settles_at_c(33.0, 0.0, 0.0)).abs() < 1.0, "{room_c}");
    // The heater has no part in it: it rests, and the room alone warms the water.
    assert!(course.between_h(26.0, 72.0).all(|row| row.heater_w == 0.0));
    assert!(scores.tanks[0].end_c > healthy.at_h(71.0).display_c + 2.0);
}

#[test]
fn a_room_whose_cooling_never_stops_makes_the_heater_work_against_it() {
    let (healthy, _) = housed("33 °C", COOLING, "");
    let (scores, course) = housed("33 °C", COOLING, "[[fault]]\nwhat = \"room cooling stuck on\"\n");
    // 33 °C outdoors, 1500 W taken out without end: 30 K below it, but for what the tank gives.
    let last_c = course.at_h(71.0).room_c;
    let given_w = course.mean_h(60.0, 72.0, |row| row.heater_w) + 10.0;
    assert!(
        (last_c - settles_at_c(33.0, -1500.0, given_w)).abs() < 1.0,
        "{last_c} {given_w}"
    );
    // The heater gives all it has and does not hold the tank.
    assert!(course.between_h(48.0, 72.0).all(|row| row.heater_w == 300.0));
    assert!(scores.tanks[0].end_c < 24.0 && healthy.tanks[0].lowest_c > 24.9);
}

#[test]
fn a_room_whose_heating_never_stops_cooks_the_tank_without_its_heater() {
    let (healthy, before) = housed("5 °C", HEATING, "");
    let (scores, course) = housed("5 °C", HEATING, "[[fault]]\nwhat = \"room heating stuck on\"\n");
    assert!(before.between_h(1.0, 72.0).all(|row| row.room_c < 21.0));
    // 5 °C outdoors and 1500 W without end: 30 K above it. The heater adds nothing by then.
    assert!(course.between_h(40.0, 72.0).all(|row| row.heater_w == 0.0));
    let room_c = course.at_h(71.0).room_c;
    assert!((room_c - settles_at_c(5.0, 1500.0, 10.0)).abs() < 1.5, "{room_c}");
    assert!(scores.tanks[0].end_c > 28.5, "{}", scores.tanks[0].end_c);
    assert!(healthy.tanks[0].highest_c < 26.0);
}

/// Weather warmer or colder than usual for a day, from 24 h on.
fn spell(by: &str) -> String {
    format!("[[fault]]\nwhat = \"room shift\"\nby = \"{by}\"\nlasts = \"24 h\"\n")
}

#[test]
fn a_heat_wave_warms_the_air_by_what_it_says_for_as_long_as_it_says_and_the_water_lags_behind() {
    let (_, healthy) = course_of(TANK, "on-off");
    let (_, course) = course_of(&format!("{TANK}{}", spell("9 K")), "on-off");
    for (hour, by_k) in [
        (23.9, 0.0),
        (24.1, 9.0),
        (36.0, 9.0),
        (47.9, 9.0),
        (48.1, 0.0),
        (71.0, 0.0),
    ] {
        let shift_k = course.at_h(hour).room_c - healthy.at_h(hour).room_c;
        assert!((shift_k - by_k).abs() < 1e-9, "{hour} h: {shift_k}");
    }
    // The heater has less to do from the first hour, and the water is warmest when the wave ends, not when the air is.
    assert!(
        course.mean_h(30.0, 48.0, |row| row.heater_w) < 0.2 * healthy.mean_h(30.0, 48.0, |row| row.heater_w)
    );
    let peak = course
        .0
        .iter()
        .max_by(|one, other| one.display_c.total_cmp(&other.display_c));
    let peak_h = peak.unwrap().at_ms as f64 / 3.6e6;
    assert!((47.9..48.6).contains(&peak_h), "{peak_h}");
}

#[test]
fn a_cold_snap_costs_what_the_losses_grow_by_and_more_than_the_heater_has() {
    let (healthy, before) = course_of(TANK, "on-off");
    let (scores, course) = course_of(&format!("{TANK}{}", spell("-18 K")), "on-off");
    assert!((course.at_h(30.0).room_c - 2.0).abs() < 1e-9);
    // The heater is on without a break and still too small: the water falls until the snap is over, then recovers.
    assert!(before.between_h(26.0, 48.0).any(|row| row.heater_w == 0.0));
    assert!(course.between_h(26.0, 48.0).all(|row| row.heater_w == 300.0));
    let lowest = course
        .0
        .iter()
        .min_by(|one, other| one.display_c.total_cmp(&other.display_c));
    let lowest_h = lowest.unwrap().at_ms as f64 / 3.6e6;
    assert!((47.9..48.6).contains(&lowest_h), "{lowest_h}");
    assert!(scores.tanks[0].lowest_c < healthy.tanks[0].lowest_c - 1.0);
    assert!(course.at_h(71.0).display_c > scores.tanks[0].lowest_c + 1.0);
}

#[test]
fn a_room_with_cooling_keeps_a_heat_wave_outdoors() {
    let wave = spell("9 K");
    let (_, held) = housed("24 °C", COOLING, &wave);
    let (_, open) = housed("24 °C", HEATING, &wave);
    assert!(held.between_h(24.0, 48.0).all(|row| row.room_c < 26.0));
    assert!(open.at_h(47.0).room_c > 31.0, "{}", open.at_h(47.0).room_c);
    assert!(open.at_h(47.9).display_c > held.at_h(47.9).display_c + 1.0);
}
