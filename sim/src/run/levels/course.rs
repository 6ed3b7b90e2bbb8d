//! What levels and salinity were over the scored time.

use super::tank_water::TankWater;
use crate::run::stopwatch::Stopwatch;
use crate::scenario::Scenario;
use crate::scores::{LevelScores, SalinityScores};
use crate::time::{Millis, hours};

/// Extremes so far.
#[derive(Debug, Clone)]
pub(super) struct Course {
    salinity_g_per_kg: (f64, f64),
    /// In which tanks these were, by position.
    salinity_of: (usize, usize),
    outside_range_ms: Millis,
    outside_from_ms: Option<Millis>,
    /// Lowest and highest level by tank, m.
    heights_m: Vec<(f64, f64)>,
    noted_ms: Millis,
}

impl Course {
    pub(super) fn new(scenario: &Scenario) -> Self {
        Self {
            salinity_g_per_kg: NOTHING,
            salinity_of: (0, 0),
            outside_range_ms: 0,
            outside_from_ms: None,
            heights_m: vec![NOTHING; scenario.tanks.len()],
            noted_ms: 0,
        }
    }

    /// Takes note of what has held since the last note.
    pub(super) fn note(&mut self, scenario: &Scenario, now_ms: Millis, tanks: &[TankWater]) {
        if now_ms < 0 {
            return;
        }
        // What moved before time zero is no part of the scores.
        if now_ms == 0 {
            self.salinity_g_per_kg = NOTHING;
            self.heights_m.fill(NOTHING);
        }
        let stocked = scenario.tanks.iter().any(|tank| tank.livestock);
        let wanted = scenario.water.salinity_range_g_per_kg;
        let mut outside = false;
        let spans = scenario.tanks.iter().zip(tanks).zip(&mut self.heights_m);
        for (at, ((tank, water), span)) in spans.enumerate() {
            widen(span, water.height_m());
            if tank.livestock || !stocked {
                let salinity = water.salinity_g_per_kg();
                if salinity < self.salinity_g_per_kg.0 {
                    self.salinity_of.0 = at;
                }
                if salinity > self.salinity_g_per_kg.1 {
                    self.salinity_of.1 = at;
                }
                widen(&mut self.salinity_g_per_kg, salinity);
                outside |= wanted.is_some_and(|(low, high)| !(low..=high).contains(&salinity));
            }
        }
        if outside {
            self.outside_range_ms += now_ms - self.noted_ms;
            self.outside_from_ms.get_or_insert(now_ms);
        }
        self.noted_ms = now_ms;
    }

    pub(super) fn salinity_scores(&self, scenario: &Scenario) -> SalinityScores {
        SalinityScores {
            lowest_g_per_kg: self.salinity_g_per_kg.0,
            lowest_tank: scenario.tanks[self.salinity_of.0].name.clone(),
            highest_g_per_kg: self.salinity_g_per_kg.1,
            highest_tank: scenario.tanks[self.salinity_of.1].name.clone(),
            outside_from_ms: self.outside_from_ms,
            outside_range_h: hours(self.outside_range_ms),
            wanted_g_per_kg: scenario.water.salinity_range_g_per_kg,
        }
    }

    pub(super) fn level_scores(
        &self,
        scenario: &Scenario,
        still: &[Stopwatch],
        run_over_m3: impl Fn(usize) -> f64,
    ) -> Vec<LevelScores> {
        let tanks = scenario.tanks.iter().zip(&self.heights_m).zip(still);
        tanks
            .enumerate()
            .map(|(at, ((tank, (lowest_m, highest_m)), still))| LevelScores {
                tank: tank.name.clone(),
                full_m: tank.water_height_m,
                lowest_m: *lowest_m,
                highest_m: *highest_m,
                run_over_m3: run_over_m3(at),
                longest_still_ms: still.longest_ms,
            })
            .collect()
    }
}

/// No value yet.
const NOTHING: (f64, f64) = (f64::INFINITY, f64::NEG_INFINITY);

fn widen(span: &mut (f64, f64), value: f64) {
    *span = (span.0.min(value), span.1.max(value));
}
