//! How much water and salt there is, minute by minute, when something moves it.
//!
//! # Equation
//! ```text
//! dm/dt = top-off − evaporation − leak ± change ± overflow  kg/s, per tank, from a film to the brim
//! d(salt)/dt = Σ S ṁ of what comes and goes; none in what evaporates, condenses or tops off
//! S = salt/m                                              g/kg, per tank
//! S₁ − S₂ falls by exp(−ṁ t (1/m₁ + 1/m₂))                through a flow ṁ that runs
//! top-off = what is missing to the level as built, at most its rate and what its reservoir still holds; none without electricity
//!           and none while water is changed
//! Q_new water = ṁ c_p (T_new − T)                         W into the node
//! ```
//! Where an overflow holds the levels of the other tanks, only that of one falls, the one that is topped off: flows that run fill the others
//! up from there as far as its water reaches. While levels are as built and evaporation alone moves them, top-off is evaporation and nothing
//! need be reckoned by the minute: the network replaces it.
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
//! What siphons back from pipes when a pump stops; what a display evaporates during a pause of its pump while nothing else moves water
//! (it is replaced at once); a leak that slows with the level; salt creep; a change of density with salinity (0.7 % per 10 g/kg); an
//! emptied tank goes on losing heat by evaporation from its film.
//!
//! # Checked by
//! `tests/behaviour/levels.rs`, `tests/behaviour/moving_water.rs`, `tests/behaviour/top_off.rs`.

mod change;
mod course;
mod joined;
mod tank_water;

use crate::ids::TankId;
use crate::physics::water::{density_kg_per_m3, specific_heat_j_per_kg_k};
use crate::run::stopwatch::Stopwatch;
use crate::scenario::{Effect, Happening, Lasts, Scenario, TopOffTemperature};
use crate::scores::{LevelScores, SalinityScores};
use crate::time::{HOUR, Millis};
use change::WaterChange;
use course::Course;
use tank_water::TankWater;

/// Grams in a kilogram, g/kg. Exact.
const G_PER_KG: f64 = 1000.0;

/// Length of a step, s. Exact.
const MINUTE_S: f64 = 60.0;

/// Water and salt of a run.
#[derive(Debug, Clone)]
pub(super) struct Levels {
    tanks: Vec<TankWater>,
    /// Where evaporation and top-off act.
    level_tank: usize,
    density_kg_per_m3: f64,
    specific_heat_j_per_kg_k: f64,
    fresh_specific_heat_j_per_kg_k: f64,
    movers: Movers,
    /// What the reservoir of the top-off still holds, kg; `None`: it does not run out.
    reservoir_kg: Option<f64>,
    topped_off: bool,
    /// New water brings heat in the minute under way, which must end with it.
    brings_heat: bool,
    course: Course,
}

/// What moves water now.
#[derive(Debug, Clone, Default)]
struct Movers {
    power_on: bool,
    top_off_works: bool,
    stuck_on_kg_per_s: f64,
    leaks: Vec<Leak>,
    changes: Vec<WaterChange>,
}

/// A hole.
#[derive(Debug, Clone, Copy)]
struct Leak {
    tank: usize,
    rate_kg_per_s: f64,
    height_m: f64,
}

/// Heat that new water brings to a tank, W.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct NewWater {
    pub(super) tank: TankId,
    pub(super) heat_w: f64,
}

/// What bears on a minute of water.
pub(super) struct Around<'a> {
    /// By tank, kg/s; condensation negative.
    pub(super) evaporation_kg_per_s: &'a [f64],
    /// By flow.
    pub(super) flows_run: &'a [bool],
    pub(super) water_c: &'a dyn Fn(TankId) -> f64,
    pub(super) room_c: f64,
}

impl Levels {
    pub(super) fn new(scenario: &Scenario) -> Self {
        let (salinity, target_c) = (scenario.water.salinity_g_per_kg, scenario.water.target_c);
        let density = density_kg_per_m3(salinity, target_c);
        let level_tank = scenario.top_off.map_or_else(
            || {
                let fed = |tank: usize| scenario.flows.iter().any(|flow| flow.to == TankId(tank));
                (0..scenario.tanks.len())
                    .find(|tank| !scenario.tanks[*tank].livestock && fed(*tank))
                    .unwrap_or(0)
            },
            |top_off| top_off.tank.0,
        );
        let tanks = scenario.tanks.iter();
        let tanks = tanks
            .map(|tank| TankWater::new(tank, density, salinity))
            .collect();
        Self {
            tanks,
            level_tank,
            density_kg_per_m3: density,
            specific_heat_j_per_kg_k: specific_heat_j_per_kg_k(salinity, target_c),
            fresh_specific_heat_j_per_kg_k: specific_heat_j_per_kg_k(0.0, target_c),
            movers: Movers::default(),
            reservoir_kg: scenario.top_off.and_then(|top_off| top_off.reservoir_kg),
            topped_off: scenario.top_off.is_some(),
            brings_heat: false,
            course: Course::new(scenario),
        }
    }

