//! A cut-out in a box of its own.

use crate::column::{Column, Runs, Unit};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;
use crate::words::hours;

const NOTHING: usize = 0;
const SOFTWARE: usize = 1;
const SAME_BOX: usize = 2;
const OWN_BOX: usize = 3;

const WARMEST: usize = 0;
const DOSE: usize = 1;
const END: usize = 2;
const USED_UP: usize = 3;

pub(super) const LESSON: Lesson = Lesson {
    name: "cut-out",
    title: "A cut-out in a box of its own",
    aim: "You can say when a second protection is one, and when it only looks like one.",
    minutes: 40,
    ages: "14 to 18",
    story: "A reef tank with one heater of 400 W in a room at 22 °C. At 06:00 the controller's box fails as a whole: moisture and heat weld all contacts in it \
            shut. Four tanks: nothing stands behind the relay; the controller's program opens the relay at 27 °C; a cut-out opens at 27.5 °C and sits in \
            the same box; the same cut-out sits in a box of its own.",
    question: "Which of the three protections keeps the tank below the dose that the animals bear?",
    choices: &[
        "The limit in the program.",
        "The cut-out in the same box, and the one in its own box.",
        "The cut-out in its own box alone.",
        "All three.",
    ],
    set_ups,
    columns: &[
        Column::WARMEST,
        Column::DOSE,
        Column {
            words: "Water at the end",
            unit: Unit::Temperature,
            missing: "–",
            value: |run| run.worst().map(|tank| tank.end_c),
        },
        Column::USED_UP,
    ],
    picture: Picture::Course,
    key: 2,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "p = p_relay · p_cut-out + p_both",
        symbols: &[
            ("p", "chance that the heater cannot be switched off"),
            ("p_relay", "chance that the relay has welded"),
            (
                "p_cut-out",
                "chance that the cut-out does not open when it should",
            ),
            (
                "p_both",
                "chance of whatever takes both at once, such as their box: this is what counts, for the product of two small chances is tiny",
            ),
        ],
        source: "docs/odds.md, \"Lives\" and \"Left out\": a box fails as a whole, with all contacts in it. Chances of things that have nothing to do with each other \
                 are multiplied.",
    },
    next: &[
        Next {
            words: "Two heaters on two relays in one box: does splitting help when the box fails?",
            command: "tepid run spare-room-winter --strategy on-off --fault 'one box failed'",
        },
        Next {
            words: "Which settings and tests would stand on this tank's card?",
            command: "tepid card spare-room-one-big-heater --strategy on-off",
        },
        Next {
            words: "What can a limit in software do at all? Ask for what it covers.",
            command: "tepid explain strategy software-limit",
        },
    ],
    for_the_teacher,
};

fn set_ups() -> Vec<SetUp> {
    let failed = r#"
[[fault]]
what = "box welded"
box  = "controller"
when = "6 h"
"#;
    let plain = format!(
        r#"base  = "spare-room-one-big-heater"
title = "One big heater, nothing behind its relay"

[set]
duration           = "3 d"
"room.temperature" = "22 °C"
{failed}"#
    );
    let with_cut_out = |title: &str, of_box: &str| {
        format!(
            r#"base  = "spare-room-one-big-heater"
title = "{title}"

# The dial becomes the cut-out.
[set]
duration                    = "3 d"
"room.temperature"          = "22 °C"
"contact.dial.kind"         = "cut-out"
"contact.dial.opens_above"  = "27.5 °C"
"contact.dial.bulb"         = "display"
"contact.dial.box"          = "{of_box}"
"heater.heater.chain"       = ["residual-current", "relay", "cut-out"]
"contact.dial.name"         = "cut-out"
{failed}"#
        )
    };
    let limit = "name = \"on-off with a limit\"\nstrategy = \"on-off\"\n\n[[guard]]\nguard       = \"software-limit\"\nopens_above = \"27 °C\"\n";
    vec![
        SetUp::on_off("nothing behind the relay", plain.clone()),
        SetUp::under("a limit in the program", plain, limit.to_owned()),
        SetUp::on_off(
            "a cut-out in the same box",
            with_cut_out("One big heater, a cut-out in the controller's box", "controller"),
        ),
        SetUp::on_off(
            "a cut-out in its own box",
            with_cut_out("One big heater, a cut-out in its own box", "cut-out's own"),
        ),
    ]
}

fn shown(runs: &Runs) -> Option<usize> {
    let harmed = |set_up| runs.value(set_up, DOSE) >= 1.0;
    let as_nothing = |set_up| (runs.value(set_up, WARMEST) - runs.value(NOTHING, WARMEST)).abs() < 0.5;
    match (harmed(SOFTWARE), harmed(SAME_BOX), harmed(OWN_BOX)) {
        _ if !harmed(NOTHING) => None,
        (true, true, false) if !as_nothing(SOFTWARE) || !as_nothing(SAME_BOX) => None,
        (false, true, true) => Some(0),
        (true, false, false) => Some(1),
        (true, true, false) => Some(2),
        (false, false, false) => Some(3),
        _ => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "With the limit in the program the water gets to {}, with the cut-out in the same box to {}: both as if nothing were there. With the cut-out in its own box it stops at {}.",
        runs.told(SOFTWARE, WARMEST),
        runs.told(SAME_BOX, WARMEST),
        runs.told(OWN_BOX, WARMEST),
    )
}

fn explanation(runs: &Runs) -> Vec<String> {
    vec![
        "A limit in a program does what the program does: it tells the relay to open. A welded relay does not hear it. It helps against a strategy that heats too long, not \
         against a contact that cannot open."
            .to_owned(),
        format!(
            "A cut-out is another contact in the same wire, with a sensor of its own. That is real protection as long as it can break alone. In one box with the relay it shares the \
             moisture, the heat and the bad day: the dose was used up {} after the box failed, as with nothing behind the relay at all. In a box of its own it opened.",
            hours(runs.value(SAME_BOX, USED_UP)),
        ),
        format!(
            "Safe is not comfortable: the cut-out stays open until somebody resets it by hand, so the tank cooled to {} by the end. Slow cold leaves time to notice; fast heat does \
             not.",
            runs.told(OWN_BOX, END),
        ),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    vec![
        "Often said: \"Two are safer than one.\" Ask for one event that breaks both: water in the box, a surge, one firmware, one person who turns both dials.".to_owned(),
        "Ask the class for pairs that look independent and are not: two locks with one key, two backups in one house. Then for one that is.".to_owned(),
        format!(
            "Figures to compare: {}, {}, {} and {} of the dose.",
            runs.told(NOTHING, DOSE),
            runs.told(SOFTWARE, DOSE),
            runs.told(SAME_BOX, DOSE),
            runs.told(OWN_BOX, DOSE),
        ),
        "A cut-out that is never tested is a hope. The card of a tank (`tepid card`) says how to test one without harm to animals.".to_owned(),
    ]
}
