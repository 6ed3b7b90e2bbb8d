//! The room around water that is held at its target: as prescribed, or where a building settles.
//!
//! # Equation
//! `0 = (UA + ṁ c_p)(T_out − T) + Q_device + Q_internal + Q_sun + Q_tanks(T)`, `0 = ṁ (W_out − W) + E(T, W) + moisture`: those of
//! `room.rs` at rest, by bisection. A device gives what keeps its setpoint, between nothing and all its power.
//!
//! # Units
//! As in `room.rs`.
//!
//! # Source
//! `room.rs`.
//!
//! # Valid for
//! Means: outdoors at the mean of its course, sun in its mean.
//!
//! # Left out
//! Days on which the mean is not enough.
//!
//! # Checked by
//! `tests/behaviour/budget.rs`: beside a long run.

use super::gains::{mean_sun_w, of_day_frac};
use super::{AUTOMATIC_CHANGE, EVAPORATION, LossPath, MAKE_UP_WATER, StillPlant};
use crate::bisection::rising_root;
use crate::physics::dry_air::DryAir;
use crate::physics::moist_air::{self, Air};
use crate::physics::vapour::saturation_pressure_pa;
use crate::scenario::{Light, LumpedRoom, Pump, RoomThermostat};

/// Halvings of a bisection. A choice: a range of 300 K ends below a millionth of a kelvin.
const HALVINGS: u32 = 30;

/// Rounds between temperature and humidity. A choice: they hardly depend on each other.
const ROUNDS: u32 = 4;

/// How far from outdoors and target a room's temperature is looked for, K. A choice: wider than any room.
const SEARCHED_K: f64 = 100.0;

/// A room that does not change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StillRoom {
    /// °C.
    pub temp_c: f64,
    /// 0..=1.
    pub relative_humidity_frac: f64,
    /// The building it is in, if it answers to what stands in it.
    pub building: Option<StillBuilding>,
}

/// What makes the room of a building what it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StillBuilding {
    /// Mean outdoors, °C.
    pub outdoors_c: f64,
    /// The device that works, if one does.
    pub device: Option<StillDevice>,
}

/// A room's heating or cooling at work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StillDevice {
    /// Cooling, not heating.
    pub cools: bool,
    /// Heat it gives or takes in the mean, W.
    pub power_w: f64,
    /// The most it can, W.
    pub rated_w: f64,
}

impl StillPlant<'_> {
    /// The scenario's own room, with all water at the target.
    #[must_use]
    pub fn room(&self) -> StillRoom {
        self.room_beside(&[])
    }

    /// The room that it shares with others, all water at the target.
    #[must_use]
    pub fn room_beside(&self, others: &[&Self]) -> StillRoom {
        let room = &self.scenario.room;
        let mean_c = room.temperature.mean_of_course_c(self.scenario.duration_ms);
        let mean_frac = room.humidity.relative_frac();
        match &room.lumped {
            None => StillRoom {
                temp_c: mean_c,
                relative_humidity_frac: mean_frac,
                building: None,
            },
            Some(lumped) => {
                let mut plants = vec![self];
                plants.extend(others);
                Around { room: lumped, plants }.settled(self.air(mean_c, mean_frac))
            }
        }
    }
}

/// A room that answers to the plants in it.
struct Around<'a> {
    room: &'a LumpedRoom,
    /// At least one.
    plants: Vec<&'a StillPlant<'a>>,
}

