//! The controller.

use super::{TANK, broken, course_of};

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
    let (scores, course) =
        broken("what = \"controller hung\"\ncontacts = \"hold\"\nwhen = \"opening 3 of relay\"");
    // The contact was about to open as the box hung: it holds what it had been told before, closed or open.
    let last = course.0.last().unwrap();
    assert_eq!(last.relay_closed, scores.tanks[0].end_c > 26.0);
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
        course_of(&format!("{TANK}{fault}"), "pi").0.tanks[0].clone()
    };
    let kept = restart("restart = \"state kept\"");
    let lost = restart("restart = \"state lost\"");
    let stale = restart("restart = \"state stale\"\nstate_age = \"35 h\"");
    // What it has learned is what it adds up: without it the water first falls.
    assert!(
        lost.lowest_c < kept.lowest_c - 0.02,
        "{} {}",
        lost.lowest_c,
        kept.lowest_c
    );
    // A state from the first hour is another one than that of now or none at all.
    assert!(stale.mean_c != kept.mean_c && stale.mean_c != lost.mean_c);
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
