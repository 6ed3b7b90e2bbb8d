//! The scenarios of the library teach what they say they teach.

use crate::support::{run_with, scenario, strategy, worst};
use tepid::rooms::{ROOMS, in_room, range_c};
use tepid_output::records::RoomKind;
use tepid_scenarios::{fault_set, library};
use tepid_sim::plant::{Plant, PlantSize};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Happening, When};
use tepid_sim::scores::{Scores, TankScores, trial_instants};
use tepid_sim::time::{DAY, HOUR};

/// What a keeper would run in each scenario: with it, and with nothing broken, the livestock's dose is never used up.
pub const SENSIBLE: [(&str, &str); 10] = [
    ("spare-room-winter", "on-off"),
    ("spare-room-one-big-heater", "on-off"),
    ("attic-heat-wave", "heat-and-fan"),
    ("lidded-nano", "on-off"),
    ("warm-room-fan", "heat-and-fan"),
    ("garage-outage", "on-off"),
    ("classroom-weekend", "on-off"),
    ("year-round", "heat-and-fan"),
    ("shop-room", "on-off"),
    ("fish-room", "room-first"),
];

/// Where using up the dose with nothing broken is the lesson: no fan in the heat, no heater in the cold.
const MEANT: [(&str, &str, RoomKind); 6] = [
    ("attic-heat-wave", "on-off", RoomKind::Scenario),
    ("attic-heat-wave", "on-off", RoomKind::Warmest),
    ("warm-room-fan", "on-off", RoomKind::Warmest),
    ("warm-room-fan", "fan-cooling", RoomKind::Coldest),
    ("year-round", "on-off", RoomKind::Scenario),
    ("year-round", "fan-cooling", RoomKind::Scenario),
];

fn healthy(name: &str, strategy_name: &str, room: RoomKind) -> TankScores {
    let mut placed = in_room(&scenario(name, &[]), room);
    if room != RoomKind::Scenario {
        // A constant room shows all it has to show within a week.
        placed.duration_ms = placed.duration_ms.min(7 * DAY);
    }
    worst(&run_with(&placed, strategy_name, &[])).clone()
}

/// A contact welded from the first afternoon on, in a room of the scenario.
fn welded(name: &str, changes: &[(&str, &str)], contact: &str, room: RoomKind) -> TankScores {
    let placed = in_room(&scenario(name, changes), room);
    let cases = fault_set(&placed, "one contact welded").expect("built in").cases;
    let weld: Vec<Happening> = cases
        .into_iter()
        .map(|case| case.fault)
        .filter(|case| case.name == format!("{contact} welded"))
        .map(|case| Happening {
            when: When::At(16 * HOUR),
            ..case
        })
        .collect();
    assert_eq!(weld.len(), 1, "{contact}");
    worst(&run_with(&placed, "on-off", &weld)).clone()
}

#[test]
fn every_scenario_of_the_library_has_a_sensible_strategy() {
    let sensible: Vec<&str> = SENSIBLE.iter().map(|(name, _)| *name).collect();
    assert_eq!(sensible, library::names().collect::<Vec<_>>());
}

#[test]
fn with_a_sensible_strategy_and_nothing_broken_no_library_tank_uses_up_its_dose() {
    for (name, strategy_name) in SENSIBLE {
        for room in ROOMS {
            let tank = healthy(name, strategy_name, room);
            assert!(
                tank.hot.used < 1.0,
                "{name}, {strategy_name}, {room:?}: hot {}",
                tank.hot.used
            );
            assert!(
                tank.cold.used < 1.0,
                "{name}, {strategy_name}, {room:?}: cold {}",
                tank.cold.used
            );
        }
    }
}

#[test]
fn without_a_fan_in_the_heat_or_a_heater_in_the_cold_the_dose_is_used_up() {
    for (name, strategy_name, room) in MEANT {
        let tank = healthy(name, strategy_name, room);
        assert!(
            tank.hot.used >= 1.0 || tank.cold.used >= 1.0,
            "{name}, {strategy_name}, {room:?}"
        );
    }
}

#[test]
fn a_welded_relay_with_the_dial_at_its_stop_is_a_disaster_where_a_dial_just_above_the_target_is_none() {
    for room in [RoomKind::Scenario, RoomKind::Warmest] {
        let open = welded("spare-room-one-big-heater", &[], "relay", room);
        assert!(open.hot.used >= 1.0, "{room:?}: {}", open.hot.used);
        let dial = [("contact.dial.opens_above", "27.5 °C")];
        let kept = welded("spare-room-one-big-heater", &dial, "relay", room);
        assert_eq!(kept.hot.used, 0.0, "{room:?}");
        for relay in ["relay left", "relay right"] {
            assert_eq!(
                welded("spare-room-winter", &[], relay, room).hot.used,
                0.0,
                "{relay} {room:?}"
            );
        }
    }
}

#[test]
fn a_probe_beside_the_heaters_wears_their_relays_more_than_twice_as_fast() {
    let closings = |changes: &[(&str, &str)]| {
        run_with(&scenario("spare-room-winter", changes), "on-off", &[]).contacts[1].closings
    };
    let (sump, display) = (closings(&[]), closings(&[("probe.main.tank", "display")]));
    assert!(sump > 2 * display, "{sump} in the sump, {display} in the display");
}

