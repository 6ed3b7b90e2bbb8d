//! Fans and chillers.

use super::{Course, course_of};
use tepid_sim::scores::Scores;

/// The tank in a hot room, with a fan or a chiller that a relay commands.
fn hot(cooler: &str, fault: &str) -> (Scores, Course) {
    in_room("29 °C", cooler, fault)
}

/// The same in a room where it needs heating.
fn cool(cooler: &str, fault: &str) -> (Scores, Course) {
    in_room("22 °C", cooler, fault)
}

fn in_room(temperature: &str, cooler: &str, fault: &str) -> (Scores, Course) {
    let tank = super::TANK
        .replace(
            "temperature = \"20 °C\"",
            &format!("temperature = \"{temperature}\""),
        )
        .replace("cover = \"lid\"", "cover = \"open\"");
    let relay = "[[contact]]\nname = \"cool relay\"\nkind = \"relay\"\nrole = \"cool\"\n";
    course_of(&format!("{tank}{relay}{cooler}{fault}"), "heat-and-fan")
}

const FAN: &str = "[[fan]]\nname = \"fan\"\ntank = \"display\"\npower = \"5 W\"\nspeed = \"2 m/s\"\nchain = [\"cool relay\"]\n";
const CHILLER: &str =
    "[[chiller]]\nname = \"chiller\"\ntank = \"display\"\ncapacity = \"300 W\"\nchain = [\"cool relay\"]\n";

#[test]
fn a_fan_that_stops_lets_the_water_warm_though_its_contact_is_closed() {
    let (healthy, before) = hot(FAN, "");
    let (scores, course) = hot(FAN, "[[fault]]\nwhat = \"fan stopped\"\nfan = \"fan\"\n");
    // The strategy goes on asking for it, and asks without a break once the water is too warm.
    assert!(before.between_h(24.0, 72.0).any(|row| row.fan_w > 0.0));
    assert!(course.between_h(24.01, 72.0).all(|row| row.fan_w == 0.0));
    assert!(course.between_h(48.0, 72.0).all(|row| row.cooler_closed));
    assert!(course.at_h(24.0).display_c < 26.5);
    assert!(scores.tanks[0].highest_c > healthy.tanks[0].highest_c + 0.5);
}

#[test]
fn a_fan_that_a_weld_keeps_on_cools_the_water_until_the_heater_heats_against_it() {
    let weld = "[[fault]]\nwhat = \"contact welded\"\ncontact = \"cool relay\"\n";
    let (healthy, before) = cool(FAN, "");
    let (scores, course) = cool(FAN, weld);
    // In this room nobody asks for the fan; welded it turns to the end.
    assert!(before.between_h(0.0, 72.0).all(|row| row.fan_w == 0.0));
    assert!(
        course
            .between_h(24.01, 72.0)
            .all(|row| row.fan_w == 5.0 && row.cooler_closed)
    );
    // What evaporates more is heated in again: the water is held, and the electricity shows it.
    assert!(scores.tanks[0].lowest_c > 24.9, "{}", scores.tanks[0].lowest_c);
    let heating = |course: &Course| course.mean_h(30.0, 72.0, |row| row.heater_w);
    assert!(
        heating(&course) > heating(&before) + 40.0,
        "{} {}",
        heating(&course),
        heating(&before)
    );
    // With the heater dead as well it is the fan that takes the water below the air of the room.
    let dead = "[[fault]]\nwhat = \"heater dead\"\nheater = \"main\"\n";
    let (lone, _) = cool(FAN, dead);
    let (both, after) = cool(FAN, &format!("{weld}{dead}"));
    assert!(both.tanks[0].end_c < lone.tanks[0].end_c - 1.0);
    assert!(after.at_h(71.9).display_c < after.at_h(71.9).room_c);
    assert!(healthy.tanks[0].lowest_c > 24.9);
}

#[test]
fn a_dead_chiller_draws_nothing_and_a_blocked_one_draws_as_much_for_less() {
    let (healthy, before) = hot(CHILLER, "");
    let (dead, without) = hot(
        CHILLER,
        "[[fault]]\nwhat = \"chiller dead\"\nchiller = \"chiller\"\n",
    );
    let (blocked, with_less) = hot(
        CHILLER,
        "[[fault]]\nwhat = \"chiller blocked\"\nchiller = \"chiller\"\nleft = \"10 %\"\n",
    );
    assert!(
        healthy.tanks[0].highest_c < 26.5,
        "{}",
        healthy.tanks[0].highest_c
    );
    let drawn_w = |course: &Course| -> Vec<f64> {
        let drawn = course.between_h(30.0, 72.0).map(|row| row.chiller_w);
        drawn.filter(|watts| *watts > 0.0).collect()
    };
    // Dead: asked for without a break, and nothing is drawn.
    assert!(drawn_w(&without).is_empty());
    assert!(without.between_h(48.0, 72.0).all(|row| row.cooler_closed));
    // Blocked: it draws what a healthy one draws, all the time in place of now and then, and the water still warms.
    let watts = drawn_w(&before)[0];
    assert!(
        drawn_w(&with_less)
            .iter()
            .all(|drawn| (drawn - watts).abs() < 1e-9)
    );
    assert!(before.between_h(48.0, 72.0).any(|row| row.chiller_w == 0.0));
    assert!(with_less.between_h(48.0, 72.0).all(|row| row.chiller_w > 0.0));
    assert!(dead.tanks[0].end_c > blocked.tanks[0].end_c && blocked.tanks[0].end_c > healthy.tanks[0].end_c);
    for scores in [&healthy, &dead, &blocked] {
        assert!(scores.heat_balance.error_frac < 1e-9);
    }
}
