//! What `tepid size` says of outages and of hot days, beside what is known of them.

use tepid::size::{Outage, cooling, outage, running, savings};
use tepid_output::records::{RoomKind, SizeOutage};
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
    rows.extend(house());
    rows.extend(month());
    rows.extend(saved());
    rows
}

/// An outage of a case with one cold line, in a house that stays as warm as it is.
fn without_mains(file: &str, changes: &[(&str, &str)], line_c: f64, lasts_ms: Millis) -> SizeOutage {
    out(file, changes, line_c, Outage::of(lasts_ms))
}

/// An outage of a case with one cold line.
fn out(file: &str, changes: &[(&str, &str)], line_c: f64, asked: Outage) -> SizeOutage {
    let mut scenario = scenario(file, changes);
    scenario.livestock.danger_cold = vec![DangerLine {
        temp_c: line_c,
        allowed_ms: None,
    }];
    outage(&scenario, asked).expect("an outage")
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

/// The house falls from 18.3 to 12.8 °C in 13 h. By hand, with a time constant τ and a room that falls by r an hour: T = R₀ − r t + r τ +
/// (T₀ − R₀ − r τ) e^(−t/τ), solved for 18 °C by halving; and once the room is warm again, C/K ln((T∞ − T₁)/(T∞ − 24.5 °C)) with T∞ = R₀ + P/K, K what
/// the tank loses at 25 °C for the longest way back, at 20 °C for the shortest.
fn house() -> Vec<Row> {
    const FILE: &str = "house-cools.toml";
    const ROOM: (&str, &str) = ("room.temperature", "18.3 °C");
    let night = Outage {
        lasts_ms: 13 * HOUR,
        house_falls_to_c: Some(12.8),
    };
    let bare = |volume, cover| {
        let size = out(FILE, &[ROOM, ("tank.tank.volume", volume), cover], 18.0, night);
        size.courses.into_iter().next().expect("bare")
    };
    let (small, middle) = (bare("40 L", OPEN), bare("120 L", OPEN));
    let end = Row {
        case: "tepid size: house 18.3 to 12.8 °C in 13 h, tank from 25 °C",
        quantity: "end, 40 to 120 L, open".into(),
        unit: "°C",
        told: Told::Measured,
        source: KEEPER,
        outside: Span::between(16.0, 17.5),
        predicted: Span::of([small.end_c, middle.end_c]),
        asked: Asked::RangesMeet,
        remark: "the volume is not told; these are the volumes that the report's \"low 60s °F\" was taken to mean",
    };
    let big = Row {
        quantity: "end, 300 L, open or covered".into(),
        told: Told::ByHand,
        source: "lumped model, time constant 17 to 20 h",
        outside: Span::between(19.5, 20.5),
        predicted: Span::of([OPEN, LID].map(|cover| bare("300 L", cover).end_c)),
        remark: "",
        ..end.clone()
    };
    let to_line_h = |tau_h: f64| {
        let fall_k_per_h = 5.5 / 13.0;
        let water_c = |h: f64| {
            let settled_k = fall_k_per_h * tau_h;
            18.3 - fall_k_per_h * h + settled_k + (25.0 - 18.3 - settled_k) * (-h / tau_h).exp()
        };
        let (mut from_h, mut to_h) = (0.0, 48.0);
        for _ in 0..60 {
            let middle_h = (from_h + to_h) / 2.0;
            if water_c(middle_h) > 18.0 {
                from_h = middle_h;
            } else {
                to_h = middle_h;
            }
        }
        to_h
    };
    let line = Row {
        quantity: "hours until 18 °C, 40 to 120 L, open".into(),
        unit: "h",
        told: Told::ByHand,
        source: "lumped model, time constant 6 to 10 h",
        outside: Span::of([6.0, 10.0].map(to_line_h)),
        predicted: Span::of(
            [&small, &middle].map(|course| course.hours_to_lines[0].after_h.expect("reached")),
        ),
        ..big.clone()
    };
    let by_hand_h = ["20 °C", "25 °C"].map(|target| {
        let budget = budget(
            FILE,
            &[ROOM, ("tank.tank.volume", "120 L"), LID, ("water.target", target)],
        );
        let loss_w_per_k = net_w_per_k(&budget);
        let settles_c = 18.3 + 100.0 / loss_w_per_k;
        let from_c = bare("120 L", LID).end_c;
        let tau_h = budget.heat_capacity_j_per_k / loss_w_per_k / 3600.0;
        tau_h * ((settles_c - from_c) / (settles_c - 24.5)).ln()
    });
    let back = Row {
        quantity: "hours from then until 24.5 °C, 120 L, lid, 100 W".into(),
        source: "lumped model, the loss at 20 °C and at 25 °C",
        outside: Span::of(by_hand_h),
        predicted: Span::at(bare("120 L", LID).back_after_h.expect("back")),
        asked: Asked::LiesInRange,
        ..line.clone()
    };
    vec![end, big, line, back]
}

/// What a month of 730 h costs at 0.06 per kWh, over what is not known of lid and pump.
fn month() -> Vec<Row> {
    let cost = |file: &str, also: &[(&str, &str)]| {
        Span::of([LID, OPEN].into_iter().flat_map(|cover| {
            ["0 W", "30 W"].map(|pump| {
                let mut changes = vec![cover, ("pump.filter.power", pump)];
                changes.extend(also);
                let held = running(&scenario(file, &changes), RoomKind::Scenario).expect("a budget");
                held.cost_per_30_days.expect("a price") / 30.0 * 730.0 / 24.0
            })
        }))
    };
    let small = Row {
        case: "tepid size: 170 L, 3.9 K over the room",
        quantity: "cost of a month at 0.06 per kWh".into(),
        unit: "money",
        told: Told::Reported,
        source: KEEPER,
        outside: Span::at(1.78),
        predicted: cost("duty-170-l.toml", &[]),
        asked: Asked::SpanHoldsFigure,
        remark: "the heater alone, as in the report; lid or open, 0 to 30 W of pump",
    };
    let big = Row {
        case: "tepid size: 680 L, 3.9 K over the room",
        outside: Span::at(3.43),
        predicted: cost("duty-680-l.toml", &[("tank.tank.pane.free_sides", "62.5 %")]),
        ..small.clone()
    };
    vec![small, big]
}

/// What 1 K less and a lid save, and what a band can store.
fn saved() -> Vec<Row> {
    let less_percent = |changes: &[(&str, &str)], row: usize| {
        let savings = savings(&scenario("duty-170-l.toml", changes))
            .expect("budgets")
            .expect("heated");
        100.0 * (1.0 - savings.rows[row].kwh_per_30_days / savings.rows[0].kwh_per_30_days)
    };
    let first = Row {
        case: "tepid size: 170 L, what would save",
        quantity: "1 K less, lid, 4 to 5 K over the room".into(),
        unit: "%",
        told: Told::ByHand,
        source: "1 K of the lift",
        outside: Span::between(20.0, 26.0),
        predicted: Span::of(
            ["21.3 °C", "20.3 °C"].map(|room| less_percent(&[LID, ("room.temperature", room)], 1)),
        ),
        asked: Asked::RangesMeet,
        remark: "no pump",
    };
    let lid = Row {
        quantity: "a lid on an open tank".into(),
        source: "evaporation is about half of an open tank's loss",
        outside: Span::at(50.0),
        predicted: Span::of(
            ["0 W", "30 W"].map(|pump| less_percent(&[OPEN, ("pump.filter.power", pump)], 2)),
        ),
        asked: Asked::SpanHoldsFigure,
        remark: "0 to 30 W of pump",
        ..first.clone()
    };
    let stored = Row {
        case: "tepid size: 200 L, what would save",
        quantity: "heat in a band of ±0.5 K".into(),
        unit: "kWh",
        source: "volume, density and specific heat of sea water, 4.09 MJ/(m³ K)",
        outside: Span::at(0.2 * 4.09 / 3.6),
        predicted: Span::at(
            savings(&scenario("alert-200-l.toml", &[]))
                .expect("budgets")
                .expect("heated")
                .band_stores_kwh,
        ),
        asked: Asked::Within(0.03),
        remark: "glass and rock follow the water; what the heater's body and cable lose is paid too",
        ..first.clone()
    };
    vec![first, lid, stored]
}
