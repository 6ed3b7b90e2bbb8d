//! A case as a user writes it: a scenario file of `cases/`, changed by path, run and budgeted by the program.

use std::path::Path;

use tepid_output::records::Budget;
use tepid_scenarios::{Loaded, Setting};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Happening, Scenario};
use tepid_sim::scores::Scores;
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{Millis, hours};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

/// A change by path and value, as after `--set`.
pub type Change<'a> = (&'a str, &'a str);

/// A scenario of `cases/` with changes.
#[track_caller]
pub fn scenario(file: &str, changes: &[Change<'_>]) -> Scenario {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/validation/cases")
        .join(file);
    let settings: Vec<Setting> = changes
        .iter()
        .map(|(path, value)| Setting::new(path, value))
        .collect();
    tepid_scenarios::scenario(&path.to_string_lossy(), &settings)
        .unwrap_or_else(|report| panic!("{}", report.plain()))
}

/// A built-in strategy with values for its parameters.
#[track_caller]
pub fn strategy(name: &str, values: &[Change<'_>]) -> Box<dyn StrategyRecipe> {
    let mut text = format!("strategy = \"{name}\"\n");
    for (key, value) in values {
        text.push_str(&format!("{key} = \"{value}\"\n"));
    }
    match tepid_scenarios::load_str("strategy.toml", &text) {
        Ok(Loaded::Strategy(file)) => file.recipe,
        Ok(_) => panic!("not a strategy:\n{text}"),
        Err(report) => panic!("{}", report.plain()),
    }
}

/// Its budget at the target, in its own mean room.
#[track_caller]
pub fn budget(file: &str, changes: &[Change<'_>]) -> Budget {
    tepid::budget::budget(&scenario(file, changes)).expect("a budget")
}

/// Net W/K of a budget: what is lost beyond what the equipment gives, for each kelvin over the room.
pub fn net_w_per_k(budget: &Budget) -> f64 {
    let gains_w: f64 = budget.gains.iter().map(|gain| gain.power_w).sum();
    (budget.total_loss_w - gains_w) / (budget.target_c - budget.room_c)
}

/// A run's scores and its course.
pub struct Ran {
    pub scores: Scores,
    pub course: Course,
}

/// Runs a case under a strategy, with faults beside its own.
#[track_caller]
pub fn ran(scenario: &Scenario, recipe: &dyn StrategyRecipe, faults: &[Happening]) -> Ran {
    let mut course = Course::default();
    let request = RunRequest {
        faults,
        ..RunRequest::new(scenario, recipe, 7)
    };
    let scores = run(&request, Some(&mut course)).expect("runs");
    Ran { scores, course }
}

/// Runs it under on-off with its defaults.
#[track_caller]
pub fn ran_on_off(scenario: &Scenario, faults: &[Happening]) -> Ran {
    ran(scenario, strategy("on-off", &[]).as_ref(), faults)
}

/// Course of the first tank from time zero on.
#[derive(Default)]
pub struct Course {
    points: Vec<Point>,
}

#[derive(Clone, Copy)]
struct Point {
    at_ms: Millis,
    water_c: f64,
    heating: bool,
}

impl TraceSink for Course {
    fn row(&mut self, row: &TraceRow<'_>) {
        if row.at_ms >= 0 {
            self.points.push(Point {
                at_ms: row.at_ms,
                water_c: row.water_c[0],
                heating: row.heater_w.iter().any(|power_w| *power_w > 0.0),
            });
        }
    }

    fn mark(&mut self, _mark: &Mark<'_>) {}
}

impl Course {
    /// Hours from `from_h` until the water is first at or below a temperature.
    #[track_caller]
    pub fn hours_down_to(&self, water_c: f64, from_h: f64) -> f64 {
        self.hours_until(from_h, |point| point.water_c <= water_c)
            .unwrap_or_else(|| panic!("never down to {water_c} °C"))
    }

    /// Hours from `from_h` until the water is first at or above a temperature; `None`: never.
    pub fn hours_up_to(&self, water_c: f64, from_h: f64) -> Option<f64> {
        self.hours_until(from_h, |point| point.water_c >= water_c)
    }

    fn hours_until(&self, from_h: f64, reached: impl Fn(&Point) -> bool) -> Option<f64> {
        self.points
            .iter()
            .filter(|point| hours(point.at_ms) >= from_h)
            .find(|point| reached(point))
            .map(|point| hours(point.at_ms) - from_h)
    }

    /// Water at a time, °C.
    #[track_caller]
    pub fn water_c_at(&self, at_h: f64) -> f64 {
        self.points
            .iter()
            .find(|point| hours(point.at_ms) >= at_h)
            .expect("within the run")
            .water_c
    }

    /// Share of the time in which a heater drew power, for each window of a length that starts every ten minutes.
    pub fn shares_on(&self, window_h: f64) -> Vec<f64> {
        // Heating time so far, at each point.
        let mut so_far_h = Vec::with_capacity(self.points.len());
        let mut on_h = 0.0;
        for (index, point) in self.points.iter().enumerate() {
            if let Some(before) = index.checked_sub(1).map(|index| self.points[index])
                && before.heating
            {
                on_h += hours(point.at_ms - before.at_ms);
            }
            so_far_h.push(on_h);
        }
        let at = |at_h: f64| {
            let after = self
                .points
                .partition_point(|point| hours(point.at_ms) <= at_h)
                .saturating_sub(1);
            let point = self.points[after];
            so_far_h[after]
                + if point.heating {
                    at_h - hours(point.at_ms)
                } else {
                    0.0
                }
        };
        let end_h = self.points.last().map_or(0.0, |point| hours(point.at_ms));
        let starts = (0..).map(|step| f64::from(step) / 6.0);
        starts
            .take_while(|start_h| start_h + window_h <= end_h)
            .map(|start_h| (at(start_h + window_h) - at(start_h)) / window_h)
            .collect()
    }
}
