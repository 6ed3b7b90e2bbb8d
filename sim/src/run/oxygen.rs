//! The oxygen of a run, beside its temperatures: it bears on none of them.
//!
//! It moves on from whole minute to whole minute and from switching instant to switching instant, so that how often a strategy decides
//! does not bear on it; temperatures run straight in between, coefficients are those of the middle.

use super::electricity::Electricity;
use super::loops::Loop;
use crate::ids::AirPumpId;
use crate::physics::oxygen::{demand_factor, saturation_mg_per_l, transfer_factor};
use crate::physics::oxygen_balance::{Exchange, TankOxygen, advance, steady_mg_per_l};
use crate::scenario::{Cover, Load, Oxygen, Scenario};
use crate::scores::{OxygenAt, OxygenScores, OxygenTally};
use crate::time::{MINUTE, Millis, seconds};

/// Oxygen of all tanks, mg/L.
#[derive(Debug, Clone)]
pub(super) struct OxygenCourse {
    stated: Oxygen,
    salinity_g_per_kg: f64,
    pressure_pa: f64,
    tanks: Vec<Course>,
    exchanges: Vec<Exchange>,
    air_pumps: Vec<Bubbling>,
    now_ms: Millis,
    judged_from_ms: Millis,
    oxygen_mg_per_l: Vec<f64>,
    /// The coefficients of a stretch, kept for their room.
    stretch: Vec<TankOxygen>,
}

/// What holds for one tank.
#[derive(Debug, Clone)]
struct Course {
    surface_m2: f64,
    livestock: bool,
    water_c: f64,
    volume_m3: f64,
    /// Through the surface at 20 °C, m³/s.
    surface_m3_per_s: f64,
    tally: OxygenTally,
}

#[derive(Debug, Clone)]
struct Bubbling {
    tank: usize,
    transfer_m3_per_s: f64,
    /// How long a battery of its own lasts, ms; 0: it has none.
    battery_ms: Millis,
    electricity: Electricity,
}

/// What bears on oxygen and switches.
pub(super) struct OxygenState<'a> {
    /// By air pump: it has electricity.
    pub(super) air_pumps_powered: &'a [bool],
    /// By pump.
    pub(super) pumps_moving: &'a [bool],
    /// By tank.
    pub(super) covers: &'a [Cover],
    /// By tank, m³.
    pub(super) volumes_m3: &'a [f64],
}

/// Less water than this counts as this, m³. An assumption, no source: a film stays in an emptied tank. Valid for
/// tanks of litres and more.
const FILM_M3: f64 = 1e-4;

impl OxygenCourse {
    /// `None` where no stock is stated. All tanks start where they tend to under `state` at the target temperature.
    pub(super) fn new(
        scenario: &Scenario,
        start_ms: Millis,
        judged_from_ms: Millis,
        state: &OxygenState<'_>,
    ) -> Option<Self> {
        let stated = scenario.livestock.oxygen?;
        let tanks = scenario.tanks.iter().map(|tank| Course {
            surface_m2: tank.surface_m2(),
            livestock: tank.livestock,
            water_c: scenario.begins_at_c(),
            volume_m3: tank.water_volume_m3(),
            surface_m3_per_s: 0.0,
            tally: OxygenTally::default(),
        });
        let air_pumps = scenario.air_pumps.iter().map(|pump| Bubbling {
            tank: pump.tank.0,
            transfer_m3_per_s: pump.transfer_m3_per_s,
            battery_ms: pump.battery_ms.unwrap_or(0),
            electricity: Electricity::default(),
        });
        let mut course = Self {
            stated,
            salinity_g_per_kg: scenario.water.salinity_g_per_kg,
            pressure_pa: scenario.water.pressure_pa,
            tanks: tanks.collect(),
            exchanges: Vec::new(),
            air_pumps: air_pumps.collect(),
            now_ms: start_ms,
            judged_from_ms,
            oxygen_mg_per_l: Vec::new(),
            stretch: Vec::new(),
        };
        course.switch(scenario, state);
        course.coefficients(start_ms, |course, _| course.water_c);
        course.oxygen_mg_per_l = steady_mg_per_l(&course.stretch, &course.exchanges);
        Some(course)
    }