    /// Recomputes what moves water from the happenings under way, each with its start.
    pub(super) fn apply<'a>(
        &mut self,
        scenario: &Scenario,
        active: impl Iterator<Item = (&'a Happening, Millis)>,
    ) {
        let mut movers = Movers {
            power_on: self.movers.power_on,
            top_off_works: scenario.top_off.is_some(),
            ..Movers::default()
        };
        for (happening, start_ms) in active {
            match happening.effect {
                Effect::TopOffStopped => movers.top_off_works = false,
                Effect::TopOffStuckOn { rate_kg_per_s } => movers.stuck_on_kg_per_s += rate_kg_per_s,
                Effect::Leak {
                    tank,
                    rate_kg_per_s,
                    height_m,
                } => movers.leaks.push(Leak {
                    tank: tank.0,
                    rate_kg_per_s,
                    height_m,
                }),
                Effect::WaterChange {
                    tank,
                    share_frac,
                    temp_c,
                    salinity_g_per_kg,
                } => {
                    let mut change = WaterChange {
                        tank,
                        start_ms,
                        length_ms: match happening.lasts {
                            Lasts::For(length_ms) => length_ms,
                            Lasts::ToTheEnd => HOUR,
                        },
                        share_frac,
                        temp_c,
                        salinity_g_per_kg,
                        taken_kg: 0.0,
                    };
                    if let Some(known) = self.movers.changes.iter().find(|known| known.is(&change)) {
                        change.taken_kg = known.taken_kg;
                    }
                    movers.changes.push(change);
                }
                _ => {}
            }
        }
        self.movers = movers;
    }

    /// Lets the pumps of top-off and automatic change run or stand, after [`Self::apply`] or when the supply changed.
    pub(super) fn set_power(&mut self, scenario: &Scenario, on: bool) {
        self.movers.power_on = on;
        self.topped_off = self.follows_evaporation(scenario) && (self.topped_off || !self.moving(scenario));
    }

    /// Something moves water, so that it must be reckoned by the minute.
    pub(super) fn moving(&self, scenario: &Scenario) -> bool {
        let alone = |tank: usize| {
            let mut flows = scenario.flows.iter();
            tank != self.level_tank && !flows.any(|flow| flow.from.0 == tank || flow.to.0 == tank)
        };
        let mut tanks = self.tanks.iter().enumerate();
        !self.follows_evaporation(scenario)
            || self.brings_heat
            || self.movers.stuck_on_kg_per_s > 0.0
            || !self.movers.leaks.is_empty()
            || scenario.automatic_change.is_some()
            || tanks.any(|(tank, water)| water.missing_kg() != 0.0 && !alone(tank))
    }

    /// This evaporation moves the level, though nothing else does: water condenses, or the pump cannot keep up.
    pub(super) fn moved_by(&self, scenario: &Scenario, evaporation_kg_per_s: f64) -> bool {
        let most_kg_per_s = scenario.top_off.map_or(0.0, |top_off| top_off.rate_kg_per_s);
        !(0.0..=most_kg_per_s).contains(&evaporation_kg_per_s)
    }

    /// The top-off does what it is for, and no reservoir need be watched.
    fn follows_evaporation(&self, scenario: &Scenario) -> bool {
        let watched = scenario
            .top_off
            .is_some_and(|top_off| top_off.reservoir_kg.is_some());
        self.movers.power_on && self.movers.top_off_works && self.movers.changes.is_empty() && !watched
    }

    /// Top-off replaces just what evaporates now.
    pub(super) fn topped_off(&self) -> bool {
        self.topped_off
    }

