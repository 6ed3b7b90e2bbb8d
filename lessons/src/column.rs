//! What is read off the runs of a lesson.

use serde::{Deserialize, Serialize};
use tepid_sim::scenario::{DangerLine, Scenario};
use tepid_sim::scores::{ContactScores, Dose, Scores, TankScores};
use tepid_sim::time::{Millis, hours};

use crate::set_up::failure_ms;
use crate::words;

/// What a figure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Unit {
    /// A temperature, °C.
    Temperature,
    /// A difference of temperatures, K.
    Difference,
    /// A length of time, h.
    Hours,
    /// A length of time, years.
    Years,
    /// A count.
    Count,
    /// A share of the whole, 0..=1.
    Share,
    /// A volume, L.
    Litres,
    /// Electrical energy, kWh.
    Energy,
}

/// A figure of every run.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// What it is, in words.
    pub words: &'static str,
    /// Its unit.
    pub unit: Unit,
    /// What stands where there is none: "not reached".
    pub missing: &'static str,
    /// How it is read off a run.
    pub value: fn(&Run<'_>) -> Option<f64>,
}

/// Columns of several lessons.
impl Column {
    /// The warmest water.
    pub(crate) const WARMEST: Self = Self {
        words: "Warmest water",
        unit: Unit::Temperature,
        missing: "–",
        value: |run| run.worst().map(|tank| tank.highest_c),
    };

    /// The coldest water.
    pub(crate) const COLDEST: Self = Self {
        words: "Coldest water",
        unit: Unit::Temperature,
        missing: "–",
        value: |run| run.worst().map(|tank| tank.lowest_c),
    };

    /// From the coldest water to the warmest.
    pub(crate) const SWING: Self = Self {
        words: "Water swings by",
        unit: Unit::Difference,
        missing: "–",
        value: |run| run.worst().map(|tank| tank.highest_c - tank.lowest_c),
    };

    /// How much of a dose was used.
    pub(crate) const DOSE: Self = Self {
        words: "Dose used",
        unit: Unit::Share,
        missing: "–",
        value: |run| run.dose(),
    };

    /// When it was used up.
    pub(crate) const USED_UP: Self = Self {
        words: "Dose used up after",
        unit: Unit::Hours,
        missing: "not used up",
        value: |run| run.used_up_after_h(),
    };
}

/// A run of a lesson.
#[derive(Debug, Clone, Copy)]
pub struct Run<'a> {
    /// What was run.
    pub scenario: &'a Scenario,
    /// What came out.
    pub scores: &'a Scores,
}

impl<'a> Run<'a> {
    /// The tank with livestock, of several the one that fares worst.
    #[must_use]
    pub fn worst(&self) -> Option<&'a TankScores> {
        self.scores.tanks.get(self.scores.worst_tank)
    }

    /// A tank by name.
    #[must_use]
    pub fn tank(&self, name: &str) -> Option<&'a TankScores> {
        self.scores.tanks.iter().find(|tank| tank.tank == name)
    }

    /// Hours from the failure until an instant.
    #[must_use]
    pub fn after_h(&self, at_ms: Option<Millis>) -> Option<f64> {
        let began_ms = failure_ms(self.scenario).map_or(0, |(from_ms, _)| from_ms);
        at_ms.map(|at_ms| hours(at_ms - began_ms))
    }

    /// Hours from the failure until the dose of warmth or cold was used up.
    #[must_use]
    pub fn used_up_after_h(&self) -> Option<f64> {
        self.after_h(self.worst().and_then(TankScores::used_up_ms))
    }

    /// How much of a dose was used, of warmth or cold the larger; 1 = all of it.
    #[must_use]
    pub fn dose(&self) -> Option<f64> {
        self.worst().map(|tank| tank.hot.used.max(tank.cold.used))
    }

    /// Hours from the failure until the water first reached a danger line, warm or cold.
    #[must_use]
    pub fn reached_after_h(&self, line_c: f64) -> Option<f64> {
        let livestock = &self.scenario.livestock;
        let of = |lines: &[DangerLine], dose: &Dose| {
            let place = lines.iter().position(|line| line.temp_c == line_c)?;
            dose.reached_ms.get(place).copied().flatten()
        };
        let tank = self.worst()?;
        let at_ms = of(&livestock.danger_hot, &tank.hot).or_else(|| of(&livestock.danger_cold, &tank.cold));
        self.after_h(at_ms)
    }

    /// The contact that wears and closes most.
    #[must_use]
    pub fn busiest(&self) -> Option<&'a ContactScores> {
        let wearing = self.scores.contacts.iter().filter(|contact| contact.wears);
        // Of several alike the first.
        wearing.rev().max_by_key(|contact| contact.closings)
    }
}

/// All runs of a lesson, with the figures of its columns.
#[derive(Debug)]
pub struct Runs<'a> {
    /// One per set-up, in order.
    pub runs: Vec<Run<'a>>,
    columns: &'static [Column],
}

impl<'a> Runs<'a> {
    pub(crate) fn new(runs: Vec<Run<'a>>, columns: &'static [Column]) -> Self {
        Self { runs, columns }
    }

    /// A figure by the places of its set-up and its column; not a number where there is none.
    #[must_use]
    pub fn value(&self, set_up: usize, column: usize) -> f64 {
        let found = self.runs.get(set_up).zip(self.columns.get(column));
        found
            .and_then(|(run, column)| (column.value)(run))
            .unwrap_or(f64::NAN)
    }

    /// A figure in words: "32.9 °C".
    #[must_use]
    pub fn told(&self, set_up: usize, column: usize) -> String {
        self.columns.get(column).map_or_else(String::new, |known| {
            words::figure(known.unit, self.value(set_up, column), known.missing)
        })
    }

    /// The room of a set-up at its coldest, °C: what water ends at without any heat.
    #[must_use]
    pub fn room_c(&self, set_up: usize) -> f64 {
        self.runs
            .get(set_up)
            .map_or(f64::NAN, |run| run.scores.room.lowest_c)
    }
}
