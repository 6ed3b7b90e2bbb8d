//! Which deadband, what noise does to a relay without one, and what belongs to the strategy and what to the simulation.

use crate::case::{budget, ran, scenario, strategy};
use crate::row::{Asked, Row, Span, Told};
use tepid_sim::network::StepperSettings;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scores::Scores;
use tepid_sim::time::{MINUTE, Millis, SECOND};

const FILE: &str = "deadband-200-l.toml";
const QUICK: &str = "quick-60-l.toml";

pub fn rows() -> Vec<Row> {
    let mut rows = widths();
    rows.extend(chatter());
    rows.extend(control_interval());
    rows.extend(inner_step());
    rows
}

fn scores(file: &str, changes: &[(&str, &str)], values: &[(&str, &str)]) -> Scores {
    ran(&scenario(file, changes), strategy("on-off", values).as_ref(), &[]).scores
}

fn widths() -> Vec<Row> {
    let budget = budget(FILE, &[]);
    let first = Row {
        case: "200 L, 300 W, 12 W/K, room 21 °C",
        quantity: String::new(),
        unit: "1/d",
        told: Told::ByHand,
        source: "lumped model",
        outside: Span::at(0.0),
        predicted: Span::at(0.0),
        asked: Asked::RangesMeet,
        remark: "",
    };
    let told = [
        ("1 K", 1.0, 5.0, 6.0),
        ("0.5 K", 0.5, 10.0, 11.0),
        ("0.3 K", 0.3, 16.0, 18.0),
        ("0.1 K", 0.1, 40.0, 45.0),
        ("0.05 K", 0.05, 65.0, 75.0),
    ];
    let mut rows = Vec::new();
    for (width, width_k, from, to) in told {
        // Decided every second, so that the width decides and not the clock of the controller.
        let scores = scores(FILE, &[], &[("deadband", width), ("interval", "1 s")]);
        let starts = scores.contacts[0].closings_per_day;
        let by_hand = Row {
            quantity: format!("starts a day, {width} wide"),
            outside: Span::between(from, to),
            predicted: Span::at(starts),
            asked: Asked::Within(0.15 * to),
            remark: "asked: 15 %",
            ..first.clone()
        };
        if width_k >= 0.3 {
            let duty = scores.heaters[0].on_frac;
            let formula = 86_400.0 * 300.0 * duty * (1.0 - duty) / (budget.heat_capacity_j_per_k * width_k);
            rows.push(Row {
                quantity: format!("starts a day, {width} wide, by its formula"),
                told: Told::Relation,
                source: "86 400 P d (1 − d) ÷ (C × width)",
                outside: Span::at(formula),
                asked: Asked::Within(0.15 * formula),
                remark: "the formula knows no lag: it overstates, the more the narrower",
                ..by_hand.clone()
            });
        }
        rows.push(by_hand);
    }
    let plain = scores(FILE, &[], &[("deadband", "0.3 K")]);
    let held = scores(
        FILE,
        &[],
        &[
            ("deadband", "0.3 K"),
            ("minimum_on", "10 min"),
            ("minimum_off", "10 min"),
        ],
    );
    rows.push(Row {
        quantity: "what 10 min of minimum times change at 0.3 K".into(),
        outside: Span::at(0.0),
        predicted: Span::at(held.contacts[0].closings_per_day - plain.contacts[0].closings_per_day),
        asked: Asked::Within(0.5),
        ..first.clone()
    });
    let narrow = scores(
        FILE,
        &[],
        &[
            ("deadband", "0.05 K"),
            ("minimum_on", "10 min"),
            ("minimum_off", "10 min"),
        ],
    );
    rows.push(Row {
        quantity: "starts a day at 0.05 K with minimum times of 10 min".into(),
        outside: Span::at(29.0),
        predicted: Span::at(narrow.contacts[0].closings_per_day),
        asked: Asked::Within(3.0),
        ..first.clone()
    });
    rows
}

