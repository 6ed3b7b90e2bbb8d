//! Fans and humidity.

use tepid_sim::physics::moist_air::{Air, wet_bulb_c};
use tepid_sim::time::days;

use crate::column::{Column, Run, Runs, Unit};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;

const DRY: usize = 0;
const DAMP: usize = 3;

const MEAN: usize = 0;
const FAN_ON: usize = 1;
const EVAPORATED: usize = 2;
const WET_BULB: usize = 3;

/// The least difference of two means that counts, K.
const CLEARLY_K: f64 = 0.5;

pub(super) const LESSON: Lesson = Lesson {
    name: "fan-and-damp",
    title: "A fan cools, until the air is damp",
    aim: "You can say why a fan cools water below the room, and what the weather has to do with it.",
    minutes: 30,
    ages: "12 to 16",
    story: "An open tank of fresh water stands in a room at 28 °C; its fish want 24 °C to 26 °C. A fan blows over the water whenever it is too warm. \
            We try it for three days in air of 30 %, 50 %, 70 % and 90 % relative humidity; all else is the same.",
    question: "How well does the same fan cool in very damp air?",
    choices: &[
        "Hardly at all.",
        "As well as in dry air: it moves the same air.",
        "Better: damp air carries more heat away.",
    ],
    set_ups,
    columns: &[
        Column {
            words: "Water on average",
            unit: Unit::Temperature,
            missing: "–",
            value: |run| run.worst().map(|tank| tank.mean_c),
        },
        Column {
            words: "Fan on",
            unit: Unit::Share,
            missing: "–",
            value: |run| {
                let contacts = &run.scores.contacts;
                let fan = contacts.iter().find(|contact| contact.contact == "relay fan");
                fan.map(|contact| contact.closed_frac)
            },
        },
        Column {
            words: "Evaporated a day",
            unit: Unit::Litres,
            missing: "–",
            value: |run| Some(run.scores.evaporated_kg / days(run.scores.scored_ms.max(1))),
        },
        Column {
            words: "Wet bulb",
            unit: Unit::Temperature,
            missing: "–",
            value: |run| Some(wet_bulb(run)),
        },
    ],
    picture: Picture::Course,
    key: 0,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "Q = A · g · (p_w − p_a) · h",
        symbols: &[
            ("Q", "heat that evaporation takes, W"),
            ("A", "surface of the water, m²"),
            ("g", "how easily vapour gets away: the fan makes it larger"),
            ("p_w", "vapour pressure at the water, Pa: the warmer, the higher"),
            ("p_a", "vapour pressure in the air, Pa: the damper, the higher"),
            ("h", "heat that evaporates a kilogram of water, J/kg"),
        ],
        source: "docs/model.md, \"Water surface\". The wet bulb is by the humid air of the same section.",
    },
    next: &[
        Next {
            words: "Find the humidity at which 26 °C can just no longer be held: try 60 %, then others.",
            command: "tepid run warm-room-fan --strategy heat-and-fan --set 'room.humidity=60 %'",
        },
        Next {
            words: "Lay a lid on it, to keep the water in. What does that do?",
            command: "tepid run warm-room-fan --strategy heat-and-fan --set 'tank.tank.cover=lid'",
        },
        Next {
            words: "A heat wave under a roof: how far does the fan get there?",
            command: "tepid run attic-heat-wave --strategy heat-and-fan",
        },
    ],
    for_the_teacher,
};

fn set_ups() -> Vec<SetUp> {
    [
        ("air of 30 %", "30 %"),
        ("air of 50 %", "50 %"),
        ("air of 70 %", "70 %"),
        ("air of 90 %", "90 %"),
    ]
    .into_iter()
    .map(|(label, humidity)| {
        let scenario = format!(
            r#"base  = "warm-room-fan"
title = "Warm room, tank with a fan, {label}"

[set]
duration           = "3 d"
"room.temperature" = "28 °C"
"room.humidity"    = "{humidity}"
"#
        );
        SetUp::under(label, scenario, "strategy = \"heat-and-fan\"\n".to_owned())
    })
    .collect()
}

/// The wet bulb of the room, which is as it is all the time, °C.
fn wet_bulb(run: &Run<'_>) -> f64 {
    let room = &run.scores.room;
    wet_bulb_c(Air::from_relative_humidity(
        room.highest_c,
        room.highest_humidity_frac,
        run.scenario.water.pressure_pa,
    ))
}

fn shown(runs: &Runs) -> Option<usize> {
    let warmer_k = runs.value(DAMP, MEAN) - runs.value(DRY, MEAN);
    let works_more = runs.value(DAMP, FAN_ON) > 0.995 && runs.value(DRY, FAN_ON) < 0.5;
    let above_the_floor = [DRY, DAMP]
        .into_iter()
        .all(|air| runs.value(air, MEAN) > runs.value(air, WET_BULB));
    let takes_less = runs.value(DAMP, EVAPORATED) < runs.value(DRY, EVAPORATED);
    match warmer_k {
        _ if warmer_k > 2.0 * CLEARLY_K && works_more && above_the_floor && takes_less => Some(0),
        _ if warmer_k.abs() < CLEARLY_K => Some(1),
        _ if warmer_k < -2.0 * CLEARLY_K => Some(2),
        _ => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "In air of 30 % the fan holds the water at {} and has to run {} of the time. In air of 90 % it runs {} of the time and the water is at {}.",
        runs.told(DRY, MEAN),
        runs.told(DRY, FAN_ON),
        runs.told(DAMP, FAN_ON),
        runs.told(DAMP, MEAN),
    )
}

fn explanation(runs: &Runs) -> Vec<String> {
    vec![
        format!(
            "The fan does not bring cold: the air in the room is warmer than the water should be. It helps water to evaporate, and evaporating takes heat, as on wet \
             skin. In damp air there is little room for more vapour. So at 90 % only {} evaporate a day although the fan never rests, against {} at 30 % with a \
             fan that rests most of the time.",
            runs.told(DAMP, EVAPORATED),
            runs.told(DRY, EVAPORATED),
        ),
        format!(
            "There is a floor that no fan gets below: the wet bulb, the temperature of a wet cloth in the wind. It is {} in this room at 30 % and {} at 90 %. A tank stays \
             above it, because lamp and pumps heat it and because the fan does not reach all of it.",
            runs.told(DRY, WET_BULB),
            runs.told(DAMP, WET_BULB),
        ),
        "What evaporates has to be topped up, and makes the room damper: in a closed room the fan works against itself.".to_owned(),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    vec![
        "Often said: \"Moving air is cold.\" Hold a thermometer into the wind of a small battery fan, dry and then with a wet cloth round it: the dry one shows the room.".to_owned(),
        format!(
            "Have them draw water against wet bulb: {} and {} at 30 %, {} and {} at 90 %. Where the fan runs all the time the water follows the wet bulb; where it may \
             rest the controller holds it.",
            runs.told(DRY, MEAN),
            runs.told(DRY, WET_BULB),
            runs.told(DAMP, MEAN),
            runs.told(DAMP, WET_BULB),
        ),
        "Evaporation is the least certain of the model's terms, about a fifth: docs/uncertainty.md. The order of the four runs does not hang on that.".to_owned(),
    ]
}
