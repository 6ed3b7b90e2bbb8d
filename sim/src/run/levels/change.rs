//! Water changes: by hand, out and then in, and the automatic one, drop by drop.

use super::{Around, Levels, MINUTE_S, NewWater, source_c};
use crate::ids::TankId;
use crate::scenario::AutomaticChange;
use crate::time::{MINUTE, Millis, seconds};

/// A water change under way: out in the first half of its time, in during the second.
#[derive(Debug, Clone, Copy)]
pub(super) struct WaterChange {
    pub(super) tank: TankId,
    pub(super) start_ms: Millis,
    pub(super) length_ms: Millis,
    pub(super) share_frac: f64,
    pub(super) temp_c: f64,
    pub(super) salinity_g_per_kg: f64,
    /// What came out so far, kg: as much goes in again.
    pub(super) taken_kg: f64,
}

impl WaterChange {
    /// Both are the same change, however far.
    pub(super) fn is(&self, other: &Self) -> bool {
        let key = |change: &Self| (change.tank, change.start_ms, change.length_ms);
        key(self) == key(other)
            && self.share_frac == other.share_frac
            && self.temp_c == other.temp_c
            && self.salinity_g_per_kg == other.salinity_g_per_kg
    }

    /// Share of a half that passes in the minute from `now_ms` on. What a start between whole minutes left undone is done in its first
    /// minute.
    fn passing_frac(&self, now_ms: Millis, half: Half) -> f64 {
        let half_s = 0.5 * seconds(self.length_ms);
        let begun_s = match half {
            Half::Out => 0.0,
            Half::In => half_s,
        };
        let since_ms = now_ms - self.start_ms;
        let from_s = if since_ms < MINUTE { 0.0 } else { seconds(since_ms) };
        let to_s = seconds(since_ms + MINUTE);
        let passed_frac = |at_s: f64| ((at_s - begun_s) / half_s).clamp(0.0, 1.0);
        passed_frac(to_s) - passed_frac(from_s)
    }
}

#[derive(Debug, Clone, Copy)]
enum Half {
    Out,
    In,
}

impl Levels {
    /// Lets out what the changes under way let out in a minute.
    pub(super) fn let_out(&mut self, now_ms: Millis) {
        for change in &mut self.movers.changes {
            let tank = &mut self.tanks[change.tank.0];
            let wanted_kg = change.share_frac * tank.full_kg() * change.passing_frac(now_ms, Half::Out);
            change.taken_kg += tank.drain(wanted_kg, 0.0);
        }
    }

    /// Puts in what the changes under way put in in a minute.
    pub(super) fn let_in(&mut self, now_ms: Millis, around: &Around<'_>, new_water: &mut Vec<NewWater>) {
        for at in 0..self.movers.changes.len() {
            let change = self.movers.changes[at];
            let new_kg = change.taken_kg * change.passing_frac(now_ms, Half::In);
            if new_kg > 0.0 {
                let warmer_k = change.temp_c - (around.water_c)(change.tank);
                new_water.push(self.pour(change.tank, new_kg, change.salinity_g_per_kg, warmer_k));
            }
        }
    }

    /// A minute of the automatic change: what comes in mixes, and as much of the mixture goes out.
    pub(super) fn exchange(&mut self, automatic: &AutomaticChange, around: &Around<'_>) -> NewWater {
        let water_c = (around.water_c)(automatic.tank);
        let warmer_k = source_c(automatic.temperature, around.room_c, water_c) - water_c;
        let tank = &mut self.tanks[automatic.tank.0];
        let new_kg = automatic.rate_m3_per_s * self.density_kg_per_m3 * MINUTE_S;
        let mixed_frac = tank.water_kg() / (tank.water_kg() + new_kg);
        tank.exchange(new_kg, automatic.salinity_g_per_kg);
        NewWater {
            tank: automatic.tank,
            heat_w: mixed_frac * new_kg / MINUTE_S * self.specific_heat_j_per_kg_k * warmer_k,
        }
    }
}
