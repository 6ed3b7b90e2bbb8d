//! Tanks joined by flows that run: their salt mixes, and the pump keeps all but the level tank full out of that one.

use super::{Around, Levels, MINUTE_S, NewWater};
use crate::ids::TankId;
use crate::scenario::{Flow, Scenario};

impl Levels {
    /// A minute of all flows that run.
    pub(super) fn join(&mut self, scenario: &Scenario, around: &Around<'_>, new_water: &mut Vec<NewWater>) {
        for (flow, runs) in scenario.flows.iter().zip(around.flows_run) {
            if *runs {
                self.mix(flow);
            }
        }
        for tank in 0..self.tanks.len() {
            let changed = self.movers.changes.iter().any(|change| change.tank.0 == tank);
            if tank == self.level_tank || changed {
                continue;
            }
            let flows = scenario.flows.iter().zip(around.flows_run);
            let moved_m3_per_s: f64 = flows
                .filter(|(flow, runs)| **runs && (flow.from.0 == tank || flow.to.0 == tank))
                .map(|(flow, _)| flow.rate_m3_per_s)
                .sum();
            self.keep_full(
                tank,
                moved_m3_per_s * self.density_kg_per_m3 * MINUTE_S,
                around,
                new_water,
            );
        }
    }

    /// Two tanks tend to one salinity.
    fn mix(&mut self, flow: &Flow) {
        let (low, high) = (flow.from.0.min(flow.to.0), flow.from.0.max(flow.to.0));
        if low == high {
            return;
        }
        let (before, after) = self.tanks.split_at_mut(high);
        let (a, b) = (&mut before[low], &mut after[0]);
        let joint_kg = a.water_kg() * b.water_kg() / (a.water_kg() + b.water_kg());
        let moved_kg = flow.rate_m3_per_s * self.density_kg_per_m3 * MINUTE_S;
        let evened_frac = -libm::expm1(-moved_kg / joint_kg);
        let by_g_per_kg = a.salinity_g_per_kg() - b.salinity_g_per_kg();
        a.pass_salt(b, evened_frac * joint_kg * by_g_per_kg / super::G_PER_KG);
    }

    /// Fills a tank up out of the level tank; what is too much runs back there.
    fn keep_full(&mut self, tank: usize, most_kg: f64, around: &Around<'_>, new_water: &mut Vec<NewWater>) {
        let missing_kg = self.tanks[tank].missing_kg();
        let (from, to) = if missing_kg < 0.0 {
            (tank, self.level_tank)
        } else {
            (self.level_tank, tank)
        };
        let wanted_kg = missing_kg.abs().min(most_kg).min(self.tanks[from].drawable_kg());
        if wanted_kg > 0.0 {
            let salinity = self.tanks[from].salinity_g_per_kg();
            let warmer_k = (around.water_c)(TankId(from)) - (around.water_c)(TankId(to));
            let moved_kg = self.tanks[from].drain(wanted_kg, 0.0);
            new_water.push(self.pour(TankId(to), moved_kg, salinity, warmer_k));
        }
    }
}
