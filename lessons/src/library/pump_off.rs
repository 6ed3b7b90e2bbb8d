//! The pump off, with the heaters in the sump.

use crate::column::{Column, Runs, Unit};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;

const RUNNING: usize = 0;
const IN_SUMP: usize = 1;
const IN_DISPLAY: usize = 2;

const DISPLAY: usize = 0;
const SUMP: usize = 1;
const WARMEST_SUMP: usize = 2;

/// The least change of a tank that counts, K.
const CLEARLY_K: f64 = 1.0;

pub(super) const LESSON: Lesson = Lesson {
    name: "pump-off",
    title: "The pump stops, and the heaters sit in the sump",
    aim: "You can say where heat goes when water stands still, and why a thermometer in the wrong tank sees nothing of it.",
    minutes: 30,
    ages: "12 to 16",
    story: "A reef tank, its heaters and the controller's probe in the sump below it. At 20:00 the pump that sends the water round stops, and nobody \
            notices until 08:00. A second run has the probe in the display, with the animals.",
    question: "The heaters work, the controller works, the probe sits in the sump. What does the keeper find in the morning?",
    choices: &[
        "Both tanks cold: without the pump nothing is heated.",
        "The sump as warm as ever, the display cold.",
        "The sump far too hot, the display as it was.",
    ],
    set_ups,
    columns: &[
        Column {
            words: "Display at 08:00",
            unit: Unit::Temperature,
            missing: "–",
            value: |run| run.tank("display").map(|tank| tank.end_c),
        },
        Column {
            words: "Sump at 08:00",
            unit: Unit::Temperature,
            missing: "–",
            value: |run| run.tank("sump").map(|tank| tank.end_c),
        },
        Column {
            words: "Sump at its warmest",
            unit: Unit::Temperature,
            missing: "–",
            value: |run| run.tank("sump").map(|tank| tank.highest_c),
        },
    ],
    picture: Picture::Course,
    key: 1,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "C dT/dt = ρ c F · (T_sump − T) − U · (T − T_room)",
        symbols: &[
            ("C", "heat that warms the display by one kelvin, J/K"),
            ("T", "temperature of the display, °C"),
            (
                "ρ c F",
                "what the flow carries for each kelvin of difference, W/K; 0 when the pump stands",
            ),
            (
                "U",
                "heat that the display loses for each kelvin above the room, W/K",
            ),
            ("T_room", "temperature of the room, °C"),
        ],
        source: "docs/model.md, \"Lumps\", flow between tanks: only while its pump runs. Lamp and pumps in the display are left out of the formula here, not of the model.",
    },
    next: &[
        Next {
            words: "Leave the pump off for good, and see when the first line of danger is reached.",
            command: "tepid run spare-room-winter --strategy on-off --fault 'pump stopped' --case 'pump return stopped'",
        },
        Next {
            words: "With the probe in the display, what holds the sump back? Turn the heaters' own dials up and look again.",
            command: "tepid run spare-room-winter --strategy on-off --set 'probe.main.tank=display' --set 'contact.dial left.opens_above=34 °C' --set 'contact.dial right.opens_above=34 °C' --fault 'pump stopped'",
        },
        Next {
            words: "What stands on the card beside the tank for that night?",
            command: "tepid card spare-room-winter --strategy on-off",
        },
    ],
    for_the_teacher,
};

fn set_ups() -> Vec<SetUp> {
    let scenario = |place: &str, more: &str| {
        format!(
            r#"base  = "spare-room-winter"
title = "Spare-room reef, a night with the probe in the {place}"

[set]
duration              = "32 h"
"probe.main.tank"     = "{place}"
"tank.sump.livestock" = true    # so that the sump is looked at too
{more}"#
        )
    };
    let stopped = r#"
[[fault]]
what = "pump stopped"
pump = "return"
when = "20 h"
"#;
    vec![
        SetUp::on_off("pump running", scenario("sump", "")),
        SetUp::on_off("pump off, probe in the sump", scenario("sump", stopped)),
        SetUp::on_off("pump off, probe in the display", scenario("display", stopped)),
    ]
}

fn shown(runs: &Runs) -> Option<usize> {
    let change_k = |column| runs.value(IN_SUMP, column) - runs.value(RUNNING, column);
    let (display_k, sump_k) = (change_k(DISPLAY), change_k(SUMP));
    // The probe in the display warms the sump alone.
    let other_probe = (runs.value(IN_DISPLAY, DISPLAY) - runs.value(IN_SUMP, DISPLAY)).abs()
        < CLEARLY_K / 2.0
        && runs.value(IN_DISPLAY, WARMEST_SUMP) > runs.value(IN_SUMP, WARMEST_SUMP) + CLEARLY_K / 2.0;
    match (display_k < -CLEARLY_K, sump_k) {
        (true, sump_k) if sump_k < -CLEARLY_K => Some(0),
        (true, sump_k) if sump_k < CLEARLY_K && other_probe => Some(1),
        (false, sump_k) if sump_k > CLEARLY_K => Some(2),
        _ => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "The sump is at {}, just where the controller wants it, and the display has fallen to {}. The screen of the controller shows nothing wrong.",
        runs.told(IN_SUMP, SUMP),
        runs.told(IN_SUMP, DISPLAY),
    )
}

fn explanation(runs: &Runs) -> Vec<String> {
    vec![
        format!(
            "The flow is the only way on which heat gets from the sump to the display. When the pump stands, the display cools as if it had no heater: to {} \
             by the morning, where it was {} with the pump running. The sump by itself needs little heat, so the heaters are seldom on.",
            runs.told(IN_SUMP, DISPLAY),
            runs.told(RUNNING, DISPLAY),
        ),
        format!(
            "With the probe in the display the controller sees the cold and heats with all it has, but the heat does not get there. The display is no warmer \
             for it, {}, and the sump gets to {}: what stops it there is the heaters' own dials, not the controller.",
            runs.told(IN_DISPLAY, DISPLAY),
            runs.told(IN_DISPLAY, WARMEST_SUMP),
        ),
        "Whatever the temperature does, still water runs short of oxygen, in a stocked tank often within hours and before the cold matters. Moving water or air comes \
         first."
            .to_owned(),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    vec![
        "Often said: \"The heaters boil the sump.\" Only where the probe is elsewhere: a controller that sees the sump keeps it. Let them find out which run does what."
            .to_owned(),
        "Ask: which single sensor would have told? (A second thermometer in the display, with an alert; or one that watches the pump's current.) The tank of this \
         lesson has a thermometer in the display that nobody is alerted by."
            .to_owned(),
        format!(
            "Ask: what happens at 08:00, when the pump starts again? Water of {} from the display falls into the sump and the other way round; both swing before they meet.",
            runs.told(IN_SUMP, DISPLAY),
        ),
    ]
}
