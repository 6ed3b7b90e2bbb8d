//! What `tepid size` says of outages and of hot days, beside what is known of them.

use tepid::size::{cooling, outage};
use tepid_output::records::SizeOutage;
use tepid_sim::scenario::DangerLine;
use tepid_sim::time::{HOUR, Millis};

use crate::case::{budget, net_w_per_k, scenario};
use crate::row::{Asked, KEEPER, Row, Span, Told};

const OPEN: (&str, &str) = ("tank.tank.cover", "open");
const LID: (&str, &str) = ("tank.tank.cover", "lid");

pub fn rows() -> Vec<Row> {
    let mut rows = blanket();
    rows.extend(watt_hours());
    rows.extend(hot_day());
    rows
}

/// An outage of a case with one cold line.
fn without_mains(file: &str, changes: &[(&str, &str)], line_c: f64, lasts_ms: Millis) -> SizeOutage {
    let mut scenario = scenario(file, changes);
    scenario.livestock.danger_cold = vec![DangerLine {
        temp_c: line_c,
        allowed_ms: None,
    }];
    outage(&scenario, lasts_ms).expect("an outage")
}

fn blanket() -> Vec<Row> {
    let lasts_ms = 23 * HOUR + HOUR / 2;
    let ends_c = |at: usize| {
        Span::of(
            [LID, OPEN]
                .map(|cover| without_mains("blanket-106-l.toml", &[cover], 20.0, lasts_ms).courses[at].end_c),
        )
    };
    let bare = Row {
        case: "tepid size: 106 L, 23.5 h without power, house at 15.6 °C",
        quantity: "end, bare, lid or open".into(),
        unit: "°C",
        told: Told::Measured,
        source: KEEPER,
        outside: Span::between(15.6, 17.8),
        predicted: ends_c(0),
        asked: Asked::RangesMeet,
        remark: "",
    };
    vec![bare]
}

/// 90 L, room 12 °C: from T₀ it is at 18 °C after C/K ln((T₀ − 12 °C)/6 K), and K times the lift holds it for the rest of a day. K is what the tank loses at
/// 18 °C for the longest course, at 25 °C for the shortest; T₀ is anywhere in the thermostat's 25 ± 0.2 °C, what is held 0.05 to 0.15 K above the line.
fn watt_hours() -> Vec<Row> {
    let capacity_wh_per_k = 90.0 * 4186.0 / 3600.0;
    let loss_w_per_k = |target: &str| net_w_per_k(&budget("battery-90-l.toml", &[("water.target", target)]));
    let to_line_h = [("18 °C", 25.2_f64), ("25 °C", 24.8)]
        .map(|(target, from_c)| capacity_wh_per_k / loss_w_per_k(target) * ((from_c - 12.0) / 6.0).ln());
    let held_w = [6.05, 6.15].map(|lift_k| lift_k * loss_w_per_k("18 °C"));
    let held_wh = [0, 1].map(|at| held_w[at] * (24.0 - to_line_h[at]));
    let found = without_mains("battery-90-l.toml", &[], 18.0, 24 * HOUR);
    let bare = &found.courses[0];
    let first = Row {
        case: "tepid size: 90 L, room 12 °C, 24 h without power",
        quantity: "end, bare".into(),
        unit: "°C",
        told: Told::ByHand,
        source: "lumped model, 8 W/K",
        outside: Span::at(13.7),
        predicted: Span::at(bare.end_c),
        asked: Asked::Within(0.5),
        remark: "",
    };
    let line = Row {
        quantity: "hours to 18 °C, bare".into(),
        unit: "h",
        source: "lumped model, the loss at 18 °C and at 25 °C",
        outside: Span::of(to_line_h),
        predicted: Span::at(bare.hours_to_lines[0].after_h.expect("reached")),
        asked: Asked::LiesInRange,
        ..first.clone()
    };
    let held = Row {
        quantity: "Wh to hold 18 °C for the rest, bare".into(),
        unit: "Wh",
        outside: Span::of(held_wh),
        predicted: Span::at(bare.holding_wh),
        ..line.clone()
    };
    vec![first, line, held]
}

fn hot_day() -> Vec<Row> {
    let at = |humidity: &str, speed: &str| {
        let mut scenario = scenario(
            "warm-room-300-l.toml",
            &[("room.humidity", humidity), ("fan.fan.speed", speed)],
        );
        scenario.water.band_c.1 = 26.0;
        cooling(&scenario).expect("a hot day")
    };
    let first = Row {
        case: "tepid size: 300 L, 0.55 m², 60 W of equipment, room 28 °C",
        quantity: String::new(),
        unit: "°C",
        told: Told::ByHand,
        source: "pool formula to still-air and plate relations",
        outside: Span::at(0.0),
        predicted: Span::at(0.0),
        asked: Asked::LiesInRange,
        remark: "",
    };
    let ranges = [
        ("30 %", 21.0, 24.5),
        ("50 %", 23.5, 26.0),
        ("65 %", 25.0, 27.0),
        ("80 %", 27.0, 28.5),
    ];
    let mut rows: Vec<Row> = ranges
        .iter()
        .map(|(humidity, from, to)| Row {
            quantity: format!("under a fan of 2 m/s at {humidity}"),
            outside: Span::between(*from, *to),
            predicted: Span::at(at(humidity, "2 m/s").with.water_c.expect("settles")),
            ..first.clone()
        })
        .collect();
    rows.push(Row {
        quantity: "humidity from which 26 °C cannot be held".into(),
        unit: "%",
        told: Told::Reported,
        source: KEEPER,
        outside: Span::at(50.0),
        predicted: Span::of(["1 m/s", "2 m/s", "3 m/s"].map(|speed| {
            let limit_frac = at("50 %", speed).lines[0].humidity_limit_frac;
            100.0 * limit_frac.expect("a limit")
        })),
        asked: Asked::SpanHoldsFigure,
        remark: "\"below about 50 %\"; fan of 1 to 3 m/s over the whole surface",
        ..first
    });
    rows
}
