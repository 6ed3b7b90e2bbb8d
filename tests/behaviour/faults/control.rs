//! The controller.

use super::{Course, TANK, broken, course_of};
use tepid_sim::time::HOUR;

#[test]
fn a_controller_that_hangs_while_heating_heats_until_something_else_opens() {
    let (scores, course) =
        broken("what = \"controller hung\"\ncontacts = \"hold\"\nwhen = \"closing 3 of relay\"");
    // The relay holds closed to the end; the heater's own dial at 29 °C is what opens.
    assert!(course.0.last().unwrap().relay_closed);
    assert!(scores.tanks[0].highest_c > 28.0 && scores.tanks[0].highest_c < 29.5);
    assert!(scores.contacts[1].closings > 0);
}

#[test]
fn a_controller_that_hangs_while_idle_lets_the_tank_cool() {
    let (_, healthy) = course_of(TANK, "on-off");
    let later: Vec<_> = healthy.between_h(30.0, 72.0).collect();
    let resting = later
        .windows(2)
        .find(|two| two.iter().all(|row| !row.relay_closed));
    let idle_ms = resting.expect("the relay rests now and then")[1].at_ms;
    let (scores, course) = broken(&format!(
        "what = \"controller hung\"\ncontacts = \"hold\"\nwhen = \"{idle_ms} ms\""
    ));
    // Up to the fault the course is that of the healthy tank; from then on the contact is never closed again, however cold the water gets.
    let from_h = idle_ms as f64 / 3.6e6;
    assert!(course.between_h(24.0, from_h).any(|row| row.relay_closed));
    assert!(
        course
            .between_h(from_h, 72.0)
            .all(|row| !row.relay_closed && row.heater_w == 0.0)
    );
    assert!(scores.tanks[0].end_c < 22.5, "{}", scores.tanks[0].end_c);
    // The probe is well and says so: nobody listens.
    let last = course.at_h(71.9);
    assert!((last.reading_c.unwrap() - last.display_c).abs() < 0.05);
}

#[test]
fn a_controller_that_hangs_just_as_it_opens_a_contact_leaves_it_open() {
    let (_, course) =
        broken("what = \"controller hung\"\ncontacts = \"hold\"\nwhen = \"opening 3 of relay\"");
    let last_closed = course.0.iter().rposition(|row| row.relay_closed);
    let (until, after) = course.0.split_at(last_closed.expect("it heated before") + 1);
    // The third opening in the scored time is the last switching of all: nobody tells the contact to close again.
    let scored: Vec<_> = until
        .iter()
        .filter(|row| row.at_ms >= 0)
        .chain(&after[..1])
        .collect();
    let openings = scored
        .windows(2)
        .filter(|two| two[0].relay_closed && !two[1].relay_closed);
    assert_eq!(openings.count(), 3);
    assert!(after[0].at_ms < 12 * HOUR && course.at_h(71.9).display_c < 21.0);
}

#[test]
fn a_controller_whose_contacts_open_when_it_hangs_trades_a_fast_danger_for_a_slow_one() {
    let (scores, course) =
        broken("what = \"controller hung\"\ncontacts = \"open\"\nwhen = \"closing 3 of relay\"");
    assert!(course.between_h(48.0, 72.0).all(|row| row.heater_w == 0.0));
    assert!(scores.tanks[0].highest_c < 26.0 && scores.tanks[0].end_c < 22.0);
}

#[test]
fn a_pi_controller_that_lost_its_state_must_learn_the_tank_again() {
    let restart = |state: &str| {
        let fault = format!(
            "[[fault]]\nwhat = \"controller hung\"\ncontacts = \"open\"\nlasts = \"1 min\"\nwhen = \"36 h\"\n{state}\n"
        );
        course_of(&format!("{TANK}{fault}"), "pi").1
    };
    let kept = restart("restart = \"state kept\"");
    let lost = restart("restart = \"state lost\"");
    let stale = restart("restart = \"state stale\"\nstate_age = \"35 h\"");
    let healthy = course_of(TANK, "pi").1;
    let heating = |course: &Course, from, to| course.mean_h(from, to, |row| row.heater_w);
    // What it has learned is what it adds up. A minute's absence with its state kept is hardly seen; without it heats less at first, the water
    // falls, and hours later it knows again what the tank needs.
    let soon_w = |course: &Course| heating(course, 36.0, 36.5);
    assert!((soon_w(&kept) / soon_w(&healthy) - 1.0).abs() < 0.1);
    assert!(
        soon_w(&lost) < 0.7 * soon_w(&healthy),
        "{} {}",
        soon_w(&lost),
        soon_w(&healthy)
    );
    let coldest = |course: &Course| {
        let rows = course.between_h(36.0, 60.0).map(|row| row.display_c);
        rows.fold(f64::INFINITY, f64::min)
    };
    assert!(
        coldest(&lost) < coldest(&kept) - 0.05,
        "{} {}",
        coldest(&lost),
        coldest(&kept)
    );
    assert!((heating(&lost, 60.0, 72.0) / heating(&healthy, 60.0, 72.0) - 1.0).abs() < 0.05);
    // A state from the first hour of the course is that of a tank just as settled here: neither lost nor quite the same.
    let apart = |other: &Course| (heating(&stale, 36.0, 38.0) - heating(other, 36.0, 38.0)).abs();
    assert!(apart(&kept) < apart(&lost) && apart(&kept) > 0.0);
}

#[test]
fn a_stale_state_needs_an_age_and_a_restart_an_end() {
    for (fault, expected) in [
        ("restart = \"state stale\"\nlasts = \"5 min\"", "state_age"),
        ("restart = \"state lost\"", "lasts"),
        (
            "restart = \"state lost\"\nlasts = \"5 min\"\nstate_age = \"1 h\"",
            "state stale",
        ),
        (
            "restart = \"state stale\"\nlasts = \"5 min\"\nstate_age = \"1 h\"\nwhen = \"closing 3 of relay\"",
            "a time",
        ),
    ] {
        let text = format!("{TANK}[[fault]]\nwhat = \"controller hung\"\n{fault}\n");
        let report = tepid_scenarios::scenario_text("test.toml", &text).unwrap_err();
        assert!(report.plain().contains(expected), "{}", report.plain());
    }
}
