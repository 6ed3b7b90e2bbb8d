//! The remainder of the losses over one refresh interval, as straight lines in time.
//!
//! The remainder (losses less their linear part) moves slowly: a refresh evaluates it where the interval starts and where a
//! prediction with frozen sources says it ends, and draws a line between: the predictor and corrector of a second-order exponential
//! Runge–Kutta step (Cox & Matthews, Journal of Computational Physics 176 (2002) 430, ETD2RK), whose interval is the refresh and not the tick.

use super::stretch::AirLine;
use super::{MakeUp, Network, Present, Setting, Vector};
use crate::physics::moist_air::Air;
use crate::scenario::TopOffTemperature;
use crate::time::{Millis, seconds};

/// One refresh interval.
#[derive(Debug, Clone, Default)]
pub(super) struct Leg {
    pub(super) start_ms: Millis,
    pub(super) end_ms: Millis,
    /// Something changed: begin a new one.
    pub(super) stale: bool,
    pub(super) at_start: Remainder,
    pub(super) at_end: Remainder,
    pub(super) passed: Passed,
}

/// What passed in a leg and is not yet in the ledger: enough to book every path at once, and linear in time, so that stretches add up.
#[derive(Debug, Clone, Default)]
pub(super) struct Passed {
    pub(super) elapsed_s: f64,
    /// ∫ position in the leg (0..=1) dt, s.
    pub(super) position_s: f64,
    /// ∫ air above the reference dt, K s and Pa s.
    pub(super) air_k_s: f64,
    pub(super) vapour_pa_s: f64,
    /// ∫ state dt, K s.
    pub(super) node_k_s: Vector,
}

impl Leg {
    pub(super) fn length_s(&self) -> f64 {
        seconds(self.end_ms - self.start_ms)
    }

    /// What one losses entry evaporates at an instant of the leg, kg/s; 0 before the first leg.
    pub(super) fn evaporation_kg_per_s(&self, losses: super::LossesId, at_ms: Millis) -> f64 {
        let at = |remainder: &Remainder| remainder.evaporation_kg_per_s.get(losses.0).copied();
        let (Some(start), Some(end)) = (at(&self.at_start), at(&self.at_end)) else {
            return 0.0;
        };
        start + (end - start) * seconds(at_ms - self.start_ms) / self.length_s()
    }

    /// Heat into the node of one losses entry at an instant of the leg, W, by the paths that count.
    pub(super) fn heat_w(
        &self,
        network: &Network,
        losses: super::LossesId,
        state: &Vector,
        air: Air,
        at_ms: Millis,
        counts: impl Fn(&usize) -> bool,
    ) -> f64 {
        let (entry, first) = (&network.parts.losses[losses.0], network.first_path(losses));
        let (theta_k, (above_air_k, above_vapour_pa)) = (state[entry.node.0], network.above_reference(air));
        let share = seconds(at_ms - self.start_ms) / self.length_s();
        let paths = (0..entry.linear.len()).filter(counts).map(|path| {
            let (from_w, to_w) = (
                self.at_start.path_w[first + path],
                self.at_end.path_w[first + path],
            );
            entry.linear[path].heat_w(theta_k, above_air_k, above_vapour_pa)
                + from_w
                + (to_w - from_w) * share
        });
        paths.sum()
    }

    /// Takes note of a stretch of the leg that began at `from_ms` with this air.
    pub(super) fn pass(&mut self, from_ms: Millis, elapsed_s: f64, air: &AirLine) {
        let half_s2 = 0.5 * elapsed_s * elapsed_s;
        let passed = &mut self.passed;
        passed.elapsed_s += elapsed_s;
        passed.position_s +=
            (seconds(from_ms - self.start_ms) * elapsed_s + half_s2) / seconds(self.end_ms - self.start_ms);
        passed.air_k_s += air.above_k * elapsed_s + air.above_k_per_s * half_s2;
        passed.vapour_pa_s += air.above_pa * elapsed_s + air.above_pa_per_s * half_s2;
    }
}

/// What the losses do at one instant.
#[derive(Debug, Clone, Default)]
pub(super) struct Remainder {
    /// Per path of all losses in order, W beyond the linear part.
    pub(super) path_w: Vec<f64>,
    /// Per losses entry, the sum of its paths, W.
    pub(super) entry_w: Vec<f64>,
    /// Per losses entry, evaporated, kg/s.
    pub(super) evaporation_kg_per_s: Vec<f64>,
    /// Heat the make-up water brings, W.
    pub(super) make_up_w: f64,
}

