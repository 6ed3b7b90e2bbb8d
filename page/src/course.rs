//! The course of a run on a grid of times, and its scores so far.

use serde::Serialize;
use tepid_sim::scenario::Scenario;
use tepid_sim::scores::Scores;
use tepid_sim::time::{MINUTE, Millis};
use tepid_sim::trace::{Mark, MarkKind, TraceRow, TraceSink};

/// About how many rows of a course are kept. A choice: a week minute by minute.
const ROWS: i64 = 10_080;
/// About how many times scores are told. A choice: a week half-hour by half-hour.
const TALLIES: i64 = 336;
/// Scores are told on whole multiples of this, ms: a run stops there in any case.
const TALLY_GRID_MS: Millis = 10 * MINUTE;

/// The course: one row of [`Course::columns`] at every multiple of [`Course::every_ms`], from time zero on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Course {
    /// From one row to the next, ms.
    pub every_ms: Millis,
    /// What stands in a row: "water display", "heater left W".
    pub columns: Vec<String>,
    /// Rows.
    pub rows: usize,
    /// All values, row by row; not a number: no reading.
    #[serde(skip)]
    pub values: Vec<f64>,
}

/// Scores so far: one row of [`Tallies::columns`] at every multiple of [`Tallies::every_ms`] after time zero.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tallies {
    /// From one row to the next, ms.
    pub every_ms: Millis,
    /// What stands in a row: "inside band", "heat evaporation display J".
    pub columns: Vec<String>,
    /// Rows.
    pub rows: usize,
    /// All values, row by row.
    #[serde(skip)]
    pub values: Vec<f64>,
}

/// A happening, act or alert that began or ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Marked {
    /// ms.
    pub at_ms: Millis,
    /// "begins", "ends", "alert", "heard", "act".
    pub what: &'static str,
    /// Its name.
    pub name: String,
}

/// Takes what a run shows.
#[derive(Debug)]
pub(crate) struct Recorder {
    pub(crate) course: Course,
    pub(crate) tallies: Tallies,
    pub(crate) marks: Vec<Marked>,
    next_ms: Millis,
}

impl Recorder {
    pub(crate) fn new(scenario: &Scenario) -> Self {
        let step = |of: i64, grid_ms: Millis| {
            let wanted_ms = scenario.duration_ms / of;
            ((wanted_ms + grid_ms - 1) / grid_ms).max(1) * grid_ms
        };
        let tanks = || scenario.tanks.iter().map(|tank| tank.name.as_str());
        let heaters = || scenario.heaters.iter().map(|heater| heater.name.as_str());
        let mut columns = vec!["room".to_owned(), "humidity".to_owned()];
        columns.extend(tanks().map(|name| format!("water {name}")));
        columns.extend(tanks().map(|name| format!("level {name}")));
        columns.extend(heaters().map(|name| format!("body {name}")));
        columns.extend(heaters().map(|name| format!("heater {name}")));
        columns.extend(
            scenario
                .probes
                .iter()
                .map(|probe| format!("probe {}", probe.name)),
        );
        columns.extend(scenario.pumps.iter().map(|pump| format!("pump {}", pump.name)));
        columns.extend(
            scenario
                .lights
                .iter()
                .map(|light| format!("light {}", light.name)),
        );
        columns.extend(scenario.fans.iter().map(|fan| format!("fan {}", fan.name)));
        columns.extend(
            scenario
                .chillers
                .iter()
                .map(|chiller| format!("chiller {}", chiller.name)),
        );
        columns.extend(
            scenario
                .contacts
                .iter()
                .map(|contact| format!("contact {}", contact.name)),
        );
        Self {
            course: Course {
                every_ms: step(ROWS, MINUTE),
                columns,
                rows: 0,
                values: Vec::new(),
            },
            tallies: Tallies {
                every_ms: step(TALLIES, TALLY_GRID_MS),
                columns: Vec::new(),
                rows: 0,
                values: Vec::new(),
            },
            marks: Vec::new(),
            next_ms: 0,
        }
    }
}

impl TraceSink for Recorder {
    fn row(&mut self, row: &TraceRow<'_>) {
        // Where no instant of the run falls on the grid, the first after it stands in.
        while row.at_ms >= self.next_ms {
            self.next_ms += self.course.every_ms;
            self.course.rows += 1;
            let values = &mut self.course.values;
            values.extend([row.room_c, row.humidity_frac]);
            values.extend_from_slice(row.water_c);
            values.extend_from_slice(row.level_m);
            values.extend_from_slice(row.heater_c);
            values.extend_from_slice(row.heater_w);
            values.extend(row.readings_c.iter().map(|reading| reading.unwrap_or(f64::NAN)));
            values.extend_from_slice(row.pump_w);
            values.extend_from_slice(row.light_w);
            values.extend_from_slice(row.fan_w);
            values.extend_from_slice(row.chiller_w);
            values.extend(
                row.contacts
                    .iter()
                    .map(|state| f64::from(u8::from(state.is_closed()))),
            );
        }
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        if mark.at_ms < 0 {
            return;
        }
        self.marks.push(Marked {
            at_ms: mark.at_ms,
            what: match mark.what {
                MarkKind::Begins => "begins",
                MarkKind::Ends => "ends",
                MarkKind::Alert => "alert",
                MarkKind::Heard => "heard",
                MarkKind::Act => "act",
            },
            name: mark.name.to_owned(),
        });
    }

    fn scores_every_ms(&self) -> Option<Millis> {
        Some(self.tallies.every_ms)
    }

    fn scores(&mut self, _at_ms: Millis, scores: &Scores) {
        let told = told(scores);
        if self.tallies.rows == 0 {
            self.tallies.columns = told.iter().map(|(name, _)| name.clone()).collect();
        }
        // A path of heat that comes about later has no column: what carries water in and out.
        let values = told
            .into_iter()
            .take(self.tallies.columns.len())
            .map(|(_, value)| value);
        self.tallies.values.extend(values);
        self.tallies.rows += 1;
    }
}

/// The scores to tell, by name.
fn told(scores: &Scores) -> Vec<(String, f64)> {
    let scored_h = tepid_sim::time::hours(scores.scored_ms);
    let largest =
        |of: &dyn Fn(&tepid_sim::scores::TankScores) -> f64| scores.tanks.iter().map(of).fold(0.0, f64::max);
    let outside_h = largest(&|tank| tank.above_band_h + tank.below_band_h);
    let closings = |wears: bool| {
        let counted = scores.contacts.iter().filter(|contact| contact.wears == wears);
        counted.map(|contact| contact.closings as f64).sum::<f64>()
    };
    let mut told = vec![
        ("inside band".to_owned(), 1.0 - outside_h / scored_h),
        ("overshoot".to_owned(), largest(&|tank| tank.overshoot_k)),
        ("undershoot".to_owned(), largest(&|tank| tank.undershoot_k)),
        ("hot dose".to_owned(), largest(&|tank| tank.hot.used)),
        ("cold dose".to_owned(), largest(&|tank| tank.cold.used)),
        ("energy kWh".to_owned(), scores.energy_kwh),
        ("evaporated kg".to_owned(), scores.evaporated_kg),
        ("closings".to_owned(), closings(true) + closings(false)),
        ("alerts".to_owned(), f64::from(scores.alerts)),
    ];
    let contacts = scores.contacts.iter();
    told.extend(contacts.map(|contact| (format!("closings {}", contact.contact), contact.closings as f64)));
    let paths = scores.heat_balance.paths.iter();
    told.extend(paths.map(|path| (format!("heat {}", path.name), path.heat_j)));
    told
}