    /// One minute from `now_ms` on. Fills `new_water` with the heat that new water brings meanwhile, but for a top-off that replaces just
    /// what evaporates.
    pub(super) fn step(
        &mut self,
        scenario: &Scenario,
        now_ms: Millis,
        around: &Around<'_>,
        new_water: &mut Vec<NewWater>,
    ) {
        new_water.clear();
        for (tank, evaporation) in self.tanks.iter_mut().zip(around.evaporation_kg_per_s) {
            tank.evaporate(evaporation * MINUTE_S);
        }
        for leak in &self.movers.leaks {
            self.tanks[leak.tank].drain(leak.rate_kg_per_s * MINUTE_S, leak.height_m);
        }
        self.let_out(now_ms);
        self.let_in(now_ms, around, new_water);
        if let Some(automatic) = &scenario.automatic_change
            && self.movers.power_on
        {
            new_water.push(self.exchange(automatic, around));
        }
        self.join(scenario, around, new_water);
        self.top_off(scenario, now_ms, around, new_water);
        self.brings_heat = new_water.iter().any(|water| water.heat_w != 0.0);
    }

    /// A minute of the top-off.
    fn top_off(
        &mut self,
        scenario: &Scenario,
        now_ms: Millis,
        around: &Around<'_>,
        new_water: &mut Vec<NewWater>,
    ) {
        let level = &self.tanks[self.level_tank];
        let wanted_kg = if !self.movers.power_on {
            0.0
        } else if self.movers.stuck_on_kg_per_s > 0.0 {
            self.movers.stuck_on_kg_per_s * MINUTE_S
        } else if let Some(top_off) = scenario.top_off
            && self.movers.top_off_works
            && self.movers.changes.is_empty()
        {
            level.missing_kg().clamp(0.0, top_off.rate_kg_per_s * MINUTE_S)
        } else {
            0.0
        };
        let new_kg = wanted_kg.min(self.reservoir_kg.unwrap_or(f64::INFINITY));
        if let Some(reservoir_kg) = &mut self.reservoir_kg
            && now_ms >= 0
        {
            *reservoir_kg -= new_kg;
        }
        let evaporated_kg = around.evaporation_kg_per_s.iter().sum::<f64>() * MINUTE_S;
        self.topped_off = level.is_little(new_kg - evaporated_kg);
        let tank = TankId(self.level_tank);
        let water_c = (around.water_c)(tank);
        let source_c = scenario.top_off.map_or(around.room_c, |top_off| {
            source_c(top_off.temperature, around.room_c, water_c)
        });
        let mut brings = self.pour(tank, new_kg, 0.0, source_c - water_c);
        if !self.topped_off {
            brings.heat_w *= self.fresh_specific_heat_j_per_kg_k / self.specific_heat_j_per_kg_k;
            new_water.push(brings);
        }
    }

    /// Pours water of a salinity, warmer than the tank's by some kelvin, into a tank over a minute: it mixes, and what does not fit runs over.
    fn pour(&mut self, tank: TankId, by_kg: f64, salinity_g_per_kg: f64, warmer_k: f64) -> NewWater {
        let kept_frac = self.tanks[tank.0].pour(by_kg, salinity_g_per_kg);
        NewWater {
            tank,
            heat_w: kept_frac * by_kg / MINUTE_S * self.specific_heat_j_per_kg_k * warmer_k,
        }
    }

    /// Takes note of levels and salinity for the scores: they have held since the last note.
    pub(super) fn note(&mut self, scenario: &Scenario, now_ms: Millis) {
        self.course.note(scenario, now_ms, &self.tanks);
    }

    /// Salinity over the scored time.
    pub(super) fn salinity_scores(&self, scenario: &Scenario) -> SalinityScores {
        self.course.salinity_scores(scenario)
    }

    /// Levels over the scored time, and how long the water stood still.
    pub(super) fn level_scores(&self, scenario: &Scenario, still: &[Stopwatch]) -> Vec<LevelScores> {
        self.course.level_scores(scenario, still, |tank| {
            self.tanks[tank].run_over_kg() / self.density_kg_per_m3
        })
    }

    /// Height of the water in a tank, m, > 0.
    pub(super) fn height_m(&self, tank: usize) -> f64 {
        self.tanks[tank].height_m()
    }

    /// Volume of the water in a tank, m³, > 0.
    pub(super) fn volume_m3(&self, tank: usize) -> f64 {
        self.tanks[tank].water_kg() / self.density_kg_per_m3
    }

    /// Height below which a pump in a tank draws air, m.
    pub(super) fn drawn_from_m(&self, tank: usize) -> f64 {
        self.tanks[tank].drawn_from_m()
    }

    /// Heat capacity of the water of a tank, J/K, > 0.
    pub(super) fn heat_capacity_j_per_k(&self, tank: usize) -> f64 {
        self.tanks[tank].water_kg() * self.specific_heat_j_per_kg_k
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
