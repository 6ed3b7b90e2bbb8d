//! What is looked after from minute to minute: levels, an answering room, the sun.

use super::RunError;
use super::levels::{Around, NewWater};
use super::loops::Loop;
use crate::ids::{AirPumpId, ChillerId, HeaterId, PumpId, TankId};
use crate::network::AirCourse;
use crate::network::Setting;
use crate::plant::{BodyIn, EVAPORATION_PATH, IN_AIR, IN_WATER};
use crate::room::RoomGain;
use crate::scenario::{HeaterKind, Load};
use crate::time::{MINUTE, Millis, SECOND};

/// How often it is looked after when nothing moves but the sun or the room's extremes, ms. A choice: sun and room
/// change little in it. Valid where levels rest.
const SELDOM_MS: Millis = 10 * MINUTE;

/// How often the losses are looked at while a heater's body is in air, ms. A choice: a body of 1 J/(K W) warms by
/// 10 K in it. Valid for bodies that take minutes to get hot.
const HOT_MS: Millis = 10 * SECOND;

/// How often the losses are looked at at least while the room answers, ms. A choice: where its air will be then is guessed from a minute of its course;
/// `tests/verification/step_size.rs` says what it costs. Valid for rooms whose time constant is well above a minute.
const ANSWERED_MS: Millis = 5 * MINUTE;

/// A level that moved less than this is left where it was, m. A choice: half a millimetre of water is 0.1 % of a
/// tank's heat capacity. Valid for water half a metre deep; in shallower tanks the share is larger in proportion.
const NOTICED_M: f64 = 0.000_5;

/// The same for shallow water, as a share of its height, unitless. A choice. Valid down to the film
/// of an emptied tank.
const NOTICED_FRAC: f64 = 0.02;

impl Loop<'_, '_> {
    /// Looks after whatever is due, and says when next; returns what a room that answers is given.
    pub(super) fn upkeep(&mut self, now_ms: Millis) -> Result<Option<RoomGain>, RunError> {
        self.check_finite(now_ms)?;
        self.surroundings.note(now_ms);
        self.feel_bodies(now_ms);
        self.levels.note(self.scenario, now_ms);
        for (index, sun) in self.scenario.suns.iter().enumerate() {
            // The middle of the stretch to come stands for it.
            let heat_w = self
                .surroundings
                .sun_w(sun.shine, now_ms + self.upkeep_every_ms() / 2);
            self.stepper.set_power(self.plant.sun_sources[index], heat_w);
        }
        let evaporation = self.plant.losses.iter();
        let evaporation: f64 = evaporation
            .map(|losses| self.stepper.evaporation_kg_per_s(*losses))
            .sum();
        if self.levels.moving(self.scenario) || self.levels.moved_by(self.scenario, evaporation) {
            self.move_water(now_ms);
        }
        self.surroundings
            .set_chains(self.chains.room_heating_on(), self.chains.room_cooling_on());
        let gain = self.surroundings.answers().then(|| self.room_gain(now_ms));
        let every_ms = self.upkeep_every_ms();
        self.next_upkeep_ms = (now_ms.div_euclid(every_ms) + 1) * every_ms;
        Ok(gain)
    }

    fn upkeep_every_ms(&self) -> Millis {
        if self.levels.moving(self.scenario) || self.surroundings.answers() {
            MINUTE
        } else {
            SELDOM_MS
        }
    }

    /// A state that is no number is no result: it stays so once it is, so that a look now and then finds it.
    pub(super) fn check_finite(&self, now_ms: Millis) -> Result<(), RunError> {
        match self.stepper.not_finite() {
            None => Ok(()),
            Some(node) => Err(RunError::NotFinite {
                at_ms: now_ms,
                node: node.to_owned(),
            }),
        }
    }

    /// A minute of water and salt.
    fn move_water(&mut self, now_ms: Millis) {
        let air = self.surroundings.air_at(now_ms);
        let moving = self.pumps_moving(now_ms);
        let flows = self.scenario.flows.iter();
        let flows_run: Vec<bool> = flows
            .map(|flow| flow.pump.is_none_or(|pump| moving[pump.0]))
            .collect();
        let stepper = &self.stepper;
        let losses = self.plant.losses.iter();
        let evaporation: Vec<f64> = losses
            .map(|losses| stepper.evaporation_kg_per_s(*losses))
            .collect();
        let around = Around {
            evaporation_kg_per_s: &evaporation,
            flows_run: &flows_run,
            water_c: &|tank: TankId| stepper.temp_c(self.plant.water[tank.0]),
            room_c: air.temp_c,
        };
        let mut new_water: Vec<NewWater> = Vec::new();
        self.levels.step(self.scenario, now_ms, &around, &mut new_water);
        self.stepper.set_topped_off(self.levels.topped_off());
        for (tank, source) in self.plant.new_water_sources.iter().enumerate() {
            let heat_w = new_water
                .iter()
                .filter(|water| water.tank.0 == tank)
                .map(|water| water.heat_w)
                .sum();
            self.stepper.set_power(*source, heat_w);
        }
        // What comes to rest is set exactly, for nobody looks again.
        let at_rest = !self.levels.moving(self.scenario);
        let mut moved = false;
        for tank in 0..self.scenario.tanks.len() {
            let height_m = self.levels.height_m(tank);
            let by_m = (height_m - self.heights_m[tank]).abs();
            if by_m > NOTICED_M.min(NOTICED_FRAC * height_m) || (at_rest && by_m > 0.0) {
                self.heights_m[tank] = height_m;
                let capacity = (self.levels.heat_capacity_j_per_k(tank)
                    + self.plant.pane_capacities_j_per_k[tank])
                    * self.scenario.fitted.capacity_frac;
                self.stepper.set_heat_capacity(self.plant.water[tank], capacity);
                moved = true;
            }
        }
        if moved {
            self.set_flows(now_ms);
            self.set_losses();
        }
    }

