//! A room with heating of its own whose relay hangs on the controller: four tanks, one strategy for room and tanks.

use crate::support::{run_with, scenario};
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Scenario, When};
use tepid_sim::scores::Scores;
use tepid_sim::time::HOUR;

fn fish_room(changes: &[(&str, &str)]) -> Scenario {
    scenario("fish-room", changes)
}

fn radiator(scenario: &Scenario) -> ContactId {
    let named = |contact: &tepid_sim::scenario::Contact| contact.name == "relay radiator";
    ContactId(
        scenario
            .contacts
            .iter()
            .position(named)
            .expect("the radiator's relay"),
    )
}

fn broken(effect: Effect) -> Happening {
    Happening {
        name: "broken".to_owned(),
        when: When::At(-24 * HOUR),
        lasts: Lasts::ToTheEnd,
        effect,
        origin: Origin::Fault,
    }
}

fn heaters_kwh(scores: &Scores) -> f64 {
    scores.heaters.iter().map(|heater| heater.energy_kwh).sum()
}

fn room_kwh(scores: &Scores) -> f64 {
    scores.room.heating_kwh.expect("a room with heating")
}

fn highest_c(scores: &Scores) -> f64 {
    scores
        .tanks
        .iter()
        .map(|tank| tank.highest_c)
        .fold(f64::MIN, f64::max)
}

fn lowest_c(scores: &Scores) -> f64 {
    scores
        .tanks
        .iter()
        .map(|tank| tank.lowest_c)
        .fold(f64::MAX, f64::min)
}

/// The radiator's dial stands at 26 °C: nobody but the room's controller holds it below.
#[test]
fn a_room_held_too_warm_is_too_warm_for_every_tank_unless_somebody_controls_the_room() {
    let room = fish_room(&[]);
    let apart = run_with(&room, "on-off", &[]);
    let first = run_with(&room, "room-first", &[]);
    assert!(
        apart.tanks.iter().all(|tank| tank.lowest_c > 26.0),
        "{}",
        lowest_c(&apart)
    );
    assert_eq!(heaters_kwh(&apart), 0.0, "no heater can take it back");
    assert!(highest_c(&first) < 25.5 && lowest_c(&first) > 24.5);
    assert!(room_kwh(&first) < 0.97 * room_kwh(&apart));
}

/// The dial at 21 °C: the room can do no more than that, and what it lacks comes from each tank's own heater, by each tank's own probe.
#[test]
fn what_the_room_cannot_give_the_heaters_give() {
    let room = fish_room(&[("room.building.heating.setpoint", "21 °C")]);
    let first = run_with(&room, "room-first", &[]);
    assert!(first.heaters.iter().all(|heater| heater.energy_kwh > 1.0));
    // Half a kelvin below the target, and half their deadband of 0.4 K.
    assert!((24.2..24.5).contains(&lowest_c(&first)), "{}", lowest_c(&first));
}

/// Heat that a heater gives its tank is heat that the room's heating need not give.
#[test]
fn it_matters_little_to_the_sum_of_heat_who_gives_it() {
    let room = fish_room(&[("room.building.heating.setpoint", "24 °C")]);
    let sum_kwh = |strategy| {
        let scores = run_with(&room, strategy, &[]);
        (heaters_kwh(&scores), heaters_kwh(&scores) + room_kwh(&scores))
    };
    let ((apart_kwh, apart_sum_kwh), (first_kwh, first_sum_kwh)) = (sum_kwh("on-off"), sum_kwh("room-first"));
    assert!(
        apart_kwh > 1.0 && first_kwh == 0.0,
        "{apart_kwh} and {first_kwh} kWh"
    );
    assert!((first_sum_kwh / apart_sum_kwh - 1.0).abs() < 0.01);
}

#[test]
fn a_welded_relay_leaves_the_room_to_its_own_dial_and_one_stuck_open_leaves_the_tanks_to_their_heaters() {
    let room = fish_room(&[]);
    let relay = radiator(&room);
    let welded = run_with(&room, "room-first", &[broken(Effect::ContactWelded(relay))]);
    let by_dial = run_with(&room, "on-off", &[]);
    assert!((highest_c(&welded) - highest_c(&by_dial)).abs() < 0.05);
    for strategy in ["room-first", "on-off"] {
        // Under on-off every tank has a strategy of its own, and the relay belongs to one of them: the room is everybody's.
        let stuck = run_with(&room, strategy, &[broken(Effect::ContactStuckOpen(relay))]);
        assert_eq!(room_kwh(&stuck), 0.0, "{strategy}");
        assert!(
            stuck.heaters.iter().all(|heater| heater.energy_kwh > 5.0),
            "{strategy}"
        );
        assert!(
            stuck.room.highest_c < 20.0,
            "{strategy}: {}",
            stuck.room.highest_c
        );
    }
}

/// A controller that is off lets go of the relay, and the room is heated by its dial.
#[test]
fn a_dead_controller_does_not_take_the_heating_away() {
    let room = fish_room(&[]);
    let hung = broken(Effect::ControllerHung {
        outputs: tepid_sim::scenario::Outputs::Drop,
        restart: tepid_sim::scenario::Restart::Kept,
    });
    let dead = run_with(&room, "room-first", &[hung]);
    assert!(room_kwh(&dead) > 50.0);
    assert!(lowest_c(&dead) > 25.0, "{}", lowest_c(&dead));
}

/// What the radiator gives is no electricity of the tanks; without a word on it a strategy that lets the room do the work would look cheap.
#[test]
fn a_comparison_tells_what_the_rooms_heating_gives_under_each_strategy() {
    let asked = [
        "compare",
        "fish-room",
        "--strategy",
        "room-first",
        "--strategy",
        "on-off",
    ];
    let (code, said, _) = crate::bad_input::tepid(&[], &asked);
    assert_eq!(code, 0);
    let at = said
        .find("Beside the column of kWh, the room's heating gives")
        .expect("the line");
    assert!(said[at..].contains("kWh under room-first"), "{said}");
}
