//! Lights that fail.

use super::{Course, TANK, course_of};
use tepid_sim::scores::Scores;

/// The tank under a light of 100 W from 10:00 to 20:00, half of which ends in the water, and a fault from 24 h on.
fn lit(power: &str, fault: &str) -> (Scores, Course) {
    let light = format!(
        "[[light]]\nname = \"lamp\"\ntank = \"display\"\npower = \"{power}\"\non = \"10:00\"\noff = \"20:00\"\nshare_to_water = \"50 %\"\n"
    );
    course_of(&format!("{TANK}{light}{fault}"), "pi")
}

const OUT: &str = "[[fault]]\nwhat = \"light out\"\n";
const LEFT_ON: &str = "[[fault]]\nwhat = \"light left on\"\nlight = \"lamp\"\n";

fn heating_w(course: &Course, from_h: f64, to_h: f64) -> f64 {
    course.mean_h(from_h, to_h, |row| row.heater_w)
}

#[test]
fn a_light_that_stays_dark_leaves_its_heat_to_the_heater() {
    let (healthy, lighted) = lit("100 W", "");
    let (scores, dark) = lit("100 W", OUT);
    // On the afternoon of day 1 the two are one; on that of day 2 the heater gives the light's 50 W as well.
    assert_eq!(heating_w(&lighted, 14.0, 20.0), heating_w(&dark, 14.0, 20.0));
    let more_w = heating_w(&dark, 38.0, 44.0) - heating_w(&lighted, 38.0, 44.0);
    assert!((more_w - 50.0).abs() < 3.0, "{more_w}");
    // By night it is dark either way.
    let by_night_w = heating_w(&dark, 52.0, 58.0) - heating_w(&lighted, 52.0, 58.0);
    assert!(by_night_w.abs() < 3.0, "{by_night_w}");
    // Two days of 10 h at 100 W are not drawn.
    let less_kwh = healthy.energy_kwh - scores.energy_kwh + (more_w * 20.0 / 1000.0);
    assert!((less_kwh - 2.0).abs() < 0.1, "{less_kwh}");
}

#[test]
fn a_light_left_on_heats_through_the_night() {
    let (_, healthy) = lit("100 W", "");
    let (_, left_on) = lit("100 W", LEFT_ON);
    let less_w = heating_w(&healthy, 52.0, 58.0) - heating_w(&left_on, 52.0, 58.0);
    assert!((less_w - 50.0).abs() < 3.0, "{less_w}");
    let by_day_w = heating_w(&healthy, 62.0, 68.0) - heating_w(&left_on, 62.0, 68.0);
    assert!(by_day_w.abs() < 3.0, "{by_day_w}");
    // A strong one takes the water past what the night used to take back.
    let (before, _) = lit("500 W", "");
    let (after, course) = lit("500 W", LEFT_ON);
    assert!(after.tanks[0].end_c > before.tanks[0].end_c + 1.0);
    assert!(course.between_h(50.0, 72.0).all(|row| row.heater_w == 0.0));
}
