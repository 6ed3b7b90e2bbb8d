//! How many hours there are in an outage.

use crate::column::{Column, Run, Runs, Unit};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;
use crate::words::{hours, temperature, times};

const SMALL: usize = 0;
const BARE: usize = 1;
const WRAPPED: usize = 2;

const COLD_AFTER: usize = 0;
const COLDEST: usize = 1;
const OXYGEN_AFTER: usize = 2;

/// The line that is waited for, °C: one of each scenario's lines of danger.
const LINE_C: f64 = 20.0;

pub(super) const LESSON: Lesson = Lesson {
    name: "outage",
    title: "How many hours there are without electricity",
    aim: "You can say what decides how fast a tank cools, and what is short before the warmth is.",
    minutes: 35,
    ages: "12 to 16",
    story: "A garage at about 8 °C in winter. The electricity fails and stays away. Three tanks stand there: a small lidded one of 40 L, a big lidded one of about \
            240 L, and the same big one with foam round its sides and a blanket on its lid. All had heaters strong enough until then.",
    question: "How many times as long as the small tank does the big wrapped one take to fall to 20 °C?",
    choices: &[
        "About as long: they stand in the same cold air.",
        "About twice as long.",
        "More than four times as long.",
    ],
    set_ups,
    columns: &[
        Column {
            words: "20 °C after",
            unit: Unit::Hours,
            missing: "not reached",
            value: |run| run.reached_after_h(LINE_C),
        },
        Column::COLDEST,
        Column {
            words: "Oxygen half gone after",
            unit: Unit::Hours,
            missing: "not looked at",
            value: |run| {
                let oxygen = run.worst().and_then(|tank| tank.oxygen.as_ref());
                run.after_h(oxygen.and_then(|oxygen| oxygen.below_half_from_ms))
            },
        },
    ],
    picture: Picture::Course,
    key: 2,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "T(t) = T_room + (T_0 − T_room) · e^(−t/τ),   τ = C / U",
        symbols: &[
            ("T(t)", "temperature after the time t, °C"),
            ("T_0", "temperature when the electricity failed, °C"),
            ("T_room", "temperature of the room, °C"),
            (
                "τ",
                "time constant: after it a bit more than a third of the difference is left",
            ),
            (
                "C",
                "heat that warms the tank by one kelvin, J/K: it grows with the volume",
            ),
            (
                "U",
                "heat lost for each kelvin above the room, W/K: it grows with the surface",
            ),
        ],
        source: "docs/model.md, \"Lumps\", without heat from anything. The model's U is not quite a fixed number.",
    },
    next: &[
        Next {
            words: "Ask the program for your own outage: how many hours, what a blanket brings, what a backup would need.",
            command: "tepid size garage-outage --outage '12 h'",
        },
        Next {
            words: "A night without electricity as this tank has it, with an alert that needs power: when does it come?",
            command: "tepid run garage-outage --strategy on-off",
        },
        Next {
            words: "The small tank in a living room: how much do twelve hours matter there?",
            command: "tepid run lidded-nano --strategy on-off --fault outage",
        },
    ],
    for_the_teacher,
};

const OUTAGE: &str = r#"
[[fault]]
what  = "outage"
when  = "24 h"
lasts = "60 h"
"#;

fn set_ups() -> Vec<SetUp> {
    let small = format!(
        r#"base  = "lidded-nano"
title = "Lidded nano tank in a garage, no electricity"

[set]
duration               = "84 h"
"room.temperature"     = {{ mean = "8 °C", swing = "3 K", warmest = "14:00" }}
"heater.heater.power"  = "200 W"
{OUTAGE}"#
    );
    let bare = format!(
        r#"base   = "garage-outage"
title  = "Garage tank without wrapping, no electricity"
remove = ["fault.night without electricity", "tank.tank.pane.wrap", "tank.tank.pane.under", "tank.tank.lid.blanket"]

[set]
duration             = "84 h"
"heater.left.power"  = "300 W"
"heater.right.power" = "300 W"
{OUTAGE}"#
    );
    let wrapped = format!(
        r#"base   = "garage-outage"
title  = "Garage tank, wrapped, no electricity"
remove = ["fault.night without electricity"]

[set]
duration = "84 h"
{OUTAGE}"#
    );
    vec![
        SetUp::on_off("40 L, lid", small),
        SetUp::on_off("240 L, lid", bare),
        SetUp::on_off("240 L, lid, wrapped", wrapped),
    ]
}

