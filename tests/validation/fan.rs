//! Fans: how far one takes the water down, and when it is not enough.

use tepid_output::records::Budget;
use tepid_sim::physics::moist_air::{Air, wet_bulb_c};
use tepid_sim::scenario::Scenario;

use crate::case::{budget, ran, scenario, strategy};
use crate::row::{Asked, KEEPER, Row, Span, Told};

const BIG: &str = "fan-680-l.toml";
const WARM_ROOM: &str = "warm-room-300-l.toml";

pub fn rows() -> Vec<Row> {
    let mut rows = big_tank();
    rows.extend(humid_room());
    rows.push(below_the_room());
    rows
}

/// Where a tank ends, °C, and what it loses, L a day, with its fan always on or never.
fn ends(scenario: &Scenario, fan_on: bool) -> (f64, f64) {
    // A setpoint below any water keeps it on, one above any keeps it off.
    let setpoint = if fan_on { "4 °C" } else { "40 °C" };
    let ran = ran(
        scenario,
        strategy("fan-cooling", &[("setpoint", setpoint)]).as_ref(),
        &[],
    );
    let litres = ran.scores.evaporated_kg / (ran.scores.scored_ms as f64 / 86_400_000.0);
    (ran.scores.tanks[0].end_c, litres)
}

/// What must evaporate so that the water stays below its room: all the other paths bring heat.
fn below_the_room() -> Row {
    let litres_a_day = |room: &str, filter: &str| {
        let budget = budget(
            "fan-208-l.toml",
            &[("room.temperature", room), ("pump.filter.power", filter)],
        );
        let evaporation_w: f64 = path_w(&budget, "evaporation");
        let gained_w = evaporation_w - budget.total_loss_w
            + path_w(&budget, "make-up water")
            + budget.gains.iter().map(|gain| gain.power_w).sum::<f64>();
        gained_w / (evaporation_w / budget.evaporation_l_per_day)
    };
    Row {
        case: "208 L under fans, held at 23.9 °C in a room of 25.6 to 28.3 °C",
        quantity: "evaporation".into(),
        unit: "L/d",
        told: Told::Measured,
        source: KEEPER,
        outside: Span::at(1.26),
        predicted: Span::of([litres_a_day("25.6 °C", "0 W"), litres_a_day("28.3 °C", "15 W")]),
        asked: Asked::SpanHoldsFigure,
        remark: "\"about 1/3 gallon a day\"; from the coolest room without a filter's heat to the warmest with 15 W of it",
    }
}

fn path_w(budget: &Budget, name: &str) -> f64 {
    budget
        .losses
        .iter()
        .filter(|loss| loss.name == name)
        .map(|loss| loss.power_w)
        .sum()
}

const SPEEDS: [(&str, f64, f64); 3] = [("1 m/s", 1.4, 1.5), ("2 m/s", 2.3, 1.8), ("3 m/s", 2.8, 2.0)];
/// How much of a surface of 183 cm a fan reaches is not told.
const REACHES: [&str; 2] = ["50 %", "100 %"];

fn big_tank() -> Vec<Row> {
    let still = ends(&scenario(BIG, &[]), false);
    // Drop, K, and evaporation over that without, at each speed.
    let blown: Vec<(Span, Span)> = SPEEDS
        .iter()
        .map(|(speed, ..)| {
            let both = REACHES.map(|share| {
                let changes = [("fan.fan.speed", *speed), ("fan.fan.reaches", share)];
                ends(&scenario(BIG, &changes), true)
            });
            (
                Span::of(both.map(|end| still.0 - end.0)),
                Span::of(both.map(|end| end.1 / still.1)),
            )
        })
        .collect();
    let first = Row {
        case: "680 L with sump, 150 W of equipment, room 25 °C, 50 %",
        quantity: "drop by a fan of 1 to 3 m/s over half the surface to all of it".into(),
        unit: "K",
        told: Told::Measured,
        source: KEEPER,
        outside: Span::at(2.8),
        predicted: Span::of(blown.iter().flat_map(|(drop, _)| [drop.from, drop.to])),
        asked: Asked::SpanHoldsFigure,
        remark: "measured with water trickling over media in a stream of air, not with a fan over the surface; speed, room and humidity \
                 are not told",
    };
    let doubled = Row {
        quantity: "evaporation over that without, likewise".into(),
        unit: "1",
        outside: Span::at(2.0),
        predicted: Span::of(blown.iter().flat_map(|(_, times)| [times.from, times.to])),
        ..first.clone()
    };
    let mut rows = vec![first.clone(), doubled];
    for ((speed, drop_k, times), (drop, ratio)) in SPEEDS.iter().zip(&blown) {
        let by_hand = Row {
            quantity: format!("drop at {speed}"),
            told: Told::ByHand,
            source: "lumped model",
            outside: Span::at(*drop_k),
            predicted: *drop,
            asked: Asked::SpanHoldsFigure,
            remark: "the share of the surface that the fan reaches spans it; all of it evaporates up to a third more than by hand: a plate's \
                     boundary layer over 61 cm beside the pool form's speed term",
            ..first.clone()
        };
        rows.push(Row {
            quantity: format!("evaporation over that without at {speed}"),
            unit: "1",
            outside: Span::at(*times),
            predicted: *ratio,
            ..by_hand.clone()
        });
        rows.push(by_hand);
    }
    rows
}

