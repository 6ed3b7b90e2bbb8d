//! The deadband against the wear of the relay.

use crate::column::{Column, Runs, Unit};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;
use crate::words::times;

const NARROW: usize = 0;
const USUAL: usize = 1;
const WIDE: usize = 2;

const CLOSINGS: usize = 0;
const LIFE: usize = 1;
const SWING: usize = 2;
const SHARE_ON: usize = 3;

pub(super) const LESSON: Lesson = Lesson {
    name: "deadband",
    title: "Steady water or a relay that lasts",
    aim: "You can say what a narrower deadband gives, what it takes, and by how much.",
    minutes: 35,
    ages: "12 to 16",
    story: "A lidded tank of 40 L is held at 25 °C by a heater of 50 W. The controller closes the relay when the water is half a deadband below the target and \
            opens it half a deadband above. The relay is good for 100000 closings. We run five days with deadbands of 0.2 K, 0.4 K and 0.8 K; the probe is a \
            perfect one that reads without noise.",
    question: "The deadband is halved from 0.4 K to 0.2 K. What becomes of the relay's life?",
    choices: &[
        "Nothing: the tank needs just as much heat as before.",
        "It halves: the relay closes twice as often.",
        "It doubles: each time it heats only half as long.",
    ],
    set_ups,
    columns: &[
        Column {
            words: "Closings a day",
            unit: Unit::Count,
            missing: "–",
            value: |run| run.busiest().map(|contact| contact.closings_per_day),
        },
        Column {
            words: "Relay lasts",
            unit: Unit::Years,
            missing: "–",
            value: |run| run.busiest().and_then(|contact| contact.life_years),
        },
        Column::SWING,
        Column {
            words: "Time heating",
            unit: Unit::Share,
            missing: "–",
            value: |run| run.busiest().map(|contact| contact.closed_frac),
        },
    ],
    picture: Picture::Cycle { from_h: 48, for_h: 8 },
    key: 1,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "n = 86400 s · P · d · (1 − d) / (C · w)",
        symbols: &[
            ("n", "closings a day"),
            ("P", "power of the heater, W"),
            ("d", "share of the time that it heats, between 0 and 1"),
            ("C", "heat that warms the tank by one kelvin, J/K"),
            ("w", "width of the deadband, K"),
        ],
        source: "docs/model.md, \"Lumps\": the heat balance of a tank, once for the time that it heats and once for the time that it cools. It leaves out that \
                 heater and probe lag behind, which counts for narrow deadbands.",
    },
    next: &[
        Next {
            words: "A real probe reads in steps of 0.1 K and with a little noise. How many closings a day are there now with 0.4 K?",
            command: "tepid run lidded-nano --strategy on-off",
        },
        Next {
            words: "See the noise at work, beside a controller that switches by the clock.",
            command: "tepid plot cycle lidded-nano --strategy on-off --strategy pi -o cycle.svg",
        },
        Next {
            words: "Let the program look for a deadband for this tank.",
            command: "tepid tune lidded-nano --strategy on-off --vary deadband --settings 4 --no-worse --set 'duration=2 d'",
        },
    ],
    for_the_teacher,
};

fn set_ups() -> Vec<SetUp> {
    let scenario = r#"base  = "lidded-nano"
title = "Lidded nano tank, a perfect probe"

[set]
"probe.main.noise" = "0 K"
"probe.main.step"  = "0.01 K"
"#;
    [
        ("deadband 0.2 K", "0.2 K"),
        ("deadband 0.4 K", "0.4 K"),
        ("deadband 0.8 K", "0.8 K"),
    ]
    .into_iter()
    .map(|(label, width)| {
        let strategy = format!("strategy = \"on-off\"\ndeadband = \"{width}\"\n");
        SetUp::under(label, scenario.to_owned(), strategy)
    })
    .collect()
}

fn shown(runs: &Runs) -> Option<usize> {
    let left = runs.value(NARROW, LIFE) / runs.value(USUAL, LIFE);
    let steadier = runs.value(NARROW, SWING) < runs.value(USUAL, SWING)
        && runs.value(USUAL, SWING) < runs.value(WIDE, SWING);
    match left {
        _ if (0.4..0.65).contains(&left) && steadier => Some(1),
        _ if (0.9..1.1).contains(&left) => Some(0),
        _ if (1.5..2.5).contains(&left) => Some(2),
        _ => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "With 0.4 K the relay closes {} times a day and lasts {}; with 0.2 K it closes {} times a day and lasts {}. Half the width, {} as many closings.",
        runs.told(USUAL, CLOSINGS),
        runs.told(USUAL, LIFE),
        runs.told(NARROW, CLOSINGS),
        runs.told(NARROW, LIFE),
        times(runs.value(NARROW, CLOSINGS) / runs.value(USUAL, CLOSINGS)),
    )
}

fn explanation(runs: &Runs) -> Vec<String> {
    vec![
        format!(
            "The tank needs the same heat whatever the deadband: the heater is on for {} of the time with 0.2 K and for {} with 0.8 K. What changes is in how \
             many portions the heat comes. With half the width each portion warms the water by half as much, so it takes half as long and twice as many are needed.",
            runs.told(NARROW, SHARE_ON),
            runs.told(WIDE, SHARE_ON),
        ),
        format!(
            "What the narrow deadband gives is steadier water: it swings by {} in all with 0.2 K, by {} with 0.4 K and by {} with 0.8 K. What it takes is the \
             relay. Every closing burns its contacts a little, and a relay that is worn out does not just stop: it may weld shut, and then the heater \
             heats without end.",
            runs.told(NARROW, SWING),
            runs.told(USUAL, SWING),
            runs.told(WIDE, SWING),
        ),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    vec![
        "Often said: \"Nothing changes, the heat is the same.\" The first half is right, and the column of the time heating shows it. Ask what a relay counts: \
         minutes, or closings?"
            .to_owned(),
        format!(
            "Have them plot closings a day against 1 / width: {}, {} and {} for 1/0.2, 1/0.4 and 1/0.8. Do the points lie on a line through the origin?",
            runs.told(NARROW, CLOSINGS),
            runs.told(USUAL, CLOSINGS),
            runs.told(WIDE, CLOSINGS),
        ),
        "The first of the commands shows more closings than the equation: noise and steps of the probe make the relay switch early. So a deadband must be several \
         times the probe's noise."
            .to_owned(),
        "Ask: do fish feel 0.4 K? A pond swings by more from night to day. A narrow deadband looks precise and buys little.".to_owned(),
    ]
}