    /// Judges from this instant on, ms, not yet reached.
    pub(super) fn judge_from(&mut self, judged_from_ms: Millis) {
        self.judged_from_ms = judged_from_ms;
    }

    /// What holds from the instant reached on.
    pub(super) fn switch(&mut self, scenario: &Scenario, state: &OxygenState<'_>) {
        for (pump, powered) in self.air_pumps.iter_mut().zip(state.air_pumps_powered) {
            pump.electricity.set(self.now_ms, *powered);
        }
        let runs = |flow: &crate::scenario::Flow| flow.pump.is_none_or(|pump| state.pumps_moving[pump.0]);
        self.exchanges.clear();
        let flows = scenario.flows.iter().filter(|flow| runs(flow));
        self.exchanges.extend(flows.map(|flow| Exchange {
            a: flow.from.0,
            b: flow.to.0,
            rate_m3_per_s: flow.rate_m3_per_s,
        }));
        for (index, tank) in self.tanks.iter_mut().enumerate() {
            let stirred = || {
                let mut pumps = scenario.pumps.iter().zip(state.pumps_moving);
                pumps.any(|(pump, moves)| *moves && pump.tank.0 == index)
            };
            let flushed = self
                .exchanges
                .iter()
                .any(|exchange| exchange.a == index || exchange.b == index);
            let coefficient = if flushed || stirred() {
                self.stated.moved_m_per_s
            } else {
                self.stated.still_m_per_s
            };
            let left_frac = match state.covers[index] {
                Cover::Open | Cover::Mesh => 1.0,
                Cover::Lid { .. } => self.stated.under_lid_frac,
            };
            tank.surface_m3_per_s = coefficient * left_frac * tank.surface_m2;
            tank.volume_m3 = state.volumes_m3[index].max(FILM_M3);
        }
    }

    /// Takes note of a step of the temperatures; `water_c` gives those at its end.
    #[inline]
    pub(super) fn observe(&mut self, to_ms: Millis, water_c: impl Fn(usize) -> f64) {
        if to_ms.rem_euclid(MINUTE) == 0 {
            self.settle(to_ms, water_c);
        }
    }

    /// Moves on to an instant; `water_c` gives the temperatures there.
    pub(super) fn settle(&mut self, to_ms: Millis, water_c: impl Fn(usize) -> f64) {
        let start_ms = self.now_ms;
        if to_ms <= start_ms {
            return;
        }
        let ends_c: Vec<f64> = (0..self.tanks.len()).map(water_c).collect();
        while self.now_ms < to_ms {
            let mut stop_ms = to_ms;
            for border_ms in self.battery_ends().chain([self.judged_from_ms]) {
                if self.now_ms < border_ms {
                    stop_ms = stop_ms.min(border_ms);
                }
            }
            let share = |at_ms: Millis| (at_ms - start_ms) as f64 / (to_ms - start_ms) as f64;
            let middle = 0.5 * (share(self.now_ms) + share(stop_ms));
            self.stretch_to(stop_ms, |tank, index| {
                tank.water_c + (ends_c[index] - tank.water_c) * middle
            });
        }
        for (tank, end_c) in self.tanks.iter_mut().zip(ends_c) {
            tank.water_c = end_c;
        }
    }

    /// Oxygen at an instant up to a minute ahead of the one reached, mg/L, without going there.
    pub(super) fn seen_at(&mut self, at_ms: Millis) -> Vec<f64> {
        let mut oxygen = self.oxygen_mg_per_l.clone();
        if at_ms > self.now_ms {
            self.coefficients(self.now_ms, |tank, _| tank.water_c);
            advance(
                &self.stretch,
                &self.exchanges,
                seconds(at_ms - self.now_ms),
                &mut oxygen,
            );
        }
        oxygen
    }

    /// The scores of each tank, by its position in the scenario.
    pub(super) fn scores(&self) -> Vec<OxygenScores> {
        self.tanks.iter().map(|tank| tank.tally.finish()).collect()
    }

    fn battery_ends(&self) -> impl Iterator<Item = Millis> {
        let pumps = self.air_pumps.iter();
        pumps.filter_map(|pump| pump.electricity.empty_at_ms(pump.battery_ms))
    }

