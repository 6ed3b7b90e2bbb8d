//! Why two halves are better than one whole heater.

use crate::column::{Column, Runs};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;

const ONE_STUCK: usize = 0;
const HALF_STUCK: usize = 1;
const ONE_DEAD: usize = 2;
const HALF_DEAD: usize = 3;

const WARMEST: usize = 0;
const COLDEST: usize = 1;
const DOSE: usize = 2;

pub(super) const LESSON: Lesson = Lesson {
    name: "two-halves",
    title: "Why two half heaters",
    aim: "You can say what is gained when the same watts are split over two heaters with a relay each.",
    minutes: 30,
    ages: "12 to 16",
    story: "The same reef tank once has one heater of 400 W and once two heaters of 200 W, each on a relay of its own. At 06:00 on the first day one \
            thing breaks: in a room of 22 °C one relay welds shut, or in a room of 16 °C one heater burns out. Nobody comes for three days.",
    question: "Two heaters are two things that can break. Is the tank better off with them?",
    choices: &[
        "No: with two heaters something breaks more often, and when it does the harm is the same.",
        "Only when a relay welds: half the watts overheat less. When a heater dies, it makes no difference.",
        "Yes, both times: half stuck on overheats less, and half dead still leaves half the heat.",
    ],
    set_ups,
    columns: &[Column::WARMEST, Column::COLDEST, Column::DOSE],
    picture: Picture::Course,
    key: 2,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "T_end = T_room + P_left / U",
        symbols: &[
            ("T_end", "temperature at which the water comes to rest, °C"),
            ("T_room", "temperature of the room, °C"),
            (
                "P_left",
                "all heat that goes into the water, with what is stuck on or without what is dead, W",
            ),
            (
                "U",
                "heat that the tank loses for each kelvin above the room, W/K",
            ),
        ],
        source: "docs/model.md, \"Lumps\": the heat balance of a tank, once nothing changes any more.",
    },
    next: &[
        Next {
            words: "What do the heaters' own dials add? Leave them at 27.5 °C as this tank has them, and weld a relay in the year's warmest room.",
            command: "tepid run spare-room-winter --strategy on-off --room warmest --fault 'one contact welded'",
        },
        Next {
            words: "Let the program try every fault on both tanks at once.",
            command: "tepid compare spare-room-winter spare-room-one-big-heater --strategy on-off",
        },
        Next {
            words: "Unequal halves: is 300 W and 100 W as good as 200 W and 200 W?",
            command: "tepid run spare-room-winter --strategy on-off --set 'heater.left.power=300 W' --set 'heater.right.power=100 W' --fault 'one heater dead' --room coldest",
        },
    ],
    for_the_teacher,
};

/// Three days from 06:00 on with one thing broken.
fn one_heater(room: &str, title: &str, fault: &str) -> String {
    format!(
        r#"base  = "spare-room-one-big-heater"
title = "{title}"

[set]
duration           = "3 d"
"room.temperature" = "{room}"

[[fault]]
{fault}
when = "6 h"
"#
    )
}

/// As [`one_heater`]; the dials are turned up as there, so that only the split differs.
fn two_heaters(room: &str, title: &str, fault: &str) -> String {
    format!(
        r#"base  = "spare-room-winter"
title = "{title}"

[set]
duration                         = "3 d"
"room.temperature"               = "{room}"
"contact.dial left.opens_above"  = "34 °C"
"contact.dial right.opens_above" = "34 °C"

[[fault]]
{fault}
when = "6 h"
"#
    )
}

fn set_ups() -> Vec<SetUp> {
    let welded = |contact: &str| format!("what = \"contact welded\"\ncontact = \"{contact}\"");
    let dead = |heater: &str| format!("what = \"heater dead\"\nheater = \"{heater}\"");
    vec![
        SetUp::on_off(
            "one of 400 W, stuck on",
            one_heater("22 °C", "One heater, its relay welded", &welded("relay")),
        ),
        SetUp::on_off(
            "two of 200 W, one stuck on",
            two_heaters("22 °C", "Two heaters, one relay welded", &welded("relay left")),
        ),
        SetUp::on_off(
            "one of 400 W, dead",
            one_heater("16 °C", "One heater, dead", &dead("heater")),
        ),
        SetUp::on_off(
            "two of 200 W, one dead",
            two_heaters("16 °C", "Two heaters, one dead", &dead("left")),
        ),
    ]
}

fn shown(runs: &Runs) -> Option<usize> {
    let harms = |set_up| runs.value(set_up, DOSE) >= 1.0;
    let stuck = harms(ONE_STUCK) && !harms(HALF_STUCK);
    let dead = harms(ONE_DEAD) && !harms(HALF_DEAD);
    match (stuck, dead) {
        (true, true) => Some(2),
        (true, false) => Some(1),
        (false, false) => Some(0),
        (false, true) => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "Stuck on, the whole heater takes the water to {}, half of it only to {}. Dead, the whole heater lets the water fall to {}; with half left it \
         falls to {}. One whole heater used up the dose both times, two halves neither time.",
        runs.told(ONE_STUCK, WARMEST),
        runs.told(HALF_STUCK, WARMEST),
        runs.told(ONE_DEAD, COLDEST),
        runs.told(HALF_DEAD, COLDEST),
    )
}

fn explanation(runs: &Runs) -> Vec<String> {
    vec![
        format!(
            "A heater that is stuck on takes the water as far above the room as its watts reach. Half the watts reach half as far, apart from what pumps and \
             lamp add: {} in place of {}. The other heater is healthy and stays off, for the water is warm enough.",
            runs.told(HALF_STUCK, WARMEST),
            runs.told(ONE_STUCK, WARMEST),
        ),
        format!(
            "When a heater dies, the other one works more. It could not hold the target in that cold room, but the water stopped falling at {} and \
             not at {}.",
            runs.told(HALF_DEAD, COLDEST),
            runs.told(ONE_DEAD, COLDEST),
        ),
        "It is true that two heaters break about twice as often as one. What counts is what follows, and whether somebody has time to notice. The halves help \
         only if each has a relay of its own: two heaters on one relay are one big heater."
            .to_owned(),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    vec![
        "Often said: \"Two things break more often than one.\" That is right, and it is the best objection. Ask what happens each time.".to_owned(),
        format!(
            "The dose used by one whole heater was {} stuck on and {} dead; with two halves {} and {}. Below 100 % the animals bear it, by a table of common \
             practice without a source.",
            runs.told(ONE_STUCK, DOSE),
            runs.told(ONE_DEAD, DOSE),
            runs.told(HALF_STUCK, DOSE),
            runs.told(HALF_DEAD, DOSE),
        ),
        "Ask: what if both halves hang on one relay? (Then one weld switches on both: 400 W again.) What if the controller's box fails as a whole? (The same; \
         the lesson `cut-out` is about that.)"
            .to_owned(),
        "Here the heaters' own dials are turned up out of the way, so that nothing but the split differs. The first of the commands shows what they add."
            .to_owned(),
    ]
}
