//! Air and sources over a stretch of a leg in which both run straight in time.

use super::leg::Remainder;
use super::stride::{STRIDE_TICKS, SlopeEffect, Sources};
use super::{MAX_NODES, Network, Present};
use crate::physics::moist_air::Air;
use crate::time::Millis;
use std::cell::OnceCell;

/// One stretch.
#[derive(Debug, Clone, Default)]
pub(super) struct Stretch {
    /// Where the part not yet noted in the leg begins.
    pub(super) start_ms: Millis,
    pub(super) end_ms: Millis,
    /// The air at that part's start.
    pub(super) air: AirLine,
    /// Sources where the stride under way begins.
    pub(super) sources: Sources,
    /// What their slope does in one tick, in two and so on, once somebody asked.
    pub(super) slope_in_ticks: [OnceCell<SlopeEffect>; STRIDE_TICKS],
}

/// Air above the reference and its slope.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct AirLine {
    pub(super) above_k: f64,
    pub(super) above_k_per_s: f64,
    pub(super) above_pa: f64,
    pub(super) above_pa_per_s: f64,
}

/// The losses' remainder on its way from one instant to another.
#[derive(Debug, Clone, Copy)]
pub(super) struct RemainderLine<'a> {
    pub(super) from: &'a Remainder,
    pub(super) to: &'a Remainder,
    /// Time between the two, s.
    pub(super) length_s: f64,
    /// How much of it is over, s.
    pub(super) over_s: f64,
}

impl Network {
    /// The line between two airs `length_s` apart.
    pub(super) fn air_line(&self, now: Air, then: Air, length_s: f64) -> AirLine {
        let (above_k, above_pa) = self.above_reference(now);
        let (then_k, then_pa) = self.above_reference(then);
        AirLine {
            above_k,
            above_k_per_s: (then_k - above_k) / length_s,
            above_pa,
            above_pa_per_s: (then_pa - above_pa) / length_s,
        }
    }

    /// Sources in a mode and their slope: power, the losses' parts that do not depend on the node, air at lags.
    pub(super) fn sources(
        &self,
        present: &Present,
        power_w: &[f64],
        air: &AirLine,
        remainder: RemainderLine<'_>,
    ) -> Sources {
        let parts = &self.parts;
        let line = |from: f64, to: f64| {
            let slope = (to - from) / remainder.length_s;
            (from + slope * remainder.over_s, slope)
        };
        let mut into_w = [0.0; MAX_NODES];
        let mut into_w_per_s = [0.0; MAX_NODES];
        for (source, watts) in parts.sources.iter().zip(power_w) {
            into_w[source.node.0] += watts;
        }
        for (index, entry) in parts.losses.iter().enumerate() {
            let (value_w, slope_w_per_s) = line(remainder.from.entry_w[index], remainder.to.entry_w[index]);
            let linear = &entry.linear_sum;
            into_w[entry.node.0] += linear.heat_w(0.0, air.above_k, air.above_pa) + value_w;
            into_w_per_s[entry.node.0] += linear.per_air_w_per_k * air.above_k_per_s
                + linear.per_vapour_w_per_pa * air.above_pa_per_s
                + slope_w_per_s;
        }
        if let Some(make_up) = parts.make_up {
            let (value_w, slope_w_per_s) = line(remainder.from.make_up_w, remainder.to.make_up_w);
            into_w[make_up.node.0] += value_w;
            into_w_per_s[make_up.node.0] += slope_w_per_s;
        }
        let mut sources = Sources::default();
        for (i, capacity) in present.heat_capacity_j_per_k.iter().enumerate() {
            if let Some(capacity) = capacity {
                sources.value[i] = into_w[i] / capacity;
                sources.slope[i] = into_w_per_s[i] / capacity;
            }
        }
        let air_k = parts.reference_air.temp_c - parts.reference_c + air.above_k;
        for lag in parts.lags.iter().filter(|lag| lag.hangs_in_air(present.mode)) {
            sources.value[lag.node.0] = air_k / lag.lag_s;
            sources.slope[lag.node.0] = air.above_k_per_s / lag.lag_s;
        }
        sources
    }
}
