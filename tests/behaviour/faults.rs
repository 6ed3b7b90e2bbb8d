//! Every way to fail, from a line in a file to what it does to the water, and by what mechanism.

pub mod boxes;
mod control;
mod cooling;
mod lights;
mod probes;
mod registry;
mod room;
mod solid_state;
mod supply;
mod switching;
mod water;

use crate::support::{scenario_of, strategy};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scores::Scores;
use tepid_sim::time::{HOUR, Millis};
use tepid_sim::trace::{TraceRow, TraceSink};

/// 180 L over a small sump in a cool room, one heater behind a relay and a dial, and whatever else is put in.
const TANK: &str = r#"
title = "One heater"
duration = "3 d"
warm_up = "12 h"
[water]
salinity = "35 g/kg"
target = "25.5 °C"
band = ["25.0 °C", "26.0 °C"]
[livestock]
kind = "reef"
source = "common practice, no source"
used_to = "25.5 °C"
danger_hot = [["28.5 °C", "3 d"], ["30 °C", "12 h"]]
danger_cold = [["22 °C", "2 d"], ["20 °C", "12 h"]]
[[tank]]
name = "display"
inside = ["100 cm", "45 cm", "50 cm"]
water_height = "40 cm"
pane = { material = "glass", thickness = "10 mm" }
cover = "lid"
livestock = true
[[tank]]
name = "sump"
inside = ["50 cm", "30 cm", "30 cm"]
water_height = "20 cm"
cover = "open"
[[flow]]
from = "display"
to = "sump"
rate = "800 L/h"
pump = "return"
[[pump]]
name = "return"
power = "10 W"
[room]
temperature = "20 °C"
humidity = "50 %"
[[heater]]
name = "main"
power = "300 W"
tank = "display"
chain = ["relay", "dial"]
[[contact]]
name = "relay"
kind = "relay"
role = "heat"
[[contact]]
name = "dial"
kind = "thermostat"
opens_above = "29 °C"
[[probe]]
name = "probe"
tank = "display"
for = "control"
lag = "30 s"
step = "0 K"
noise = "0 K"
"#;

/// One row of what went on.
#[derive(Debug, Clone)]
struct Row {
    at_ms: Millis,
    display_c: f64,
    sump_c: f64,
    sump_m: f64,
    room_c: f64,
    reading_c: Option<f64>,
    heater_w: f64,
    heater_body_c: f64,
    fan_w: f64,
    chiller_w: f64,
    relay_closed: bool,
    cooler_closed: bool,
}

#[derive(Debug, Default)]
struct Course(Vec<Row>);

impl TraceSink for Course {
    fn row(&mut self, row: &TraceRow<'_>) {
        self.0.push(Row {
            at_ms: row.at_ms,
            display_c: row.water_c[0],
            sump_c: row.water_c.get(1).copied().unwrap_or(f64::NAN),
            sump_m: row.level_m.get(1).copied().unwrap_or(f64::NAN),
            room_c: row.room_c,
            reading_c: row.readings_c[0],
            heater_w: row.heater_w.first().copied().unwrap_or(0.0),
            heater_body_c: row.heater_c.first().copied().unwrap_or(f64::NAN),
            fan_w: row.fan_w.iter().sum(),
            chiller_w: row.chiller_w.iter().sum(),
            relay_closed: row.contacts[0].is_closed(),
            // The third contact, where there is one, is that of a fan or chiller.
            cooler_closed: row.contacts.get(2).is_some_and(|contact| contact.is_closed()),
        });
    }

    fn mark(&mut self, _: &tepid_sim::trace::Mark<'_>) {}
}

impl Course {
    /// The row that holds at an hour.
    fn at_h(&self, hour: f64) -> &Row {
        let at_ms = (hour * HOUR as f64) as Millis;
        let after = self.0.partition_point(|row| row.at_ms <= at_ms);
        &self.0[after - 1]
    }

    /// Rows from one hour to another.
    fn between_h(&self, from: f64, to: f64) -> impl Iterator<Item = &Row> {
        let ms = move |hour: f64| (hour * HOUR as f64) as Millis;
        self.0
            .iter()
            .filter(move |row| (ms(from)..ms(to)).contains(&row.at_ms))
    }

    /// Mean of something over the time from one hour to another.
    #[track_caller]
    fn mean_h(&self, from: f64, to: f64, of: impl Fn(&Row) -> f64) -> f64 {
        let rows: Vec<&Row> = self.between_h(from, to).collect();
        let stretches = rows
            .windows(2)
            .map(|two| ((two[1].at_ms - two[0].at_ms) as f64, of(two[0])));
        let (lengths, sums) = stretches.fold((0.0, 0.0), |(lengths, sums), (length, value)| {
            (lengths + length, sums + length * value)
        });
        assert!(lengths > 0.0, "no rows from {from} h to {to} h");
        sums / lengths
    }

    /// How often something changed from one hour to another.
    fn changes_h(&self, from: f64, to: f64, of: impl Fn(&Row) -> bool) -> usize {
        let states: Vec<bool> = self.between_h(from, to).map(of).collect();
        states.windows(2).filter(|two| two[0] != two[1]).count()
    }
}

/// The tank with more lines in its file, run with a strategy.
#[track_caller]
fn course_of(text: &str, strategy_name: &str) -> (Scores, Course) {
    let scenario = scenario_of(text);
    let recipe = strategy(strategy_name);
    let mut course = Course::default();
    let request = RunRequest::new(&scenario, recipe.as_ref(), 7);
    let scores = run(&request, Some(&mut course)).expect("runs");
    (scores, course)
}

/// The tank with one fault from 24 h on, under on-off.
#[track_caller]
fn broken(fault: &str) -> (Scores, Course) {
    course_of(&format!("{TANK}[[fault]]\n{fault}\n"), "on-off")
}