impl Network {
    /// Number of loss paths over all nodes.
    pub(super) fn path_count(&self) -> usize {
        self.parts.losses.iter().map(|entry| entry.linear.len()).sum()
    }

    /// Position of the first path of one losses entry among all.
    fn first_path(&self, losses: super::LossesId) -> usize {
        self.parts.losses[..losses.0]
            .iter()
            .map(|entry| entry.linear.len())
            .sum()
    }

    /// What the losses of one node are at a temperature, °C, and air: names of the paths, losses, W, evaporation, kg/s.
    pub(crate) fn losses_at(
        &self,
        losses: super::LossesId,
        node_c: f64,
        air: Air,
        setting: Setting,
    ) -> (Vec<String>, Vec<f64>, f64) {
        let entry = &self.parts.losses[losses.0];
        let mut heat_w = vec![0.0; entry.linear.len()];
        let evaporation = entry.losses.evaluate(node_c, air, setting, &mut heat_w);
        (
            entry.losses.paths(),
            heat_w.into_iter().map(|heat_w| -heat_w).collect(),
            evaporation,
        )
    }

    /// Evaluates all losses at a state into `remainder`, which keeps its memory.
    pub(super) fn evaluate(&self, state: &Vector, air: Air, present: &Present, remainder: &mut Remainder) {
        remainder.path_w.resize(self.path_count(), 0.0);
        remainder.entry_w.resize(self.parts.losses.len(), 0.0);
        remainder
            .evaporation_kg_per_s
            .resize(self.parts.losses.len(), 0.0);
        let (above_air_k, above_vapour_pa) = self.above_reference(air);
        let mut first = 0;
        let mut evaporated = 0.0;
        for (index, entry) in self.parts.losses.iter().enumerate() {
            let theta_k = state[entry.node.0];
            let heat_w = &mut remainder.path_w[first..first + entry.linear.len()];
            let evaporation =
                entry
                    .losses
                    .evaluate(self.reference_c() + theta_k, air, present.losses[index], heat_w);
            for (heat, linear) in heat_w.iter_mut().zip(&entry.linear) {
                *heat -= linear.heat_w(theta_k, above_air_k, above_vapour_pa);
            }
            remainder.entry_w[index] = heat_w.iter().sum();
            remainder.evaporation_kg_per_s[index] = evaporation;
            evaporated += evaporation;
            first += entry.linear.len();
        }
        remainder.make_up_w = self
            .parts
            .make_up
            .filter(|_| present.topped_off)
            .map_or(0.0, |make_up| {
                self.make_up_heat_w(&make_up, evaporated.max(0.0), state, air)
            });
    }

    fn make_up_heat_w(&self, make_up: &MakeUp, evaporated_kg_per_s: f64, state: &Vector, air: Air) -> f64 {
        let node_c = self.reference_c() + state[make_up.node.0];
        let warmer_k = match make_up.temperature {
            TopOffTemperature::Room => air.temp_c - node_c,
            TopOffTemperature::Tank => 0.0,
            TopOffTemperature::Fixed { temp_c } => temp_c - node_c,
        };
        evaporated_kg_per_s * make_up.specific_heat_j_per_kg_k * warmer_k
    }

    /// Air above the reference: K, Pa.
    pub(super) fn above_reference(&self, air: Air) -> (f64, f64) {
        (
            air.temp_c - self.parts.reference_air.temp_c,
            air.vapour_pressure_pa - self.parts.reference_air.vapour_pressure_pa,
        )
    }
}

impl super::LinearPath {
    /// Several paths of one node as one.
    pub(super) fn sum(paths: &[Self]) -> Self {
        let total = |of: fn(&Self) -> f64| paths.iter().map(of).sum();
        Self {
            at_reference_w: total(|path| path.at_reference_w),
            per_node_w_per_k: total(|path| path.per_node_w_per_k),
            per_air_w_per_k: total(|path| path.per_air_w_per_k),
            per_vapour_w_per_pa: total(|path| path.per_vapour_w_per_pa),
        }
    }

    /// The linear part of the heat into the node, W.
    #[inline]
    pub(super) fn heat_w(&self, theta_k: f64, above_air_k: f64, above_vapour_pa: f64) -> f64 {
        self.at_reference_w
            + self.per_node_w_per_k * theta_k
            + self.per_air_w_per_k * above_air_k
            + self.per_vapour_w_per_pa * above_vapour_pa
    }
}
