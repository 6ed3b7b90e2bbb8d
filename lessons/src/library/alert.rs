//! An alert is only as quick as the person.

use crate::column::{Column, Runs, Unit};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;
use crate::words::hours;

const SOON: usize = 0;
const LATER: usize = 1;
const TOO_LATE: usize = 2;
const SILENT: usize = 3;

const ACTED: usize = 0;
const WARMEST: usize = 1;
const DOSE: usize = 2;
const USED_UP: usize = 3;
const ALERTED: usize = 4;

pub(super) const LESSON: Lesson = Lesson {
    name: "alert",
    title: "An alert is only as quick as the person",
    aim: "You can say what an alert is worth, and of what its worth is made.",
    minutes: 30,
    ages: "12 to 16",
    story: "A reef tank with one heater of 400 W in a room at 22 °C. At 21:00 the relay welds shut. An alert goes out when the water passes 27 °C, and the keeper pulls the \
            plug: 1 h, 4 h or 16 h after hearing it. The last one needs only 1 h too, but the telephone is silent from 23:00 to 06:30.",
    question: "The alert goes out hours before the dose is used up. Which of the first three is in time?",
    choices: &[
        "All of them: the alert came early enough.",
        "Those who need 1 h and 4 h; with 16 h the dose is used up.",
        "Only the one who needs 1 h.",
    ],
    set_ups,
    columns: &[
        Column {
            words: "Plug pulled after",
            unit: Unit::Hours,
            missing: "never",
            value: |run| run.after_h(run.scores.acted_ms),
        },
        Column::WARMEST,
        Column::DOSE,
        Column::USED_UP,
        Column {
            words: "Alert goes out after",
            unit: Unit::Hours,
            missing: "never",
            value: |run| run.after_h(run.scores.first_alert_ms),
        },
    ],
    picture: Picture::Course,
    key: 1,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "t_alert + t_hear + t_act < t_dose",
        symbols: &[
            (
                "t_alert",
                "from the failure until the alert goes out, h: the nearer its line to the band, the shorter",
            ),
            (
                "t_hear",
                "until somebody hears it, h: nights, meetings, dead zones",
            ),
            ("t_act", "until somebody stands at the plug, h"),
            (
                "t_dose",
                "until the dose is used up, h: the bigger the heater, the shorter",
            ),
        ],
        source: "sim/src/scores, \"warning lead\": the dose used up less somebody heard of an alert. When the water gets there follows from docs/model.md, \"Lumps\".",
    },
    next: &[
        Next {
            words: "The same failure with people who take ever longer, up to nobody.",
            command: "tepid run spare-room-one-big-heater --strategy on-off --by-response --fault 'one contact welded' --set 'watch.too warm.acts={ does = \"unplug heaters\" }'",
        },
        Next {
            words: "Half the watts: how much more time does that give everybody?",
            command: "tepid run spare-room-one-big-heater --strategy on-off --by-response --fault 'one contact welded' --set 'watch.too warm.acts={ does = \"unplug heaters\" }' --set 'heater.heater.power=200 W'",
        },
        Next {
            words: "An alert that needs electricity, in an outage: when does it come?",
            command: "tepid run garage-outage --strategy on-off",
        },
    ],
    for_the_teacher,
};

fn set_ups() -> Vec<SetUp> {
    let scenario = |response: &str, removed: &str| {
        format!(
            r#"base   = "spare-room-one-big-heater"
title  = "One big heater, its keeper {response} away"
remove = ["person.sitter"{removed}]

[set]
duration                 = "3 d"
"room.temperature"       = "22 °C"
"watch.too warm.reaches" = ["keeper"]
"watch.too warm.acts"    = {{ does = "unplug heaters" }}
"watch.too cold.reaches" = ["keeper"]
"person.keeper.response" = {{ median = "{response}", spread = 1 }}    # always this long

[[fault]]
what    = "contact welded"
contact = "relay"
when    = "21 h"
"#
        )
    };
    let awake = ", \"person.keeper.quiet\", \"person.keeper.at_home\"";
    vec![
        SetUp::on_off("1 h to the plug", scenario("1 h", awake)),
        SetUp::on_off("4 h to the plug", scenario("4 h", awake)),
        SetUp::on_off("16 h to the plug", scenario("16 h", awake)),
        SetUp::on_off("1 h, telephone silent by night", scenario("1 h", "")),
    ]
}

fn shown(runs: &Runs) -> Option<usize> {
    let in_time = |set_up| runs.value(set_up, DOSE) < 1.0;
    let held_up = runs.value(SILENT, ACTED) > runs.value(SOON, ACTED) + 1.0;
    match (in_time(SOON), in_time(LATER), in_time(TOO_LATE)) {
        _ if !held_up => None,
        (true, true, true) => Some(0),
        (true, true, false) => Some(1),
        (true, false, false) => Some(2),
        _ => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "The alert goes out {} after the weld. Whoever needs 1 h or 4 h from there finds the water at {} or {} at most; with 16 h it gets to {}, and the dose is used up {} after the weld.",
        runs.told(SOON, ALERTED),
        runs.told(SOON, WARMEST),
        runs.told(LATER, WARMEST),
        runs.told(TOO_LATE, WARMEST),
        runs.told(TOO_LATE, USED_UP),
    )
}

fn explanation(runs: &Runs) -> Vec<String> {
    vec![
        format!(
            "An alert changes nothing in the water. It starts a clock, and what counts is when a hand is at the plug. Between the alert and the end of the dose there are {} here; \
             whatever the keeper needs comes off that.",
            hours(runs.value(TOO_LATE, USED_UP) - runs.value(TOO_LATE, ALERTED)),
        ),
        format!(
            "A silent telephone is as good as a long way: the one who needs only 1 h pulled the plug {} after the weld and not {}, since nobody heard the alert before the morning. \
             The water got to {}, and {} of the dose was used.",
            runs.told(SILENT, ACTED),
            runs.told(SOON, ACTED),
            runs.told(SILENT, WARMEST),
            runs.told(SILENT, DOSE),
        ),
        "So an alert is no substitute for something that opens by itself. It is worth most where the failure is slow, and there the heater's size decides again.".to_owned(),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    vec![
        "Often said: \"I get a message, so I am safe.\" Ask for the last time a message was read an hour late, and why.".to_owned(),
        format!(
            "Let them find the latest answer that is still in time: {} from the alert, by the figures above. Then ask for everything that has to work until the message \
             arrives: power, router, line, telephone.",
            hours(runs.value(TOO_LATE, USED_UP) - runs.value(TOO_LATE, ALERTED)),
        ),
        "How long people take is put in, not found out: an assumption of the lesson.".to_owned(),
    ]
}
