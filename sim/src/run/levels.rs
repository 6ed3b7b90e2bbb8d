//! How much water and salt there is, minute by minute, when something moves it.
//!
//! # Equation
//! ```text
//! dm/dt = top-off − evaporation − leak ± change          kg/s, per tank
//! d(salt)/dt = − leak S − change out S + change in S_new  kg/s, of the whole system (water of joined tanks mixes within minutes)
//! S = salt / (salt + water)
//! Q_new water = ṁ c_p (T_new − T)                         W into the node
//! ```
//! All evaporation of a system comes out of one tank, the one that would be topped off: where an overflow holds the other levels, only the last
//! one falls. A leak in a tank that is fed by a running pump lowers that tank too.
//!
//! # Units
//! kg, kg/s, g/kg, m, W.
//!
//! # Source
//! Mass balance.
//!
//! # Valid for
//! Levels that move slowly against a minute.
//!
//! # Left out
//! What siphons back from pipes when a pump stops; salt creep; a change of density with salinity (0.7 % per 10 g/kg).
//!
//! # Checked by
//! `tests/behaviour/levels.rs`.

use crate::ids::TankId;
use crate::physics::water::{density_kg_per_m3, specific_heat_j_per_kg_k};
use crate::scenario::{Effect, Happening, Lasts, Scenario, TopOffTemperature};
use crate::time::{MINUTE, Millis, seconds};

/// Grams in a kilogram, g/kg. Exact.
const G_PER_KG: f64 = 1000.0;

/// Less water than this is an empty tank, m. An assumption, no source: a film that no pump draws. Valid for pumps
/// that stand on the bottom.
const EMPTY_M: f64 = 0.005;

/// Water and salt of a run.
#[derive(Debug)]
pub(super) struct Levels {
    tanks: Vec<TankWater>,
    /// Where evaporation and top-off act.
    level_tank: usize,
    salt_kg: f64,
    density_kg_per_m3: f64,
    specific_heat_j_per_kg_k: f64,
    /// Something moves water: a happening, or nobody tops off.
    pub(super) moving: bool,
    movers: Movers,
    salinity_g_per_kg: (f64, f64),
    outside_range_ms: Millis,
}

#[derive(Debug)]
struct TankWater {
    water_kg: f64,
    /// Water at the start, kg: what a share of a water change is a share of.
    full_kg: f64,
    /// Water that fits, kg.
    brim_kg: f64,
    footprint_m2: f64,
    rock_m3: f64,
    /// Fed by a flow from the level tank, so that its own level stays.
    fed: bool,
}

/// What moves water now.
#[derive(Debug, Default)]
struct Movers {
    no_top_off: bool,
    stuck_on_kg_per_s: f64,
    leaks: Vec<(TankId, f64, f64)>,
    changes: Vec<Change>,
}

/// A water change under way.
#[derive(Debug, Clone, Copy)]
struct Change {
    tank: TankId,
    start_ms: Millis,
    length_ms: Millis,
    share_frac: f64,
    temp_c: f64,
    salinity_g_per_kg: f64,
}

/// Heat that new water brings to a tank, W.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct NewWater {
    pub(super) tank: TankId,
    pub(super) heat_w: f64,
}

impl Levels {
    pub(super) fn new(scenario: &Scenario) -> Self {
        let salinity = scenario.water.salinity_g_per_kg;
        let density = density_kg_per_m3(salinity, scenario.water.target_c);
        let level_tank = scenario.top_off.map_or_else(
            || {
                let fed = |tank: usize| scenario.flows.iter().any(|flow| flow.to == TankId(tank));
                (0..scenario.tanks.len())
                    .find(|tank| !scenario.tanks[*tank].livestock && fed(*tank))
                    .unwrap_or(0)
            },
            |top_off| top_off.tank.0,
        );
        let tanks: Vec<TankWater> = scenario
            .tanks
            .iter()
            .enumerate()
            .map(|(index, tank)| TankWater {
                water_kg: density * tank.water_volume_m3(),
                full_kg: density * tank.water_volume_m3(),
                brim_kg: density * (tank.surface_m2() * tank.height_m - tank.rock_m3()),
                footprint_m2: tank.surface_m2(),
                rock_m3: tank.rock_m3(),
                fed: index != level_tank
                    && scenario
                        .flows
                        .iter()
                        .any(|flow| flow.from.0 == index || flow.to.0 == index),
            })
            .collect();
        let water_kg: f64 = tanks.iter().map(|tank| tank.water_kg).sum();
        Self {
            tanks,
            level_tank,
            salt_kg: water_kg * salinity / G_PER_KG,
            density_kg_per_m3: density,
            specific_heat_j_per_kg_k: specific_heat_j_per_kg_k(salinity, scenario.water.target_c),
            moving: false,
            movers: Movers::default(),
            salinity_g_per_kg: (salinity, salinity),
            outside_range_ms: 0,
        }
    }