    /// Height of a tank's water where it is not as built, m.
    pub(super) fn moved_height_m(&self, tank: usize) -> Option<f64> {
        let height_m = self.heights_m[tank];
        (height_m != self.scenario.tanks[tank].water_height_m).then_some(height_m)
    }

    /// Takes note of which tanks' water nothing turns: no flow through it, no pump in it.
    fn note_stillness(&mut self, now_ms: Millis, pumps_moving: &[bool]) {
        let scenario = self.scenario;
        for (tank, watch) in self.still.iter_mut().enumerate() {
            let id = TankId(tank);
            let mut flows = scenario
                .flows
                .iter()
                .filter(|flow| flow.from == id || flow.to == id);
            let flushed = flows.any(|flow| flow.pump.is_none_or(|pump| pumps_moving[pump.0]));
            let mut pumps = scenario.pumps.iter().zip(pumps_moving);
            let stirred = pumps.any(|(pump, moves)| *moves && pump.tank == id);
            watch.set(now_ms, !flushed && !stirred);
        }
    }

    /// Lets pumps run or stand by clock, happenings, power and level, and heaters' bodies meet what they meet.
    pub(super) fn set_flows(&mut self, now_ms: Millis) {
        let moving = self.pumps_moving(now_ms);
        self.note_stillness(now_ms, &moving);
        for (index, pump) in self.scenario.pumps.iter().enumerate() {
            let power_w = if moving[index] { pump.power_w } else { 0.0 };
            if self.devices.pumps[index].set(now_ms, power_w) {
                self.stepper
                    .set_power(self.plant.pump_sources[index], power_w * pump.share_to_water_frac);
            }
        }
        let bodies: Vec<BodyIn> = self
            .scenario
            .heaters
            .iter()
            .map(|heater| BodyIn::of(heater, self.heights_m[heater.tank.0], &moving))
            .collect();
        self.bodies_in_air.clear();
        self.bodies_in_air
            .extend(bodies.iter().map(|body| *body == BodyIn::Air));
        for (watch, in_air) in self.devices.heaters_in_air.iter_mut().zip(&self.bodies_in_air) {
            watch.set(now_ms, *in_air);
        }
        self.feel_bodies(now_ms);
        for (body, losses) in bodies.iter().zip(&self.plant.body_losses) {
            let choice = if *body == BodyIn::Air { IN_AIR } else { IN_WATER };
            self.stepper.set_losses(
                *losses,
                Setting {
                    choice,
                    ..Setting::default()
                },
            );
        }
        let refresh_ms = if bodies.contains(&BodyIn::Air) {
            Some(HOT_MS)
        } else {
            self.surroundings.answers().then_some(ANSWERED_MS)
        };
        self.stepper.set_refresh(refresh_ms);
        self.stepper
            .set_mode(self.plant.mode(&moving, &self.probes.places(), &bodies));
        for (index, pump) in self.scenario.air_pumps.iter().enumerate() {
            let powered = self.supply.powers(Load::AirPump(AirPumpId(index)));
            let power_w = if powered { pump.power_w } else { 0.0 };
            self.devices.air_pumps[index].set(now_ms, power_w);
        }
        self.switch_oxygen(now_ms, &moving);
        self.switch_chillers(now_ms);
    }

    /// Lets thermostats in heaters that hang in air feel the room's air as it is now.
    fn feel_bodies(&mut self, now_ms: Millis) {
        let air_k = if self.bodies_in_air.contains(&true) {
            self.surroundings.air_at(now_ms).temp_c - self.plant.network.reference_c()
        } else {
            0.0
        };
        let in_air = &self.bodies_in_air;
        self.chains.set_bodies_in_air(|heater| in_air[heater], air_k);
    }

    /// Which pumps move water, by clock, happenings, power and level.
    pub(super) fn pumps_moving(&self, now_ms: Millis) -> Vec<bool> {
        let pumps = self.scenario.pumps.iter().enumerate();
        pumps
            .map(|(index, pump)| {
                self.supply.powers(Load::Pump(PumpId(index)))
                    && !self.devices.pump_stopped[index]
                    && pump.hours.is_none_or(|hours| hours.holds(now_ms))
                    && self.heights_m[pump.tank.0]
                        >= pump.starves_below_m.max(self.levels.drawn_from_m(pump.tank.0))
            })
            .collect()
    }

