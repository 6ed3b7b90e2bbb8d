//! Contacts, dials and heaters.

use super::{Course, TANK, broken, course_of};

#[test]
fn a_contact_that_cannot_close_lets_the_tank_cool_to_the_room() {
    let (scores, course) = broken("what = \"contact stuck open\"\ncontact = \"relay\"");
    assert!(
        course
            .between_h(24.0, 72.0)
            .all(|row| row.heater_w == 0.0 && !row.relay_closed)
    );
    assert!(scores.tanks[0].end_c < 21.5, "{}", scores.tanks[0].end_c);
}

#[test]
fn a_chattering_contact_wears_by_thousands_and_still_heats_by_half() {
    let (healthy, _) = course_of(TANK, "on-off");
    let (scores, course) = broken("what = \"contact chatters\"\ncontact = \"relay\"\nevery = \"2 s\"");
    assert!(scores.contacts[0].closings > 1000 + healthy.contacts[0].closings);
    // Half of 300 W still holds this tank in this room.
    assert!(scores.tanks[0].lowest_c > 24.5, "{}", scores.tanks[0].lowest_c);
    let on: Vec<_> = course.between_h(24.0, 24.0 + 6.0).collect();
    let switches = on
        .windows(2)
        .filter(|two| two[0].relay_closed != two[1].relay_closed);
    assert!(switches.count() > 1000);
}

#[test]
fn a_weld_at_the_next_opening_after_a_time_waits_for_that_time() {
    let (_, healthy) = course_of(TANK, "on-off");
    let (scores, course) =
        broken("what = \"contact welded\"\ncontact = \"relay\"\nwhen = \"opening 1 of relay after 30 h\"");
    // Up to the first opening after 30 h the two are one; from then on the contact is closed.
    let later: Vec<_> = healthy.between_h(30.0, 72.0).collect();
    let opening = later
        .windows(2)
        .find(|two| two[0].relay_closed && !two[1].relay_closed);
    let welded_h = opening.expect("it opens")[1].at_ms as f64 / 3.6e6;
    assert_eq!(
        course.changes_h(0.0, welded_h, |row| row.relay_closed),
        healthy.changes_h(0.0, welded_h, |row| row.relay_closed)
    );
    assert!(course.between_h(welded_h, 72.0).all(|row| row.relay_closed));
    assert!(scores.tanks[0].highest_c > 28.0);
}

#[test]
fn behind_a_welded_relay_the_water_follows_a_dial_that_drifts() {
    let weld = "[[fault]]\nwhat = \"contact welded\"\ncontact = \"relay\"\nwhen = \"0 h\"\n";
    let drift =
        "[[fault]]\nwhat = \"dial drifts\"\ncontact = \"dial\"\nper_day = \"-1 K\"\nwhen = \"24 h\"\n";
    let (_, course) = course_of(&format!("{TANK}{weld}{drift}"), "on-off");
    let highest = |day: f64| {
        let rows = course.between_h(24.0 * day - 4.0, 24.0 * day);
        rows.map(|row| row.display_c).fold(f64::NEG_INFINITY, f64::max)
    };
    // The dial opens at 29 °C on day 1 and a kelvin lower at the end of each day after.
    let fall = highest(2.0) - highest(3.0);
    assert!((fall - 1.0).abs() < 0.1, "{fall}");
}

#[test]
fn a_dial_set_to_78_in_celsius_protects_from_nothing() {
    let weld = "[[fault]]\nwhat = \"contact welded\"\ncontact = \"relay\"\nwhen = \"0 h\"\n";
    let typed = "[[fault]]\nwhat = \"dial set\"\ncontact = \"dial\"\nto = \"78 °C\"\nwhen = \"0 h\"\n";
    let (held, _) = course_of(&format!("{TANK}{weld}"), "on-off");
    let (lost, course) = course_of(&format!("{TANK}{weld}{typed}"), "on-off");
    assert!(held.tanks[0].highest_c < 29.5);
    assert!(lost.tanks[0].highest_c > 31.0, "{}", lost.tanks[0].highest_c);
    assert!(course.between_h(1.0, 72.0).all(|row| row.heater_w > 0.0));
}

#[test]
fn an_unplugged_heater_forgotten_for_a_day_is_missed_for_a_day() {
    let (scores, course) = broken("what = \"heater unplugged\"\nheater = \"main\"\nlasts = \"1 d\"");
    assert!(course.between_h(24.0, 48.0).all(|row| row.heater_w == 0.0));
    assert!(course.between_h(48.0, 49.0).all(|row| row.heater_w == 300.0));
    assert!(scores.tanks[0].lowest_c < 23.0 && scores.tanks[0].end_c > 25.0);
}

#[test]
fn heaters_left_unplugged_are_asked_for_in_vain() {
    let (scores, course) = broken("what = \"heaters unplugged\"");
    assert!(course.between_h(0.0, 23.9).any(|row| row.heater_w == 300.0));
    // The relay closes as soon as the water is too cold and stays closed: it has nothing to feed.
    assert!(
        course
            .between_h(30.0, 72.0)
            .all(|row| row.relay_closed && row.heater_w == 0.0)
    );
    assert!(scores.tanks[0].end_c < 22.0);
}

#[test]
fn a_feeding_pause_may_hold_the_heaters_off_meanwhile() {
    let pause = "[[event]]\nwhat = \"feeding pause\"\nat = \"day 2 08:00\"\nlasts = \"1 h\"\n";
    let (_, running) = course_of(&format!("{TANK}{pause}"), "on-off");
    let (_, held) = course_of(&format!("{TANK}{pause}heaters = \"held off\"\n"), "on-off");
    assert!(running.between_h(32.0, 33.0).any(|row| row.heater_w > 0.0));
    assert!(held.between_h(32.0, 33.0).all(|row| row.heater_w == 0.0));
    assert!(held.between_h(33.0, 34.0).any(|row| row.heater_w > 0.0));
}

#[test]
fn a_lid_left_off_costs_heat() {
    let (_, healthy) = course_of(TANK, "on-off");
    let (scores, course) = broken("what = \"cover\"\ntank = \"display\"\ncover = \"open\"\nlasts = \"24 h\"");
    let heating = |course: &Course, from, to| course.mean_h(from, to, |row| row.heater_w);
    // Before, alike; without the lid the heater makes up for what evaporates and holds the water; with the lid on again, as before.
    assert!((heating(&course, 0.0, 24.0) - heating(&healthy, 0.0, 24.0)).abs() < 1e-9);
    let (off_w, usual_w) = (heating(&course, 26.0, 48.0), heating(&healthy, 26.0, 48.0));
    assert!(off_w > 1.3 * usual_w, "{off_w} {usual_w}");
    assert!((heating(&course, 50.0, 72.0) / heating(&healthy, 50.0, 72.0) - 1.0).abs() < 0.05);
    assert!(scores.tanks[0].lowest_c > 24.9);
    // The heat went by evaporation: the water that has to be replaced tells it.
    let evaporated = |fault: &str| {
        let scores = course_of(&format!("{TANK}{fault}"), "on-off").0;
        let paths = scores.heat_balance.paths.iter();
        -paths
            .filter(|path| path.name.contains("evaporation"))
            .map(|path| path.heat_j)
            .sum::<f64>()
    };
    let more_j =
        evaporated("[[fault]]\nwhat = \"cover\"\ntank = \"display\"\ncover = \"open\"\nlasts = \"24 h\"\n")
            - evaporated("");
    assert!(more_j > 0.5 * (off_w - usual_w) * 86_400.0, "{more_j}");
}