    /// Recomputes what moves water from the happenings under way, each with its start.
    pub(super) fn apply<'a>(
        &mut self,
        scenario: &Scenario,
        active: impl Iterator<Item = (&'a Happening, Millis)>,
    ) {
        let mut movers = Movers {
            no_top_off: scenario.top_off.is_none(),
            ..Movers::default()
        };
        for (happening, start_ms) in active {
            match happening.effect {
                Effect::TopOffStopped => movers.no_top_off = true,
                Effect::TopOffStuckOn { rate_kg_per_s } => movers.stuck_on_kg_per_s += rate_kg_per_s,
                Effect::Leak {
                    tank,
                    rate_kg_per_s,
                    height_m,
                } => movers.leaks.push((tank, rate_kg_per_s, height_m)),
                Effect::WaterChange {
                    tank,
                    share_frac,
                    temp_c,
                    salinity_g_per_kg,
                } => {
                    let length_ms = match happening.lasts {
                        Lasts::For(length_ms) => length_ms,
                        Lasts::ToTheEnd => crate::time::HOUR,
                    };
                    movers.changes.push(Change {
                        tank,
                        start_ms,
                        length_ms,
                        share_frac,
                        temp_c,
                        salinity_g_per_kg,
                    });
                }
                _ => {}
            }
        }
        self.movers = movers;
        self.moving |= self.movers.no_top_off
            || self.movers.stuck_on_kg_per_s > 0.0
            || !self.movers.leaks.is_empty()
            || !self.movers.changes.is_empty()
            || scenario.automatic_change.is_some();
    }

    /// Whether evaporated water is replaced now.
    pub(super) fn topped_off(&self) -> bool {
        !self.movers.no_top_off
    }

    /// One minute from `now_ms` on; `evaporation_kg_per_s` of the whole system, `running` whether the return flow runs, `water_c` and
    /// `room_c` give temperatures. Fills `new_water` with the heat that new water brings meanwhile.
    pub(super) fn step(
        &mut self,
        scenario: &Scenario,
        now_ms: Millis,
        evaporation_kg_per_s: f64,
        running: bool,
        temps: (&dyn Fn(TankId) -> f64, f64),
        new_water: &mut Vec<NewWater>,
    ) {
        let (water_c, room_c) = temps;
        let step_s = seconds(MINUTE);
        new_water.clear();
        if self.movers.no_top_off || evaporation_kg_per_s < 0.0 {
            self.add(self.level_tank, -evaporation_kg_per_s * step_s, 0.0);
        }
        if self.movers.stuck_on_kg_per_s > 0.0 {
            let rate = self.movers.stuck_on_kg_per_s;
            self.add(self.level_tank, rate * step_s, 0.0);
            let tank = TankId(self.level_tank);
            let temp_c = scenario.top_off.map_or(room_c, |top_off| {
                source_c(top_off.temperature, room_c, water_c(tank))
            });
            new_water.push(self.brings(tank, rate, temp_c, water_c(tank)));
        }
        for (tank, rate, height_m) in std::mem::take(&mut self.movers.leaks) {
            let drained = if running && self.tanks[tank.0].fed && self.height_m(self.level_tank) > EMPTY_M {
                self.level_tank
            } else {
                tank.0
            };
            if self.height_m(drained)
                > if drained == tank.0 {
                    height_m.max(EMPTY_M)
                } else {
                    EMPTY_M
                }
            {
                let salinity = self.salinity();
                self.add(drained, -rate * step_s, salinity);
            }
            self.movers.leaks.push((tank, rate, height_m));
        }
        for change in self.movers.changes.clone() {
            self.change(&change, now_ms, water_c(change.tank), new_water);
        }
        if let Some(automatic) = scenario.automatic_change {
            let rate = automatic.rate_m3_per_s * self.density_kg_per_m3;
            let salinity = self.salinity();
            self.salt_kg += rate * step_s * (automatic.salinity_g_per_kg - salinity) / G_PER_KG;
            let temp_c = source_c(automatic.temperature, room_c, water_c(automatic.tank));
            new_water.push(self.brings(automatic.tank, rate, temp_c, water_c(automatic.tank)));
        }
        self.note_salinity(scenario, now_ms);
    }

