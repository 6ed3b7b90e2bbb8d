//! The average hides the bad day.

use crate::column::{Column, Runs, Unit};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;
use crate::words::difference;

const BAD_DAY: usize = 0;
const COOLER: usize = 1;
const HEALTHY: usize = 2;

const MEAN: usize = 0;
const COLDEST: usize = 1;
const BELOW: usize = 2;
const DOSE: usize = 3;

pub(super) const LESSON: Lesson = Lesson {
    name: "average",
    title: "The average hides the bad day",
    aim: "You can say why an average temperature proves nothing, and what to look at in its place.",
    minutes: 25,
    ages: "12 to 16",
    story: "Three reef tanks are watched for four weeks. They are to be held between 25 °C and 26 °C. One is without electricity for 20 h in its first week, one is set a \
            little too cool all the time, one is as it should be.",
    question: "At the end somebody reports: \"On average all three tanks were within what was wanted.\" That is true. Is all well?",
    choices: &[
        "Yes: if the average is right, the four weeks were right.",
        "Yes, unless one of them was also too warm at times to make up for it.",
        "No: one of them may have used up all that its animals bear.",
    ],
    set_ups,
    columns: &[
        Column {
            words: "Water on average",
            unit: Unit::Temperature,
            missing: "–",
            value: |run| run.worst().map(|tank| tank.mean_c),
        },
        Column::COLDEST,
        Column {
            words: "Below what was wanted",
            unit: Unit::Hours,
            missing: "–",
            value: |run| run.worst().map(|tank| tank.below_band_h),
        },
        Column::DOSE,
    ],
    picture: Picture::Course,
    key: 2,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "mean = (1/t) ∫ T dt        dose = ∫ dt / t_borne(T)",
        symbols: &[
            ("T", "temperature of the water, °C"),
            ("t", "the whole time, h"),
            (
                "t_borne(T)",
                "how long the animals bear that temperature, h; endless inside the band",
            ),
            ("dose", "1 = all that they bear is used up"),
        ],
        source: "sim/src/scores: \"mean\" and \"dose\". How long a temperature is borne is common practice without a source; docs/model.md, \"What this model leaves out\".",
    },
    next: &[
        Next {
            words: "The same bad day in a single week: does the average tell now?",
            command: "tepid run spare-room-winter --strategy on-off --fault outage",
        },
        Next {
            words: "A whole year of one tank: compare its average with its coldest and warmest hour.",
            command: "tepid run year-round --strategy on-off",
        },
        Next {
            words: "Seven days with a heater that cannot hold the cold front: what does the average say there?",
            command: "tepid run spare-room-winter --strategy on-off --set 'heater.left.power=100 W' --set 'heater.right.power=100 W'",
        },
    ],
    for_the_teacher,
};

fn set_ups() -> Vec<SetUp> {
    let scenario = |title: &str, more: &str| {
        format!(
            r#"base  = "spare-room-winter"
title = "{title}"

[set]
duration = "28 d"
{more}"#
        )
    };
    let outage = r#"
[[fault]]
what  = "outage"
when  = "day 4 00:00"
lasts = "20 h"
"#;
    let cooler = "strategy = \"on-off\"\nsetpoint = \"25.3 °C\"\n";
    vec![
        SetUp::on_off(
            "20 h without electricity",
            scenario("Spare-room reef, four weeks with one bad day", outage),
        ),
        SetUp::under(
            "set 0.2 K too cool",
            scenario("Spare-room reef, four weeks a little too cool", ""),
            cooler.to_owned(),
        ),
        SetUp::on_off("as it should be", scenario("Spare-room reef, four weeks", "")),
    ]
}

fn shown(runs: &Runs) -> Option<usize> {
    let band_c = runs.runs.first().map(|run| run.scenario.water.band_c)?;
    let within = |set_up| (band_c.0..=band_c.1).contains(&runs.value(set_up, MEAN));
    let harmed = runs.value(BAD_DAY, DOSE) >= 1.0;
    let too_warm = runs
        .runs
        .first()
        .and_then(|run| run.worst())
        .is_some_and(|tank| tank.above_band_h > 0.0);
    let alike = (runs.value(BAD_DAY, MEAN) - runs.value(COOLER, MEAN)).abs() < 0.1;
    let others_well = [COOLER, HEALTHY]
        .into_iter()
        .all(|set_up| runs.value(set_up, DOSE) < 1.0);
    match (within(BAD_DAY) && within(COOLER) && within(HEALTHY), harmed) {
        (true, true) if too_warm => Some(1),
        (true, true) if others_well && alike => Some(2),
        (true, false) => Some(0),
        _ => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "The averages are {}, {} and {}. The first tank was at {} on its bad day and used up {} of the dose; the second, with nearly the same average, never fell below {}.",
        runs.told(BAD_DAY, MEAN),
        runs.told(COOLER, MEAN),
        runs.told(HEALTHY, MEAN),
        runs.told(BAD_DAY, COLDEST),
        runs.told(BAD_DAY, DOSE),
        runs.told(COOLER, COLDEST),
    )
}

fn explanation(runs: &Runs) -> Vec<String> {
    let fell_k = runs.value(HEALTHY, COLDEST) - runs.value(BAD_DAY, COLDEST);
    let lowered_k = runs.value(HEALTHY, MEAN) - runs.value(BAD_DAY, MEAN);
    vec![
        format!(
            "The bad day took the water {} lower than it ever was in the healthy tank. Spread over four weeks that lowers the average by {}: as much as a controller that is set a \
             little too cool. The average cannot tell the two apart.",
            difference(fell_k),
            difference(lowered_k),
        ),
        format!(
            "Animals do not live in an average. What they bear hangs on how far and for how long: {} below what was wanted, some of it far below, against {} for the tank that is set too \
             cool. So one looks at the coldest and the warmest hour and at the time outside, and adds up the dose.",
            runs.told(BAD_DAY, BELOW),
            runs.told(COOLER, BELOW),
        ),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    vec![
        "Often said: \"Within limits on average, so within limits.\" Ask: may somebody cross a road whose cars are on average far away?".to_owned(),
        format!(
            "Work the average out by hand: 20 h and the hours of warming up, some kelvins too cold, over 672 h. It comes to about {}.",
            difference(runs.value(HEALTHY, MEAN) - runs.value(BAD_DAY, MEAN)),
        ),
        "Ask which one figure they would want in a report about their tank, and how somebody could make that one look good.".to_owned(),
    ]
}