fn shown(runs: &Runs) -> Option<usize> {
    let ratio = runs.value(WRAPPED, COLD_AFTER) / runs.value(SMALL, COLD_AFTER);
    let air_comes_first = runs.value(WRAPPED, OXYGEN_AFTER) < runs.value(WRAPPED, COLD_AFTER);
    let colder_lasts_longer = runs.value(BARE, OXYGEN_AFTER) > runs.value(WRAPPED, OXYGEN_AFTER);
    match ratio {
        _ if ratio > 4.0 && air_comes_first && colder_lasts_longer => Some(2),
        _ if (1.6..2.5).contains(&ratio) => Some(1),
        _ if ratio < 1.3 => Some(0),
        _ => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "The small tank is at 20 °C after {}, the big one after {}, the big wrapped one after {}: {} as long as the small one.",
        runs.told(SMALL, COLD_AFTER),
        runs.told(BARE, COLD_AFTER),
        runs.told(WRAPPED, COLD_AFTER),
        times(runs.value(WRAPPED, COLD_AFTER) / runs.value(SMALL, COLD_AFTER)),
    )
}

/// The time constant that the hours to the line give, h: the equation of the lesson, solved for it.
fn time_constant_h(runs: &Runs, set_up: usize) -> f64 {
    let middle_c = |run: &Run<'_>| (run.scores.room.lowest_c + run.scores.room.highest_c) / 2.0;
    let room_c = runs.runs.get(set_up).map_or(f64::NAN, middle_c);
    let target_c = runs
        .runs
        .get(set_up)
        .map_or(f64::NAN, |run| run.scenario.water.target_c);
    runs.value(set_up, COLD_AFTER) / libm::log((target_c - room_c) / (LINE_C - room_c))
}

fn explanation(runs: &Runs) -> Vec<String> {
    vec![
        format!(
            "A tank cools the faster the more surface it has for its water, and a small tank has more: it holds little heat and loses it through panes that are not that \
             much smaller. From the hours above come the time constants: {} for the small tank, {} for the big one, {} for the big one wrapped.",
            hours(time_constant_h(runs, SMALL)),
            hours(time_constant_h(runs, BARE)),
            hours(time_constant_h(runs, WRAPPED)),
        ),
        format!(
            "Cooling is quick at first and gets slower as the water nears the room. After sixty hours the coldest water was {} in the small tank and {} in the \
             wrapped one.",
            runs.told(SMALL, COLDEST),
            runs.told(WRAPPED, COLDEST),
        ),
        format!(
            "In the wrapped tank warmth is not what runs out first. No pump moves the water, and its fish go on breathing: the oxygen is half gone after {}, before \
             its 20 °C. A tank without a blanket is cold before that; whoever keeps it warm meets the other. What a tank needs in an outage is first air, then a blanket, then heat.",
            runs.told(WRAPPED, OXYGEN_AFTER),
        ),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    vec![
        "Often said: \"Same air, same cold.\" That is where they end, not how soon. Let a cup and a bucket of warm water cool side by side.".to_owned(),
        format!(
            "Let them work out τ from a logarithm: t = {}, T_0 = {}, room about {}. They should find about {}.",
            runs.told(BARE, COLD_AFTER),
            runs.runs.get(BARE).map_or_else(String::new, |run| temperature(run.scenario.water.target_c)),
            runs.runs.get(BARE).map_or_else(String::new, |run| temperature(
                (run.scores.room.lowest_c + run.scores.room.highest_c) / 2.0
            )),
            hours(time_constant_h(runs, BARE)),
        ),
        "The small tank's scenario states no fish, so its oxygen is not looked at; that does not mean that it lasts. In the big tank without wrapping it lasts longer than with: \
         cold water holds more oxygen and cold fish need less."
            .to_owned(),
    ]
}
