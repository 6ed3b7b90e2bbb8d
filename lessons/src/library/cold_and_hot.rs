//! Cold can be as quick as hot.

use crate::column::{Column, Run, Runs, Unit};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;
use crate::words::{share, times};

const COLD_STUCK: usize = 0;
const COLD_DEAD: usize = 1;
const WARM_STUCK: usize = 2;
const WARM_DEAD: usize = 3;

const AWAY_AFTER: usize = 0;
const WARMEST: usize = 1;
const COLDEST: usize = 2;

/// The lines that are waited for, °C: four kelvins either side of the target.
const HOT_LINE_C: f64 = 29.0;
const COLD_LINE_C: f64 = 21.0;

pub(super) const LESSON: Lesson = Lesson {
    name: "cold-and-hot",
    title: "Cold can be as quick as hot",
    aim: "You can say from the share of the time that a heater is on whether stuck on or dead is the more urgent.",
    minutes: 30,
    ages: "14 to 18",
    story: "A lidded tank of 40 L is held at 25 °C by a heater of 100 W. At 06:00 the relay welds shut, or the heater dies. We try both in a cold room of 16 °C and in a \
            warm one of 22 °C, and wait until the water is 4 K away from 25 °C, up or down.",
    question: "Which failure takes the water 4 K away sooner, stuck on or dead?",
    choices: &[
        "Stuck on, in both rooms: hot is always quicker than cold.",
        "Stuck on in the warm room, and much sooner there; in the cold room both about equally soon.",
        "Dead in the cold room, and much sooner there; in the warm room both about equally soon.",
    ],
    set_ups,
    columns: &[
        Column {
            words: "4 K away after",
            unit: Unit::Hours,
            missing: "not in 2 days",
            value: away_after_h,
        },
        Column::WARMEST,
        Column::COLDEST,
    ],
    picture: Picture::Course,
    key: 1,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "stuck on: C dT/dt = P − Q        dead: C dT/dt = −Q        Q = d · P",
        symbols: &[
            ("C", "heat that warms the tank by one kelvin, J/K"),
            ("P", "power of the heater, W"),
            (
                "Q",
                "heat that the tank loses at its target, less what pump and lamp give, W",
            ),
            (
                "d",
                "share of the time that the healthy heater is on, between 0 and 1",
            ),
        ],
        source: "docs/model.md, \"Lumps\": the heat balance at the instant of the failure. Farther from the target the loss changes, so it holds for the first hours.",
    },
    next: &[
        Next {
            words: "A heater of 50 W in the cold room: which failure is the quicker one now?",
            command: "tepid run lidded-nano --strategy on-off --set 'room.temperature=16 °C' --fault 'one heater dead'",
        },
        Next {
            words: "The same heater stuck on: is there a danger at all?",
            command: "tepid run lidded-nano --strategy on-off --set 'room.temperature=16 °C' --fault 'one contact welded'",
        },
        Next {
            words: "A classroom over a weekend with the heating off: how long does a dead heater take there?",
            command: "tepid run classroom-weekend --strategy on-off --fault 'one heater dead'",
        },
    ],
    for_the_teacher,
};

fn away_after_h(run: &Run<'_>) -> Option<f64> {
    run.reached_after_h(HOT_LINE_C)
        .or_else(|| run.reached_after_h(COLD_LINE_C))
}

fn set_ups() -> Vec<SetUp> {
    let scenario = |room: &str, fault: &str| {
        format!(
            r#"base  = "lidded-nano"
title = "Lidded nano tank, 100 W, a room of {room}"

[set]
duration                = "2 d"
"room.temperature"      = "{room}"
"heater.heater.power"   = "100 W"
# The same distance either way.
"livestock.danger_hot"  = [["29 °C", "3 d"], ["31 °C", "12 h"], ["33 °C", "1 h"]]
"livestock.danger_cold" = [["21 °C", "3 d"], ["19 °C", "12 h"], ["17 °C", "1 h"]]

[[fault]]
{fault}
when = "6 h"
"#
        )
    };
    let stuck = "what    = \"contact welded\"\ncontact = \"plug-in relay\"";
    let dead = "what   = \"heater dead\"\nheater = \"heater\"";
    vec![
        SetUp::on_off("room of 16 °C, stuck on", scenario("16 °C", stuck)),
        SetUp::on_off("room of 16 °C, dead", scenario("16 °C", dead)),
        SetUp::on_off("room of 22 °C, stuck on", scenario("22 °C", stuck)),
        SetUp::on_off("room of 22 °C, dead", scenario("22 °C", dead)),
    ]
}

