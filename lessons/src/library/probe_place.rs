//! Where the probe sits.

use tepid_sim::physics::water::{density_kg_per_m3, specific_heat_j_per_kg_k};

use crate::column::{Column, Run, Runs, Unit};
use crate::lesson::{Equation, Lesson, Next, Picture};
use crate::set_up::SetUp;
use crate::words::{difference, times};

const IN_SUMP: usize = 0;
const WIDER: usize = 1;
const IN_DISPLAY: usize = 2;

const CLOSINGS: usize = 0;
const LIFE: usize = 1;
const SWING: usize = 2;

pub(super) const LESSON: Lesson = Lesson {
    name: "probe-place",
    title: "Where the probe sits",
    aim: "You can say why the place of a probe changes how often a relay switches, although the tank needs the same heat.",
    minutes: 30,
    ages: "14 to 18",
    story: "A reef tank has its two heaters in the sump below it; a pump sends the water round. The controller's probe hangs in the sump beside the \
            heaters, or in the display tank with the animals. The deadband is 0.4 K; a third run keeps the probe in the sump and doubles the deadband.",
    question: "The probe moves from the display into the sump, beside the heaters. How often do the relays close now?",
    choices: &[
        "As often as before: the same water flows past both places.",
        "Less often: there the heaters are watched better.",
        "Much more often: there the water warms at once when the heaters come on.",
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
    ],
    picture: Picture::Cycle { from_h: 24, for_h: 8 },
    key: 2,
    shown,
    answer,
    explanation,
    equation: Equation {
        formula: "T_sump − T_display = P / (ρ c F)",
        symbols: &[
            (
                "T_sump",
                "temperature of the water in the sump while the heaters are on, °C",
            ),
            ("T_display", "temperature of the water in the display, °C"),
            ("P", "power of the heaters, W"),
            (
                "ρ c",
                "heat that warms a cubic metre of water by one kelvin, J/(m³ K)",
            ),
            ("F", "flow of the pump, m³/s"),
        ],
        source: "docs/model.md, \"Lumps\", flow between tanks: all heat of the heaters has to leave the sump with the flow, but for what its panes lose.",
    },
    next: &[
        Next {
            words: "Fewer watts, less difference: take weaker heaters and count again.",
            command: "tepid run spare-room-winter --strategy on-off --set 'heater.left.power=120 W' --set 'heater.right.power=120 W'",
        },
        Next {
            words: "The worst place of all: what happens when the probe slips out of the water?",
            command: "tepid run spare-room-winter --strategy on-off --fault 'probe out of the water'",
        },
        Next {
            words: "And when the pump stops? The next lesson.",
            command: "tepid lesson pump-off",
        },
    ],
    for_the_teacher,
};

fn set_ups() -> Vec<SetUp> {
    [
        ("probe in the sump, 0.4 K", "sump", "0.4 K"),
        ("probe in the sump, 0.8 K", "sump", "0.8 K"),
        ("probe in the display, 0.4 K", "display", "0.4 K"),
    ]
    .into_iter()
    .map(|(label, place, width)| {
        let scenario = format!(
            r#"base  = "spare-room-winter"
title = "Spare-room reef, probe in the {place}"

[set]
duration          = "3 d"
"probe.main.tank" = "{place}"
"#
        );
        SetUp::under(
            label,
            scenario,
            format!("strategy = \"on-off\"\ndeadband = \"{width}\"\n"),
        )
    })
    .collect()
}

fn shown(runs: &Runs) -> Option<usize> {
    let ratio = runs.value(IN_SUMP, CLOSINGS) / runs.value(IN_DISPLAY, CLOSINGS);
    let steadier = runs.value(IN_SUMP, SWING) < runs.value(IN_DISPLAY, SWING);
    let wider_helps = runs.value(WIDER, CLOSINGS) < runs.value(IN_DISPLAY, CLOSINGS);
    match ratio {
        _ if ratio > 1.5 && steadier && wider_helps => Some(2),
        _ if (0.85..1.15).contains(&ratio) => Some(0),
        _ if ratio < 0.7 => Some(1),
        _ => None,
    }
}

fn answer(runs: &Runs) -> String {
    format!(
        "In the display each relay closes {} times a day, in the sump {} times: {} as often. The relay lasts {} in place of {}.",
        runs.told(IN_DISPLAY, CLOSINGS),
        runs.told(IN_SUMP, CLOSINGS),
        times(runs.value(IN_SUMP, CLOSINGS) / runs.value(IN_DISPLAY, CLOSINGS)),
        runs.told(IN_SUMP, LIFE),
        runs.told(IN_DISPLAY, LIFE),
    )
}

/// How much warmer the sump is than the display while all heaters are on, K, by the equation of the lesson.
fn ahead_k(run: &Run<'_>) -> f64 {
    let water = &run.scenario.water;
    let heat_j_per_m3_k = density_kg_per_m3(water.salinity_g_per_kg, water.target_c)
        * specific_heat_j_per_kg_k(water.salinity_g_per_kg, water.target_c);
    let power_w: f64 = run.scenario.heaters.iter().map(|heater| heater.power_w).sum();
    let flow_m3_per_s: f64 = run.scenario.flows.iter().map(|flow| flow.rate_m3_per_s).sum();
    power_w / (heat_j_per_m3_k * flow_m3_per_s)
}

fn explanation(runs: &Runs) -> Vec<String> {
    let ahead = runs.runs.first().map_or(f64::NAN, ahead_k);
    vec![
        format!(
            "All the heat of the heaters goes into the sump first and leaves it with the flow. So while they are on, the sump is warmer than the display: by \
             the equation below by {} here. A probe in the sump feels that within minutes, and has part of its deadband behind it before the display knows \
             that anything is heated. It switches off early, the sump falls back as quickly, and it all begins again.",
            difference(ahead),
        ),
        format!(
            "The display swings by {} with the probe in the sump and by {} with the probe in the display: it is held more steadily, and the relays pay for \
             it. A wider deadband takes that back: with 0.8 K in the sump a relay closes {} times a day and lasts {}, and the display swings by {}.",
            runs.told(IN_SUMP, SWING),
            runs.told(IN_DISPLAY, SWING),
            runs.told(WIDER, CLOSINGS),
            runs.told(WIDER, LIFE),
            runs.told(WIDER, SWING),
        ),
    ]
}

fn for_the_teacher(runs: &Runs) -> Vec<String> {
    let ahead = runs.runs.first().map_or(f64::NAN, ahead_k);
    vec![
        "Often said: \"It is the same water.\" Ask how long the sump's water takes to be replaced by the display's, and what happens in it meanwhile.".to_owned(),
        format!(
            "The difference by the equation, {}, beside the deadband of 0.4 K: that share of the swing is passed without the display.",
            difference(ahead),
        ),
        "There is no best place. In the sump a stopped pump leaves the probe with the heaters and the display alone; in the display a stopped pump leaves the \
         heaters without anybody who feels them. The lesson `pump-off` is about that."
            .to_owned(),
    ]
}
