//! How cold may new water be, and what happens when the level falls below the heater?

use crate::case::{Course, budget, ran, ran_on_off, scenario, strategy};
use crate::row::{Asked, KEEPER, Row, Span, Told};
use tepid_output::cautions;
use tepid_sim::physics::water::{density_kg_per_m3, specific_heat_j_per_kg_k};

const FILE: &str = "change-250-l.toml";
/// When the change begins in these runs.
const BEFORE_H: f64 = 0.0;
/// How long it lasts, as the file says.
const MINUTES_2_H: f64 = 2.0 / 60.0;

pub fn rows() -> Vec<Row> {
    // A setpoint above what the heater reaches: it is on all the time.
    let always_on = strategy("on-off", &[("setpoint", "35 °C")]);
    let course = |changes: &[(&str, &str)]| -> Course {
        ran(&scenario(FILE, changes), always_on.as_ref(), &[]).course
    };
    let drop_k = |changes: &[(&str, &str)], lasts_h: f64| {
        let course = course(changes);
        course.water_c_at(BEFORE_H) - course.water_c_at(BEFORE_H + lasts_h)
    };
    let unplugged = ("heater.heater.power", "0.001 W");
    let step = Row {
        case: "250 L, water change",
        quantity: "drop when 10 % are replaced 11 K colder".into(),
        unit: "K",
        told: Told::Reported,
        source: KEEPER,
        outside: Span::at(1.1),
        predicted: Span::at(0.0),
        asked: Asked::Within(0.1),
        remark: "\"2 °F\": 11 K colder is what the share asks for; panes give 3 % back",
    };
    // Without heater and in a room of the water's own warmth nothing else moves it.
    let alone = [
        unplugged,
        ("room.temperature", "25 °C"),
        ("room.humidity", "100 %"),
        ("warm_up", "0 s"),
        ("event.change.at", "0 h"),
    ];
    let with = |also: &[(&'static str, &'static str)]| -> Vec<(&'static str, &'static str)> {
        alone.iter().copied().chain(also.iter().copied()).collect()
    };
    let mut rows = vec![Row {
        predicted: Span::at(drop_k(&with(&[]), MINUTES_2_H)),
        ..step.clone()
    }];
    // The panes follow the water: of all the heat the water holds this share.
    let budget = budget(FILE, &[]);
    let water_j_per_k = density_kg_per_m3(0.0, 25.0) * specific_heat_j_per_kg_k(0.0, 25.0) * 0.250;
    let water_frac = water_j_per_k / budget.heat_capacity_j_per_k;
    for (share, share_frac, tap, difference_k) in [
        ("15 %", 0.15, "5 °C", 20.0),
        ("20 %", 0.20, "10 °C", 15.0),
        ("30 %", 0.30, "15 °C", 10.0),
    ] {
        let changes = with(&[("event.change.share", share), ("event.change.temperature", tap)]);
        rows.push(Row {
            quantity: format!("drop when {share} are replaced from a tap at {tap}"),
            told: Told::Relation,
            source: "share × difference × the water's share of the heat held",
            outside: Span::at(share_frac * difference_k * water_frac),
            predicted: Span::at(drop_k(&changes, MINUTES_2_H)),
            asked: Asked::Within(0.05),
            remark: "by share × difference alone it is 3 K; the panes follow the water and give 3 % back",
            ..step.clone()
        });
    }
    let slow = [
        ("event.change.share", "30 %"),
        ("event.change.temperature", "15 °C"),
        ("event.change.lasts", "30 min"),
    ];
    let volumes = [("200 L", "40 cm"), ("300 L", "60 cm")];
    rows.push(Row {
        quantity: "what a 200 W heater saves while 30 % run in over 30 min".into(),
        told: Told::ByHand,
        source: "0.36 MJ into 200 to 300 L",
        outside: Span::between(0.3, 0.5),
        predicted: Span::of(volumes.map(|(_, height)| {
            let tank = [
                ("tank.tank.inside", "[\"100 cm\", \"50 cm\", \"65 cm\"]"),
                ("tank.tank.water_height", height),
            ];
            let without = with(&slow).into_iter().chain(tank);
            let heated = with(&slow)
                .into_iter()
                .filter(|(path, _)| *path != unplugged.0)
                .chain(tank);
            drop_k(&without.collect::<Vec<_>>(), 0.5) - drop_k(&heated.collect::<Vec<_>>(), 0.5)
        })),
        asked: Asked::RangesMeet,
        remark: "",
        ..step.clone()
    });
    rows.push(dry(&step));
    rows
}

/// A leak lets the water fall below the heater, which is switched on by a probe that hangs in air.
fn dry(like: &Row) -> Row {
    let ran = ran_on_off(&scenario("dry-heater.toml", &[]), &[]);
    Row {
        quantity: "hottest heater body after the level fell below it".into(),
        unit: "°C",
        told: Told::ByHand,
        source: "\"far above 150 °C\"",
        outside: Span::between(150.0, 600.0),
        predicted: Span::at(ran.scores.heaters[0].hottest_body_c),
        asked: Asked::LiesInRange,
        remark: "its glass may crack: the run carries a caution",
        ..like.clone()
    }
}

#[test]
fn a_heater_that_ran_dry_carries_its_caution() {
    let ran = ran_on_off(&scenario("dry-heater.toml", &[]), &[]);
    let heater = &ran.scores.heaters[0];
    assert!(cautions::for_body(&heater.heater, heater.hottest_body_c).is_some());
}