    /// Fills the coefficients from an instant on; `water_c` gives each tank's temperature.
    fn coefficients(&mut self, from_ms: Millis, water_c: impl Fn(&Course, usize) -> f64) {
        let stocked_m3: f64 = self
            .tanks
            .iter()
            .filter(|tank| tank.livestock)
            .map(|tank| tank.volume_m3)
            .sum();
        self.stretch.clear();
        for (index, tank) in self.tanks.iter().enumerate() {
            let water_c = water_c(tank, index);
            let pumps = self.air_pumps.iter();
            let bubbles =
                pumps.filter(|pump| pump.tank == index && pump.electricity.lasts(from_ms, pump.battery_ms));
            let at_20_c = tank.surface_m3_per_s + bubbles.map(|pump| pump.transfer_m3_per_s).sum::<f64>();
            let share = if tank.livestock {
                tank.volume_m3 / stocked_m3
            } else {
                0.0
            };
            self.stretch.push(TankOxygen {
                volume_m3: tank.volume_m3,
                transfer_m3_per_s: at_20_c * transfer_factor(water_c),
                saturation_mg_per_l: saturation_mg_per_l(self.salinity_g_per_kg, water_c, self.pressure_pa),
                demand_mg_per_s: share
                    * self.stated.demand_mg_per_s
                    * demand_factor(self.stated.q10, self.stated.demand_at_c, water_c),
            });
        }
    }

    fn stretch_to(&mut self, stop_ms: Millis, water_c: impl Fn(&Course, usize) -> f64) {
        let from_ms = self.now_ms;
        self.coefficients(from_ms, water_c);
        let judged = from_ms >= self.judged_from_ms.max(0);
        let before = judged.then(|| self.oxygen_mg_per_l.clone());
        advance(
            &self.stretch,
            &self.exchanges,
            seconds(stop_ms - from_ms),
            &mut self.oxygen_mg_per_l,
        );
        self.now_ms = stop_ms;
        let Some(before) = before else { return };
        for (index, tank) in self.tanks.iter_mut().enumerate() {
            let held_mg_per_l = self.stretch[index].saturation_mg_per_l;
            let at = |at_ms: Millis, mg_per_l: f64| OxygenAt {
                at_ms,
                mg_per_l,
                saturation_frac: mg_per_l / held_mg_per_l,
            };
            tank.tally.observe(
                at(from_ms, before[index]),
                at(stop_ms, self.oxygen_mg_per_l[index]),
            );
        }
    }
}

impl Loop<'_, '_> {
    /// Gives every tank the oxygen it tends to with everything at work, where a stock is stated.
    pub(super) fn start_oxygen(&mut self) {
        self.oxygen = OxygenCourse::new(
            self.scenario,
            self.start_ms,
            self.judged_from_ms,
            &OxygenState {
                air_pumps_powered: &vec![true; self.scenario.air_pumps.len()],
                pumps_moving: &self.pumps_moving(self.start_ms),
                covers: &self.devices.covers,
                volumes_m3: &self.volumes_m3(),
            },
        );
    }

    fn volumes_m3(&self) -> Vec<f64> {
        let tanks = 0..self.scenario.tanks.len();
        tanks.map(|tank| self.levels.volume_m3(tank)).collect()
    }

    /// Moves oxygen on to this instant.
    pub(super) fn settle_oxygen(&mut self, now_ms: Millis) {
        if let Some(oxygen) = &mut self.oxygen {
            let (stepper, plant) = (&self.stepper, self.plant);
            oxygen.settle(now_ms, |tank| stepper.temp_c(plant.water[tank]));
        }
    }

    /// Lets what bears on oxygen hold from now on.
    pub(super) fn switch_oxygen(&mut self, now_ms: Millis, pumps_moving: &[bool]) {
        self.settle_oxygen(now_ms);
        let powered: Vec<bool> = (0..self.scenario.air_pumps.len())
            .map(|index| self.supply.powers(Load::AirPump(AirPumpId(index))))
            .collect();
        let volumes_m3 = self.volumes_m3();
        if let Some(oxygen) = &mut self.oxygen {
            oxygen.switch(
                self.scenario,
                &OxygenState {
                    air_pumps_powered: &powered,
                    pumps_moving,
                    covers: &self.devices.covers,
                    volumes_m3: &volumes_m3,
                },
            );
        }
    }
}