    /// A minute of a water change: out in the first half of its time, in during the second. What a start between whole minutes left
    /// undone is done in its first minute.
    fn change(&mut self, change: &Change, now_ms: Millis, water_c: f64, new_water: &mut Vec<NewWater>) {
        let tank = change.tank.0;
        let half_s = 0.5 * seconds(change.length_ms);
        let since_ms = now_ms - change.start_ms;
        let from_s = if since_ms < MINUTE { 0.0 } else { seconds(since_ms) };
        let to_s = seconds(since_ms + MINUTE);
        let done_frac = |begun_s: f64| {
            ((to_s - begun_s) / half_s).clamp(0.0, 1.0) - ((from_s - begun_s) / half_s).clamp(0.0, 1.0)
        };
        let whole_kg = change.share_frac * self.tanks[tank].full_kg;
        let salinity = self.salinity();
        self.add(tank, -whole_kg * done_frac(0.0), salinity);
        let new_kg = whole_kg * done_frac(half_s);
        if new_kg > 0.0 {
            self.add(tank, new_kg, change.salinity_g_per_kg);
            new_water.push(self.brings(change.tank, new_kg / seconds(MINUTE), change.temp_c, water_c));
        }
    }

    fn brings(&self, tank: TankId, rate_kg_per_s: f64, temp_c: f64, water_c: f64) -> NewWater {
        NewWater {
            tank,
            heat_w: rate_kg_per_s * self.specific_heat_j_per_kg_k * (temp_c - water_c),
        }
    }

    /// Puts water of a salinity into a tank (or takes it out); what does not fit runs over.
    fn add(&mut self, tank: usize, by_kg: f64, salinity_g_per_kg: f64) {
        let water = &mut self.tanks[tank];
        let wanted_kg = water.water_kg + by_kg;
        let kept_kg = wanted_kg.clamp(0.0, water.brim_kg);
        water.water_kg = kept_kg;
        self.salt_kg += (by_kg * salinity_g_per_kg) / G_PER_KG;
        if wanted_kg > kept_kg {
            let salinity = self.salinity();
            self.salt_kg -= (wanted_kg - kept_kg) * salinity / G_PER_KG;
        }
    }

    /// Salinity of the system, g/kg.
    pub(super) fn salinity(&self) -> f64 {
        let water_kg: f64 = self.tanks.iter().map(|tank| tank.water_kg).sum();
        G_PER_KG * self.salt_kg / water_kg.max(f64::MIN_POSITIVE)
    }

    fn note_salinity(&mut self, scenario: &Scenario, now_ms: Millis) {
        if now_ms < 0 {
            return;
        }
        let salinity = self.salinity();
        let (lowest, highest) = self.salinity_g_per_kg;
        self.salinity_g_per_kg = (lowest.min(salinity), highest.max(salinity));
        if let Some((low, high)) = scenario.water.salinity_range_g_per_kg
            && !(low..=high).contains(&salinity)
        {
            self.outside_range_ms += MINUTE;
        }
    }

    /// Lowest and highest salinity of the scored time, g/kg, and the time outside the range wanted, ms.
    pub(super) fn salinity_scores(&self) -> ((f64, f64), Millis) {
        (self.salinity_g_per_kg, self.outside_range_ms)
    }

    /// Height of the water in a tank, m.
    pub(super) fn height_m(&self, tank: usize) -> f64 {
        let water = &self.tanks[tank];
        (water.water_kg / self.density_kg_per_m3 + water.rock_m3) / water.footprint_m2
    }

    /// Heat capacity of the water of a tank, J/K.
    pub(super) fn heat_capacity_j_per_k(&self, tank: usize) -> f64 {
        self.tanks[tank].water_kg * self.specific_heat_j_per_kg_k
    }
}

/// Temperature of new water, °C.
fn source_c(temperature: TopOffTemperature, room_c: f64, water_c: f64) -> f64 {
    match temperature {
        TopOffTemperature::Room => room_c,
        TopOffTemperature::Tank => water_c,
        TopOffTemperature::Fixed { temp_c } => temp_c,
    }
}
