//! Heaters stuck on: which pairs of volume and watts fit a night's report, and what a heater sized for winter does in summer.

use crate::case::{budget, ran, scenario, strategy};
use crate::row::{Asked, KEEPER, Row, Span, Told};

pub fn rows() -> Vec<Row> {
    let mut rows = overnight();
    rows.extend(sized_for_winter());
    rows
}

fn overnight() -> Vec<Row> {
    // A setpoint that is never reached: on all the time.
    let stuck = strategy("on-off", &[("setpoint", "40 °C")]);
    let hours = |volume: &str, power: &str| {
        Span::of(["0 W", "10 W"].map(|filter| {
            let changes = [
                ("tank.tank.volume", volume),
                ("heater.heater.power", power),
                ("pump.filter.power", filter),
            ];
            let course = ran(&scenario("overnight.toml", &changes), stuck.as_ref(), &[]).course;
            course.hours_up_to(28.9, 0.0).expect("28.9 °C")
        }))
    };
    let pairs = [
        ("40 L", "50 W", 8.0, 10.0),
        ("60 L", "75 W", 8.0, 10.0),
        ("150 L", "150 W", 8.0, 10.0),
        ("190 L", "200 W", 8.0, 10.0),
        ("76 L", "100 W", 7.0, 7.0),
        ("114 L", "100 W", 13.0, 13.0),
    ];
    let first = Row {
        case: "23.3 °C at 22:00, 28.9 °C at 07:00, room 20 °C",
        quantity: String::new(),
        unit: "h",
        told: Told::ByHand,
        source: "lumped model",
        outside: Span::at(9.0),
        predicted: Span::at(9.0),
        asked: Asked::RangesMeet,
        remark: "covered, its back against a wall, a filter of 0 to 10 W; open they would end at 27.6 to 29.5 °C",
    };
    let mut rows: Vec<Row> = pairs
        .iter()
        .map(|(volume, power, from, to)| Row {
            quantity: format!("hours from 23.3 to 28.9 °C, {volume}, {power}"),
            outside: Span::between(*from, *to),
            predicted: hours(volume, power),
            ..first.clone()
        })
        .collect();
    rows.push(Row {
        quantity: "hours, the four pairs that fit by hand".into(),
        told: Told::Reported,
        source: KEEPER,
        outside: Span::at(9.0),
        predicted: Span::of(pairs[..4].iter().flat_map(|(volume, power, ..)| {
            let span = hours(volume, power);
            [span.from, span.to]
        })),
        asked: Asked::SpanHoldsFigure,
        remark: "volume and watts are not told",
        ..first
    });
    rows
}

/// What a heater that just holds winter does when it sticks on in summer, and what two halves and three thirds do.
fn sized_for_winter() -> Vec<Row> {
    const FILE: &str = "unheated-house-300-l.toml";
    let winter_w = budget(FILE, &[]).heater_needed_w;
    let ends_at_c = |share: f64| {
        let power = format!("{} W", winter_w * share);
        let changes = [
            ("heater.heater.power", power.as_str()),
            ("room.temperature", "25 °C"),
        ];
        budget(FILE, &changes).stuck_on[0].end_c.expect("settles")
    };
    let first = Row {
        case: "300 L, 25 °C held in a room of 16 °C, stuck on in one of 25 °C",
        quantity: "ends at, one heater".into(),
        unit: "°C",
        told: Told::Relation,
        source: "9 K of winter's lift is 9 K of summer's",
        outside: Span::at(34.0),
        predicted: Span::at(ends_at_c(1.0)),
        asked: Asked::Within(1.0),
        remark: "\"at best\": films and vapour give off more for each kelvin the warmer all is, so it ends a little lower",
    };
    let parts = [
        ("one of two halves", 0.5, 29.5),
        ("one of three thirds", 1.0 / 3.0, 28.0),
    ];
    let mut rows = vec![first.clone()];
    rows.extend(parts.map(|(name, share, told_c)| Row {
        quantity: format!("ends at, {name}"),
        outside: Span::at(told_c),
        predicted: Span::at(ends_at_c(share)),
        ..first.clone()
    }));
    rows
}
