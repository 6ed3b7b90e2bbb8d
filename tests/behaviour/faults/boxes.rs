//! Boxes that fail as a whole.

use super::{Course, TANK, course_of};
use tepid_sim::scores::Scores;

/// The tank with its relay in the box "controller", and in place of the dial a cut-out with a bulb of its own in some box.
pub fn guarded(cut_out_box: &str) -> String {
    let dial = "[[contact]]\nname = \"dial\"\nkind = \"thermostat\"\nopens_above = \"29 °C\"\n";
    let cut_out = format!(
        "box = \"controller\"\n[[contact]]\nname = \"cut-out\"\nkind = \"cut-out\"\nbox = \"{cut_out_box}\"\n\
         opens_above = \"27 °C\"\nbulb = \"display\"\n"
    );
    assert!(TANK.contains(&format!("role = \"heat\"\n{dial}")));
    TANK.replace(dial, &cut_out).replace(
        "chain = [\"relay\", \"dial\"]",
        "chain = [\"cut-out\", \"relay\"]",
    )
}

fn struck(cut_out_box: &str, what: &str) -> (Scores, Course) {
    let fault = format!("[[fault]]\nwhat = \"{what}\"\nbox = \"controller\"\n");
    course_of(&format!("{}{fault}", guarded(cut_out_box)), "on-off")
}

#[test]
fn an_independent_cut_out_beats_one_in_the_same_box_when_the_box_fails() {
    let (own, held) = struck("cut-out", "box welded");
    let (shared, lost) = struck("controller", "box welded");
    // Nothing in the shared box opens any more: full power to the end, past both danger lines.
    assert!(lost.between_h(24.1, 72.0).all(|row| row.heater_w == 300.0));
    assert!(shared.tanks[0].highest_c > 30.0, "{}", shared.tanks[0].highest_c);
    assert!(shared.tanks[0].hot.used_up_ms.is_some());
    // The relay is just as welded beside an own box; what opens is the cut-out.
    assert!(held.between_h(24.1, 72.0).all(|row| row.relay_closed));
    assert!(held.between_h(30.0, 72.0).any(|row| row.heater_w == 0.0));
    assert!(own.tanks[0].highest_c < 27.5, "{}", own.tanks[0].highest_c);
    assert_eq!(own.tanks[0].hot.used, 0.0);
    // A weld of the relay alone is held by either: it is the common cause that makes the difference.
    let weld = "[[fault]]\nwhat = \"contact welded\"\ncontact = \"relay\"\n";
    let alone = course_of(&format!("{}{weld}", guarded("controller")), "on-off").0;
    assert!(alone.tanks[0].highest_c < 27.5);
}

#[test]
fn a_box_that_stays_open_takes_every_heater_whose_relay_it_holds() {
    let two = |second_box: &str| {
        let second = format!(
            "[[heater]]\nname = \"second\"\npower = \"300 W\"\ntank = \"display\"\nchain = [\"relay 2\"]\n\
             [[contact]]\nname = \"relay 2\"\nkind = \"relay\"\nrole = \"heat\"\nbox = \"{second_box}\"\n"
        );
        let fault = "[[fault]]\nwhat = \"box stuck open\"\nbox = \"controller\"\n";
        course_of(&format!("{}{second}{fault}", guarded("controller")), "on-off").0
    };
    let (together, apart) = (two("controller"), two("second"));
    let drawn_kwh = |scores: &Scores, heater: usize| scores.heaters[heater].energy_kwh;
    assert!(together.tanks[0].end_c < 21.5, "{}", together.tanks[0].end_c);
    assert!(apart.tanks[0].lowest_c > 24.9, "{}", apart.tanks[0].lowest_c);
    // The one in the other box takes up the whole load.
    assert!(drawn_kwh(&apart, 0) < 0.5 * drawn_kwh(&apart, 1));
    assert!((drawn_kwh(&together, 0) - drawn_kwh(&together, 1)).abs() < 1e-9);
}