fn chatter() -> Vec<Row> {
    let starts = |noise, values: &[(&str, &str)]| {
        scores(FILE, &[("probe.main.noise", noise), ("duration", "2 d")], values).contacts[0].closings_per_day
    };
    let first = Row {
        case: "200 L, 300 W, read every 10 s with noise",
        quantity: "starts a day, no deadband, 0.05 K of noise".into(),
        unit: "1/d",
        told: Told::ByHand,
        source: "lumped model",
        outside: Span::between(1300.0, 1400.0),
        predicted: Span::at(starts("0.05 K", &[("deadband", "0.01 K"), ("interval", "10 s")])),
        asked: Asked::Within(0.15 * 1400.0),
        remark: "0.01 K is the narrowest a deadband can be set to here",
    };
    let cured = Row {
        quantity: "starts a day, 0.3 K wide, 0.05 K of noise".into(),
        outside: Span::between(30.0, 35.0),
        predicted: Span::at(starts("0.05 K", &[("deadband", "0.3 K"), ("interval", "10 s")])),
        asked: Asked::Within(5.0),
        remark: "",
        ..first.clone()
    };
    let noisy = Row {
        quantity: "starts a day, 0.3 K wide, 0.1 K of noise".into(),
        outside: Span::at(200.0),
        predicted: Span::at(starts("0.1 K", &[("deadband", "0.3 K"), ("interval", "10 s")])),
        asked: Asked::Within(30.0),
        remark: "the deadband must be several times the noise",
        ..first.clone()
    };
    vec![first, cured, noisy]
}

fn control_interval() -> Vec<Row> {
    let told = [
        ("5 s", 26.2, 26.2),
        ("1 min", 26.2, 26.2),
        ("5 min", 26.2, 26.3),
        ("15 min", 26.9, 27.0),
    ];
    told.into_iter()
        .map(|(interval, from, to)| {
            let scores = scores(QUICK, &[], &[("deadband", "0.2 K"), ("interval", interval)]);
            Row {
                case: "60 L, 300 W, 0.2 K wide",
                quantity: format!("peak, looked at every {interval}"),
                unit: "°C",
                told: Told::ByHand,
                source: "lumped model",
                outside: Span::between(from, to),
                predicted: Span::at(scores.tanks[0].highest_c),
                asked: Asked::Within(0.2),
                remark: "where the last look before the edge falls decides",
            }
        })
        .collect()
}

/// How the peak changes when the program's own step is varied and the strategy is not.
fn inner_step() -> Vec<Row> {
    let scenario = scenario(QUICK, &[]);
    let recipe = strategy("on-off", &[("deadband", "0.2 K"), ("interval", "1 min")]);
    let peak = |tick_ms, refresh_ms| {
        let request = RunRequest {
            stepper: StepperSettings { tick_ms, refresh_ms },
            ..RunRequest::new(&scenario, recipe.as_ref(), 7)
        };
        let scores = run(&request, None).expect("runs");
        (scores.tanks[0].highest_c, scores.contacts[0].closings)
    };
    let (finest_c, starts) = peak(SECOND, MINUTE);
    let moved_k = |steps: &[(Millis, Millis)]| {
        Span::of(steps.iter().map(|(tick_ms, refresh_ms)| {
            let (peak_c, closings) = peak(*tick_ms, *refresh_ms);
            assert_eq!(closings, starts, "starts at {tick_ms} ms");
            peak_c - finest_c
        }))
    };
    let usual = Row {
        case: "60 L, 300 W, 0.2 K wide",
        quantity: "change of the peak with ticks of 5 to 15 s".into(),
        unit: "K",
        told: Told::Relation,
        source: "the same run with ticks of 1 s",
        outside: Span::at(0.0),
        predicted: moved_k(&[
            (5 * SECOND, 5 * MINUTE),
            (10 * SECOND, 5 * MINUTE),
            (15 * SECOND, 5 * MINUTE),
        ]),
        asked: Asked::Within(1e-3),
        remark: "and not one start more or less: how often a strategy looks is real, how often the program computes is not (10 s is its own)",
    };
    let coarse = Row {
        quantity: "change of the peak with ticks of 1 min".into(),
        predicted: moved_k(&[(MINUTE, 5 * MINUTE), (MINUTE, MINUTE)]),
        asked: Asked::KnownMiss,
        remark: "nobody runs it so; starts are the same, but the heater's body gives off its warmth within half a minute after it opens, and the peak falls between \
                 two ticks",
        ..usual.clone()
    };
    vec![usual, coarse]
}