    /// Lets chillers run where their chain is closed, water flows and they have rested.
    pub(super) fn switch_chillers(&mut self, now_ms: Millis) {
        self.next_chiller_ms = super::timeline::NEVER;
        if self.scenario.chillers.is_empty() {
            return;
        }
        let moving = self.pumps_moving(now_ms);
        for (index, chiller) in self.scenario.chillers.iter().enumerate() {
            let asked = self.supply.powers(Load::Chiller(ChillerId(index)))
                && self.chains.chiller_on(index)
                && !self.devices.chiller_dead[index]
                && chiller.pump.is_none_or(|pump| moving[pump.0]);
            let water_c = self.stepper.temp_c(self.plant.water[chiller.tank.0]);
            let compressor = &mut self.devices.chillers[index];
            let wanted = asked && !compressor.holds_for_cold(water_c, chiller.stops_below_c);
            if asked {
                // The freeze protection looks at the water once a minute.
                self.next_chiller_ms = self.next_chiller_ms.min((now_ms.div_euclid(MINUTE) + 1) * MINUTE);
            }
            let rested = compressor
                .rests_until_ms
                .is_none_or(|until_ms| now_ms >= until_ms);
            let runs = wanted && (compressor.meter.is_on() || rested);
            if wanted && !runs {
                self.next_chiller_ms = self
                    .next_chiller_ms
                    .min(compressor.rests_until_ms.unwrap_or(now_ms + 1));
            }
            let power_w = if runs {
                chiller.capacity_w / chiller.performance_frac
            } else {
                0.0
            };
            if runs != compressor.meter.is_on() {
                compressor.switch(now_ms, power_w, chiller.shortest_off_ms);
            }
            let taken_w = if runs {
                chiller.capacity_w * self.devices.chiller_left_frac[index]
            } else {
                0.0
            };
            self.stepper
                .set_power(self.plant.chiller_sources[index], -taken_w);
        }
    }

    /// Sets each heater's power: none, all of it, or what a self-limiting element lets through at its present temperature.
    pub(super) fn power_heaters(&mut self, now_ms: Millis) {
        for (index, heater) in self.scenario.heaters.iter().enumerate() {
            let id = HeaterId(index);
            let on = self.supply.powers(Load::Heater(id)) && self.chains.heater_on(id);
            let power_w = match (on, heater.kind) {
                (false, _) => 0.0,
                (
                    true,
                    HeaterKind::SelfLimiting {
                        full_to_c,
                        none_from_c,
                    },
                ) => {
                    let body_c = self.stepper.temp_c(self.plant.bodies[index]);
                    heater.power_w
                        * self.supply.heat_frac(id)
                        * ((none_from_c - body_c) / (none_from_c - full_to_c)).clamp(0.0, 1.0)
                }
                (true, _) => heater.power_w * self.supply.heat_frac(id),
            };
            if self.devices.heaters[index].set(now_ms, power_w) {
                let share = match heater.kind {
                    HeaterKind::Mat { share_to_water_frac } => share_to_water_frac,
                    _ => 1.0,
                };
                self.stepper
                    .set_power(self.plant.heater_sources[index], power_w * share);
            }
        }
    }

    /// What tanks and electricity give the room now.
    fn room_gain(&mut self, now_ms: Millis) -> RoomGain {
        let air = self.surroundings.air_at(now_ms);
        let mut gain = RoomGain::default();
        for losses in &self.plant.losses {
            let (sensible_w, evaporation) = self.stepper.loss_now(*losses, air, Some(EVAPORATION_PATH));
            gain.heat_w += sensible_w;
            gain.moisture_kg_per_s += evaporation;
        }
        for losses in &self.plant.body_losses {
            gain.heat_w += self.stepper.loss_now(*losses, air, None).0;
        }
        let scenario = self.scenario;
        for (pump, meter) in scenario.pumps.iter().zip(&self.devices.pumps) {
            gain.heat_w += meter.power_w() * (1.0 - pump.share_to_water_frac);
        }
        for (light, meter) in scenario.lights.iter().zip(&self.devices.lights) {
            gain.heat_w += meter.power_w() * (1.0 - light.share_to_water_frac);
        }
        let in_room = self.devices.fans.iter().chain(&self.devices.air_pumps);
        gain.heat_w += in_room.map(super::devices::Meter::power_w).sum::<f64>();
        for (heater, meter) in scenario.heaters.iter().zip(&self.devices.heaters) {
            if let HeaterKind::Mat { share_to_water_frac } = heater.kind {
                gain.heat_w += meter.power_w() * (1.0 - share_to_water_frac);
            }
        }
        let left = self.devices.chillers.iter().zip(&self.devices.chiller_left_frac);
        for (chiller, (compressor, left_frac)) in scenario.chillers.iter().zip(left) {
            if !chiller.rejects_outdoors && compressor.meter.is_on() {
                gain.heat_w += chiller.capacity_w * left_frac + compressor.meter.power_w();
            }
        }
        gain
    }
}