impl Around<'_> {
    fn settled(&self, outdoors: Air) -> StillRoom {
        let mut air = outdoors;
        let mut device = None;
        for _ in 0..ROUNDS {
            (air.temp_c, device) = self.settled_temp(outdoors, air);
            air.vapour_pressure_pa = self.settled_vapour_pa(outdoors, air);
        }
        StillRoom {
            temp_c: air.temp_c,
            relative_humidity_frac: air.relative_humidity_frac(),
            building: Some(StillBuilding {
                outdoors_c: outdoors.temp_c,
                device,
            }),
        }
    }

    fn target_c(&self) -> f64 {
        self.plants[0].scenario.water.target_c
    }

    fn settled_temp(&self, outdoors: Air, air: Air) -> (f64, Option<StillDevice>) {
        let room = self.room;
        // Heat that must be added to hold the room at a temperature, W: it rises with that.
        let wanted_w = |temp_c: f64| {
            let air = Air { temp_c, ..air };
            let flow_kg_per_s = ventilation_kg_per_s(room, air);
            let specific_heat = DryAir::at(temp_c, air.pressure_pa).specific_heat_j_per_kg_k;
            (room.envelope_w_per_k + flow_kg_per_s * specific_heat) * (temp_c - outdoors.temp_c)
                - self.gain_w(air)
        };
        let target_c = self.target_c();
        let range_c = (
            outdoors.temp_c.min(target_c) - SEARCHED_K,
            outdoors.temp_c.max(target_c) + SEARCHED_K,
        );
        let held_by = |thermostat: Option<RoomThermostat>, cools: bool| {
            let thermostat = thermostat?;
            let sign = if cools { -1.0 } else { 1.0 };
            let power_w = sign * wanted_w(thermostat.setpoint_c);
            (power_w > 0.0).then(|| {
                let given_w = power_w.min(thermostat.power_w);
                let temp_c = if power_w <= thermostat.power_w {
                    thermostat.setpoint_c
                } else {
                    rising_root(range_c, HALVINGS, |temp_c| wanted_w(temp_c) - sign * given_w)
                };
                let device = StillDevice {
                    cools,
                    power_w: given_w,
                    rated_w: thermostat.power_w,
                };
                (temp_c, Some(device))
            })
        };
        held_by(room.heating, false)
            .or_else(|| held_by(room.cooling, true))
            .unwrap_or_else(|| (rising_root(range_c, HALVINGS, wanted_w), None))
    }

    fn settled_vapour_pa(&self, outdoors: Air, air: Air) -> f64 {
        let room = self.room;
        let flow_kg_per_s = ventilation_kg_per_s(room, air);
        let out = outdoors.humidity_ratio();
        // Water that must be added to hold the room at a vapour pressure, kg/s: it rises with that.
        let wanted_kg_per_s = |vapour_pressure_pa: f64| {
            let air = Air {
                vapour_pressure_pa,
                ..air
            };
            let plants = self.plants.iter();
            let evaporation_kg_per_s: f64 = plants
                .map(|plant| plant.losses(self.target_c(), air).evaporation_kg_per_s)
                .sum();
            flow_kg_per_s * (air.humidity_ratio() - out) - evaporation_kg_per_s - room.moisture_kg_per_s
        };
        rising_root(
            (0.0, saturation_pressure_pa(air.temp_c)),
            HALVINGS,
            wanted_kg_per_s,
        )
    }

    /// Heat of people, sun, and all that stands in the room, W.
    fn gain_w(&self, air: Air) -> f64 {
        let scenario = self.plants[0].scenario;
        let sun_w = self.room.sun.map_or(0.0, |shine| mean_sun_w(scenario, shine));
        let plants_w: f64 = self.plants.iter().map(|plant| plant.given_to_room_w(air)).sum();
        self.room.internal_gain_w + sun_w + plants_w
    }
}

impl StillPlant<'_> {
    /// Heat of tanks and electricity to the room, W.
    fn given_to_room_w(&self, air: Air) -> f64 {
        let scenario = self.scenario;
        let losses = self.losses(scenario.water.target_c, air);
        let into_room =
            |path: &&LossPath| ![EVAPORATION, MAKE_UP_WATER, AUTOMATIC_CHANGE].contains(&path.path.as_str());
        let tanks_w: f64 = losses
            .paths
            .iter()
            .filter(into_room)
            .map(|path| path.loss_w)
            .sum();
        let pump_w = |pump: &Pump| pump.power_w * (1.0 - pump.share_to_water_frac) * of_day_frac(pump.hours);
        let light_w = |light: &Light| {
            light.power_w * (1.0 - light.share_to_water_frac) * of_day_frac(Some(light.hours()))
        };
        let fans = scenario.fans.iter().zip(&self.fans_on).filter(|(_, on)| **on);
        let electricity_w = scenario.pumps.iter().map(pump_w).sum::<f64>()
            + scenario.lights.iter().map(light_w).sum::<f64>()
            + scenario.air_pumps.iter().map(|pump| pump.power_w).sum::<f64>()
            + fans.map(|(fan, _)| fan.power_w).sum::<f64>();
        let heaters = self.heaters_on(scenario.water.target_c);
        let gains_w: f64 = self.gains.iter().map(|gain| gain.power_w).sum();
        let needed_w = (losses.total_w() - gains_w).clamp(0.0, heaters.to_water_w);
        let beside_w = if heaters.to_water_w > 0.0 {
            (heaters.drawn_w - heaters.to_water_w) * needed_w / heaters.to_water_w
        } else {
            0.0
        };
        tanks_w + electricity_w + beside_w
    }
}

/// Dry air that goes through a room, kg/s.
fn ventilation_kg_per_s(room: &LumpedRoom, air: Air) -> f64 {
    let density = moist_air::dry_air_density_kg_per_m3(air.temp_c, air.vapour_pressure_pa, air.pressure_pa);
    room.air_changes_per_s * density * room.volume_m3
}
