//! Alerts and people: what is seen, whom it reaches, and what is done about it.

mod acts;
mod people;
mod rules;
mod way;
mod worth;

use crate::support::{run_with, scenario_of, strategy};
use tepid_sim::ids::ContactId;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Scenario, When};
use tepid_sim::scores::Scores;
use tepid_sim::time::{DAY, Millis};
use tepid_sim::trace::{Mark, MarkKind, TraceRow, TraceSink};

/// 200 L under a mesh with one strong heater behind a relay and two probes; `top` stands above the tables, `more` below them.
fn tank_of(top: &str, more: &str) -> Scenario {
    scenario_of(&format!(
        r#"
title = "One heater"
{top}
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
inside = ["100 cm", "50 cm", "50 cm"]
water_height = "40 cm"
pane = {{ material = "glass", thickness = "10 mm" }}
cover = "lid"
livestock = true
[room]
temperature = "23 °C"
humidity = "55 %"
[[heater]]
name = "main"
power = "400 W"
tank = "display"
chain = ["relay"]
[[contact]]
name = "relay"
kind = "relay"
role = "heat"
[[probe]]
name = "main"
tank = "display"
for = "control"
[[probe]]
name = "check"
tank = "display"
for = "monitor"
{more}
"#
    ))
}

/// Four days of it.
fn tank(more: &str) -> Scenario {
    tank_of("duration = \"4 d\"\nwarm_up = \"12 h\"", more)
}

/// A fault from an instant to the end.
fn fault(at_ms: Millis, effect: Effect) -> Happening {
    Happening {
        name: "fault".to_owned(),
        when: When::At(at_ms),
        lasts: Lasts::ToTheEnd,
        effect,
        origin: Origin::Fault,
    }
}

/// The relay welds at an instant.
fn weld(at_ms: Millis) -> Happening {
    fault(at_ms, Effect::ContactWelded(ContactId(0)))
}

/// No electricity from midnight of day 2 on.
fn outage() -> Happening {
    fault(DAY, Effect::PowerOut)
}

fn on_off(scenario: &Scenario, faults: &[Happening]) -> Scores {
    run_with(scenario, "on-off", faults)
}

/// Collects who heard and what was done, in order.
#[derive(Default)]
struct Told(Vec<String>);

impl TraceSink for Told {
    fn row(&mut self, _: &TraceRow<'_>) {}

    fn mark(&mut self, mark: &Mark<'_>) {
        match mark.what {
            MarkKind::Heard => self.0.push(format!("heard by {}", mark.name)),
            MarkKind::Act => self.0.push(mark.name.to_owned()),
            _ => {}
        }
    }
}

/// Everybody who hears and everything that is done, in order.
fn told(scenario: &Scenario, faults: &[Happening]) -> Vec<String> {
    let recipe = strategy("on-off");
    let mut sink = Told::default();
    run(
        &RunRequest {
            faults,
            ..RunRequest::new(scenario, recipe.as_ref(), 7)
        },
        Some(&mut sink),
    )
    .expect("runs");
    sink.0
}

/// Who heard first, and when, ms.
fn heard(scores: &Scores) -> Option<(&str, Millis)> {
    scores
        .heard
        .as_ref()
        .map(|heard| (heard.by.as_str(), heard.at_ms))
}