fn humid_room() -> Vec<Row> {
    let humidities = [
        ("30 %", 0.30, 16.9),
        ("50 %", 0.50, 20.6),
        ("65 %", 0.65, 23.0),
        ("80 %", 0.80, 25.2),
    ];
    let first = Row {
        case: "300 L, 0.55 m², 60 W of equipment, room 28 °C",
        quantity: String::new(),
        unit: "°C",
        told: Told::ByHand,
        source: "Stull 2011, J. Appl. Meteorol. Climatol. 50, 2267–2269: a fit",
        outside: Span::at(0.0),
        predicted: Span::at(0.0),
        asked: Asked::Within(0.65),
        remark: "the figures are that fit's, recomputed; it claims −1.0 to +0.65 K (from memory), ours meets a psychrometric library within \
                 0.001 K, so the residual is the fit's",
    };
    let mut rows: Vec<Row> = humidities
        .iter()
        .map(|(name, relative, told_c)| Row {
            quantity: format!("wet bulb at {name}"),
            outside: Span::at(*told_c),
            predicted: Span::at(wet_bulb_c(Air::from_relative_humidity(
                28.0, *relative, 101_325.0,
            ))),
            ..first.clone()
        })
        .collect();
    let ranges = [(21.0, 24.5), (23.5, 26.0), (25.0, 27.0), (27.0, 28.5)];
    for ((name, ..), (from, to)) in humidities.iter().zip(ranges) {
        rows.push(Row {
            quantity: format!("water under a fan of 2 m/s at {name}"),
            source: "pool formula to still-air and plate relations",
            outside: Span::between(from, to),
            predicted: Span::at(ends(&scenario(WARM_ROOM, &[("room.humidity", name)]), true).0),
            asked: Asked::LiesInRange,
            remark: "",
            ..first.clone()
        });
    }
    rows.push(Row {
        quantity: "water under a lid, 30 to 80 %".into(),
        source: "lumped model",
        outside: Span::between(30.0, 31.5),
        predicted: Span::of(["30 %", "80 %"].map(|humidity| {
            let changes = [("room.humidity", humidity), ("tank.tank.cover", "lid")];
            budget(WARM_ROOM, &changes).unheated_c.expect("settles")
        })),
        asked: Asked::RangesMeet,
        remark: "",
        ..first.clone()
    });
    rows.push(Row {
        quantity: "humidity from which 26 °C cannot be held".into(),
        unit: "%",
        told: Told::Reported,
        source: KEEPER,
        outside: Span::at(50.0),
        predicted: Span::of(["1 m/s", "2 m/s", "3 m/s"].map(humidity_limit_percent)),
        asked: Asked::SpanHoldsFigure,
        remark: "\"below about 50 %\"; fan of 1 to 3 m/s over the whole surface",
        ..first
    });
    rows
}

/// The humidity at which the fan just holds 26 °C, percent, to half a point.
fn humidity_limit_percent(speed: &str) -> f64 {
    let (mut holds, mut fails) = (10.0, 100.0);
    while fails - holds > 0.5 {
        let middle = 0.5 * (holds + fails);
        let humidity = format!("{middle} %");
        let changes = [("room.humidity", humidity.as_str()), ("fan.fan.speed", speed)];
        if ends(&scenario(WARM_ROOM, &changes), true).0 <= 26.0 {
            holds = middle;
        } else {
            fails = middle;
        }
    }
    0.5 * (holds + fails)
}

#[test]
fn a_fan_cools_by_what_it_evaporates_and_never_below_the_wet_bulb() {
    let still = ends(&scenario(WARM_ROOM, &[]), false);
    let blown = ends(&scenario(WARM_ROOM, &[]), true);
    assert!(blown.0 < still.0 && blown.1 > still.1);
    let floor_c = wet_bulb_c(Air::from_relative_humidity(28.0, 0.5, 101_325.0));
    assert!(blown.0 > floor_c, "{} {floor_c}", blown.0);
}
