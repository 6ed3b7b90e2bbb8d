//! Why a big heater is a risk.

use crate::column::{Column, Runs};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;
use crate::words::{difference, temperature, times};

const SMALL: usize = 0;
const MIDDLE: usize = 1;
const BIG: usize = 2;

const HIGHEST: usize = 0;
const USED_UP: usize = 2;

/// The least difference of two highest temperatures that counts, K: less is the weather's.
const CLEARLY_K: f64 = 1.0;

pub(super) const LESSON: Lesson = Lesson {
    name: "big-heater",
    title: "Why a big heater is a risk",
    aim: "You can say what the power of a heater decides on the day on which it cannot be switched off.",
    minutes: 30,
    ages: "12 to 16",
    story: "A reef tank of about 330 L stands in a room at 22 °C and is held at 25.5 °C by a heater on a relay. At 06:00 on the first day the relay \
            welds shut: from then on the heater heats without end, whatever the controller says. We try the same tank with a heater of 100 W, of \
            200 W and of 400 W, and follow each for three days.",
    question: "What does the power of the heater decide, once it cannot be switched off?",
    choices: &[
        "Only how soon: all three tanks end equally warm, the one with the big heater first.",
        "How warm and how soon: the bigger the heater, the warmer the tank ends and the sooner it is dangerous.",
        "Nothing: the controller opens the relay as soon as the water is too warm.",
    ],
    set_ups,
    columns: &[Column::WARMEST, Column::DOSE, Column::USED_UP],
    picture: Picture::Course,
    key: 1,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "T_end − T_room = P / U",
        symbols: &[
            ("T_end", "temperature at which the water stops rising, °C"),
            ("T_room", "temperature of the room, °C"),
            ("P", "all heat that goes into the water: heater, pumps, lamp, W"),
            (
                "U",
                "heat that the tank loses for each kelvin above the room, W/K",
            ),
        ],
        source: "docs/model.md, \"Lumps\": the heat balance of a tank, once nothing changes any more. The model itself does not take U as a fixed number: \
                 warmer water evaporates more, so U grows and the end comes out lower.",
    },
    next: &[
        Next {
            words: "A warmer room lifts the end. How many kelvins does the water gain when the room gains four?",
            command: "tepid run spare-room-one-big-heater --strategy on-off --set 'room.temperature=26 °C' --fault 'one contact welded'",
        },
        Next {
            words: "How small may the heater be and still hold the tank in winter?",
            command: "tepid run spare-room-one-big-heater --strategy on-off --set 'heater.heater.power=200 W'",
        },
        Next {
            words: "Ask the program for the watts of your own room.",
            command: "tepid size spare-room-one-big-heater",
        },
    ],
    for_the_teacher,
};

fn set_ups() -> Vec<SetUp> {
    [
        ("100 W", "a heater of 100 W"),
        ("200 W", "a heater of 200 W"),
        ("400 W", "a heater of 400 W"),
    ]
    .into_iter()
    .map(|(power, label)| {
        SetUp::on_off(
            label,
            format!(
                r#"base  = "spare-room-one-big-heater"
title = "A relay welded behind {label}"

[set]
duration              = "3 d"
"room.temperature"    = "22 °C"
"heater.heater.power" = "{power}"

[[fault]]
what    = "contact welded"
contact = "relay"
when    = "6 h"
"#
            ),
        )
    })
    .collect()
}

fn shown(runs: &Runs) -> Option<usize> {
    let highest = [SMALL, MIDDLE, BIG].map(|set_up| runs.value(set_up, HIGHEST));
    let used_up_h = [SMALL, MIDDLE, BIG].map(|set_up| runs.value(set_up, USED_UP));
    let rises = highest[BIG] > highest[MIDDLE] + CLEARLY_K && highest[MIDDLE] > highest[SMALL] + CLEARLY_K;
    // Not a number: never.
    let sooner =
        used_up_h[BIG].is_finite() && (used_up_h[MIDDLE].is_nan() || used_up_h[BIG] < used_up_h[MIDDLE]);
    let alike = (highest[BIG] - highest[SMALL]).abs() < CLEARLY_K;
    match (rises && sooner, alike) {
        (true, _) => Some(1),
        (false, true) if sooner => Some(0),
        (false, true) => Some(2),
        _ => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "The big heater takes the water to {} and uses up the dose, all that the animals bear, {} after the weld. The heater of 200 W ends at {}, the one \
         of 100 W at {}.",
        runs.told(BIG, HIGHEST),
        runs.told(BIG, USED_UP),
        runs.told(MIDDLE, HIGHEST),
        runs.told(SMALL, HIGHEST),
    )
}

fn explanation(runs: &Runs) -> Vec<String> {
    let room_c = runs.room_c(BIG);
    let rise_k = |set_up| runs.value(set_up, HIGHEST) - room_c;
    let per_watt = (runs.value(BIG, HIGHEST) - runs.value(MIDDLE, HIGHEST)) / 2.0;
    vec![
        "A relay is a switch that a controller moves. When its contacts weld together, the controller can say \"off\" as often as it likes: current flows on."
            .to_owned(),
        format!(
            "Water that is heated all the time gets warmer until it loses as much heat to the room as it is given. The more watts go in, the farther above \
             the room that is. In a room of {} the water rose by {} with 100 W, by {} with 200 W and by {} with 400 W: from 200 W to 400 W every \
             100 W more added about {}. The rest of the rise comes from pumps and lamp.",
            temperature(room_c),
            difference(rise_k(SMALL)),
            difference(rise_k(MIDDLE)),
            difference(rise_k(BIG)),
            difference(per_watt),
        ),
        format!(
            "Power also decides how fast. All the heat that is not lost warms the water, so the big heater has it {} as far above the room, and gives \
             people less time: {}. A heater that is only just big enough for winter cannot do much harm in a mild room, but it must be big enough for winter.",
            times(rise_k(BIG) / rise_k(SMALL)),
            runs.told(BIG, USED_UP),
        ),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    vec![
        "Often said: \"The big one is just quicker.\" Ask where the heat goes once the water stays at one temperature. It goes into the room, and to lose \
         twice the heat the water must be farther above it."
            .to_owned(),
        "Often said: \"Then I take the smallest.\" Ask what happens in a cold week: the second of the commands shows it.".to_owned(),
        format!(
            "Have them check the equation: rise over the room for 200 W is {}, for 400 W {}. It does not double exactly, because pumps and lamp heat in both \
             cases, and because warmer water evaporates more.",
            difference(runs.value(MIDDLE, HIGHEST) - runs.room_c(MIDDLE)),
            difference(runs.value(BIG, HIGHEST) - runs.room_c(BIG)),
        ),
        "\"Dose\" is the share of what the animals bear that is used up: a time at each temperature, added up; 100 % is all of it. The table of times is common \
         practice without a source."
            .to_owned(),
    ]
}