fn shown(runs: &Runs) -> Option<usize> {
    // Infinite: never.
    let after_h = |set_up| {
        let after_h = runs.value(set_up, AWAY_AFTER);
        if after_h.is_nan() { f64::INFINITY } else { after_h }
    };
    let cold = after_h(COLD_DEAD) / after_h(COLD_STUCK);
    let warm = after_h(WARM_DEAD) / after_h(WARM_STUCK);
    let alike = |ratio: f64| (0.8..1.25).contains(&ratio);
    match (cold, warm) {
        (cold, warm) if cold > 2.0 && warm > 2.0 => Some(0),
        (cold, warm) if alike(cold) && warm > 2.0 => Some(1),
        (cold, warm) if cold < 0.5 && alike(warm) => Some(2),
        _ => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "In the cold room the stuck heater takes {}, the dead one {}: hardly a difference. In the warm room the stuck one takes {}; the dead one: {}.",
        runs.told(COLD_STUCK, AWAY_AFTER),
        runs.told(COLD_DEAD, AWAY_AFTER),
        runs.told(WARM_STUCK, AWAY_AFTER),
        runs.told(WARM_DEAD, AWAY_AFTER),
    )
}

/// The share of the time on that the two times give, by the equation of the lesson.
fn share_on(runs: &Runs) -> f64 {
    let (stuck_h, dead_h) = (
        runs.value(COLD_STUCK, AWAY_AFTER),
        runs.value(COLD_DEAD, AWAY_AFTER),
    );
    stuck_h / (stuck_h + dead_h)
}

fn explanation(runs: &Runs) -> Vec<String> {
    vec![
        format!(
            "A healthy heater that is on half the time gives, on average, half its power: that is what the tank loses. Stuck on it gives the other half too much, dead \
             it gives that half too little. So hot and cold are equally quick. By the two times of the cold room the heater was on for about {} of the time.",
            share(share_on(runs)),
        ),
        format!(
            "In the warm room the tank loses little and the heater is seldom on. Stuck on, nearly all its power is too much: {}, {} as quick as in the cold room. Dead, \
             little is missing, and the water ended no colder than {}.",
            runs.told(WARM_STUCK, AWAY_AFTER),
            times(runs.value(COLD_STUCK, AWAY_AFTER) / runs.value(WARM_STUCK, AWAY_AFTER)),
            runs.told(WARM_DEAD, COLDEST),
        ),
        "The rule: on for less than half the time, fear the heat; on for more than half, fear the cold. A heater that is only just big enough in winter is nearly always on: \
         stuck, it does nothing, and dead it leaves little time."
            .to_owned(),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    vec![
        "Often said: \"Too hot is always the danger.\" It is in a heated room with a big heater. Ask what their own heater does in the coldest week.".to_owned(),
        format!(
            "From the equation: time stuck over time dead = d / (1 − d). With {} and {} that gives d = {}. A lamp on the heater and an hour of patience would check it.",
            runs.told(COLD_STUCK, AWAY_AFTER),
            runs.told(COLD_DEAD, AWAY_AFTER),
            share(share_on(runs)),
        ),
        format!(
            "Four kelvins are the same distance, not the same harm: the hot run of the warm room went on to {}, the cold run of the cold room to {}.",
            runs.told(WARM_STUCK, WARMEST),
            runs.told(COLD_DEAD, COLDEST),
        ),
    ]
}