#[test]
fn twice_the_deadband_spares_the_relays_far_more_than_half_of_their_closings() {
    let spare_room = scenario("spare-room-winter", &[]);
    let narrow = run_with(&spare_room, "on-off", &[]);
    let text = "strategy = \"on-off\"\ndeadband = \"0.8 K\"";
    let Ok(tepid_scenarios::Loaded::Strategy(wide)) = tepid_scenarios::load_str("wide", text) else {
        panic!("a strategy")
    };
    let wide = run(&RunRequest::new(&spare_room, wide.recipe.as_ref(), 7), None).expect("runs");
    assert!(4 * wide.contacts[1].closings < narrow.contacts[1].closings);
}

#[test]
fn the_size_of_a_heater_without_a_dial_decides_what_a_stuck_relay_does() {
    let dose = |power: &str| {
        welded(
            "lidded-nano",
            &[("heater.heater.power", power)],
            "plug-in relay",
            RoomKind::Scenario,
        )
        .hot
        .used
    };
    assert_eq!(dose("25 W"), 0.0);
    let usual = dose("50 W");
    assert!(usual > 0.0 && usual < 1.5, "{usual}");
    assert!(dose("100 W") > 3.0);
}

#[test]
fn damp_air_undoes_a_fan_in_a_heat_wave() {
    let used = |humidity: &str| {
        let attic = scenario("attic-heat-wave", &[("room.humidity", humidity)]);
        worst(&run_with(&attic, "heat-and-fan", &[])).hot.used
    };
    assert_eq!(used("40 %"), 0.0);
    assert!(used("80 %") >= 1.0);
}

#[test]
fn a_fan_that_never_rests_takes_the_water_a_few_kelvins_below_a_steady_room_and_no_further() {
    let changes = [
        ("room.temperature", "28 °C"),
        ("light.lamp.power", "0 W"),
        ("heater.heater.power", "1 W"),
        ("water.target", "20 °C"),
        ("water.band", "[\"19.5 °C\", \"20.5 °C\"]"),
        ("duration", "12 d"),
    ];
    let tank = worst(&run_with(
        &scenario("warm-room-fan", &changes),
        "fan-cooling",
        &[],
    ))
    .clone();
    let below_k = 28.0 - tank.end_c;
    // The wet bulb of 28 °C at 40 % is 18.8 °C (Stull 2011, equation 1, from memory): 9 K below, out of reach of a clip fan.
    assert!(below_k > 3.0 && below_k < 6.0, "{below_k}");
}

#[test]
fn an_alert_that_needs_power_comes_when_the_outage_is_over() {
    let garage = scenario("garage-outage", &[]);
    let scores: Scores = run_with(&garage, "on-off", &[]);
    let over_ms = DAY + 19 * HOUR + 12 * HOUR;
    assert!(
        scores.first_alert_ms.is_some_and(|alert_ms| alert_ms >= over_ms),
        "{:?}",
        scores.first_alert_ms
    );
    let recipe = strategy("on-off");
    let mut battery = garage.clone();
    battery.watches[0].battery_ms = 2 * DAY;
    let heard = run(&RunRequest::new(&battery, recipe.as_ref(), 7), None).expect("runs");
    assert!(
        heard.first_alert_ms.is_some_and(|alert_ms| alert_ms < over_ms),
        "{:?}",
        heard.first_alert_ms
    );
}

#[test]
fn a_heater_that_suffices_in_a_lesson_does_not_suffice_on_sunday_night() {
    let classroom = worst(&run_with(&scenario("classroom-weekend", &[]), "on-off", &[])).clone();
    assert!(classroom.lowest_c < 21.0, "{}", classroom.lowest_c);
    let heated = scenario("classroom-weekend", &[("room.temperature", "20 °C")]);
    let lowest_c = worst(&run_with(&heated, "on-off", &[])).lowest_c;
    assert!(lowest_c > 23.5, "{lowest_c}");
}

#[test]
fn every_scenario_of_the_library_is_counted_as_large_as_it_is_simulated() {
    for name in library::names() {
        let scenario = scenario(name, &[]);
        let plant = Plant::compile(&scenario, &[]).expect("compiles");
        let size = PlantSize::of(&scenario);
        assert_eq!(size.nodes, plant.network().size(), "{name}");
        assert!(size.fits(), "{name}");
    }
}

#[test]
fn a_years_holidays_count_among_its_coldest_and_warmest_days_and_in_the_range_of_its_room() {
    let year = scenario("year-round", &[]);
    let tried = trial_instants(&year);
    let on_days_that_are =
        |shifted: fn(f64) -> bool| tried.iter().any(|at_ms| shifted(year.room_shift_k(*at_ms)));
    assert!(on_days_that_are(|by_k| by_k < 0.0), "the winter holiday");
    assert!(on_days_that_are(|by_k| by_k > 0.0), "the summer holiday");
    // The run looks at the room every ten minutes, the range once an hour.
    let (lowest_c, highest_c) = range_c(&year, 7, 0, 0, year.duration_ms);
    let room = run_with(&year, "heat-and-fan", &[]).room;
    assert!(
        (room.lowest_c - lowest_c).abs() < 0.3,
        "{} {lowest_c}",
        room.lowest_c
    );
    assert!(
        (room.highest_c - highest_c).abs() < 0.3,
        "{} {highest_c}",
        room.highest_c
    );
}
