//! The air around the tanks: prescribed, or a room that answers.

use crate::network::AirCourse;
use crate::physics::moist_air::Air;
use crate::room::{DeviceState, RoomAir, RoomGain};
use crate::scenario::{Effect, Happening, Scenario};
use crate::scores::{J_PER_KWH, RoomScores};
use crate::time::{Millis, hours};
use crate::weather::Weather;

/// The air of one run.
#[derive(Debug, Clone)]
pub(super) struct Surroundings {
    prescribed: Weather,
    room: Option<RoomAir>,
    seen: RoomScores,
}

impl Surroundings {
    pub(super) fn new(scenario: &Scenario, seed: u64, replicate: u64) -> Self {
        Self {
            prescribed: Weather::new(scenario, seed, replicate),
            room: RoomAir::new(scenario, seed, replicate),
            seen: RoomScores {
                lowest_c: f64::INFINITY,
                highest_c: f64::NEG_INFINITY,
                highest_humidity_frac: 0.0,
                saturated_h: 0.0,
                heating_kwh: None,
                cooling_kwh: None,
            },
        }
    }

    /// Whether the room answers to what stands in it.
    pub(super) fn answers(&self) -> bool {
        self.room.is_some()
    }

    /// Recomputes what happenings and the mains do to the room; true if the air changed at once.
    pub(super) fn apply<'a>(
        &mut self,
        now_ms: Millis,
        active: impl Iterator<Item = (&'a Happening, Millis)>,
        grid_on: bool,
    ) -> bool {
        use crate::scenario::RoomDevice::{Cooling, Heating};
        let mut shift_k = 0.0;
        let mut states = [(Heating, DeviceState::Working), (Cooling, DeviceState::Working)];
        for (happening, began_ms) in active {
            let (device, state) = match happening.effect {
                Effect::RoomShift { by_k } => {
                    shift_k += by_k;
                    continue;
                }
                Effect::RoomCooled { by_k, k_per_h } => {
                    shift_k -= (k_per_h * hours(now_ms - began_ms)).min(by_k);
                    continue;
                }
                Effect::RoomDeviceOff(device) => (device, DeviceState::Off),
                Effect::RoomDeviceStuckOn(device) => (device, DeviceState::StuckOn),
                _ => continue,
            };
            for entry in states.iter_mut().filter(|entry| entry.0 == device) {
                // Off over stuck on, whatever the order.
                if entry.1 != DeviceState::Off {
                    entry.1 = state;
                }
            }
        }
        match &mut self.room {
            Some(room) => {
                for (device, state) in states {
                    let state = if grid_on || room.runs_without_power(device) {
                        state
                    } else {
                        DeviceState::Off
                    };
                    room.set_device(device, state);
                }
                room.set_shift(shift_k);
                false
            }
            None => self.prescribed.set_shift(shift_k),
        }
    }

    /// Whether the chains of the room's heating and cooling are closed from now on.
    pub(super) fn set_chains(&mut self, heating_closed: bool, cooling_closed: bool) {
        if let Some(room) = &mut self.room {
            room.set_chains(heating_closed, cooling_closed);
        }
    }

    /// Moves an answering room over the minute that begins now.
    pub(super) fn step(&mut self, now_ms: Millis, gain: RoomGain) {
        if let Some(room) = &mut self.room {
            room.step(now_ms, gain);
        }
    }

    /// Heat of the sun now, W.
    pub(super) fn sun_w(&self, shine: crate::scenario::SunShine, at_ms: Millis) -> f64 {
        self.prescribed.sun_w(shine, at_ms)
    }

    /// Takes note of the air now.
    pub(super) fn note(&mut self, now_ms: Millis) {
        let air = self.air_at(now_ms);
        if now_ms >= 0 {
            self.seen.lowest_c = self.seen.lowest_c.min(air.temp_c);
            self.seen.highest_c = self.seen.highest_c.max(air.temp_c);
            let humidity_frac = air.relative_humidity_frac();
            self.seen.highest_humidity_frac = self.seen.highest_humidity_frac.max(humidity_frac);
        }
    }

    /// What the room was like in the scored time.
    pub(super) fn scores(&self) -> RoomScores {
        let moved_j = self.room.as_ref().map(RoomAir::moved_j);
        RoomScores {
            saturated_h: self.room.as_ref().map_or(0.0, RoomAir::saturated_h),
            heating_kwh: moved_j.map(|(heated_j, _)| heated_j / J_PER_KWH),
            cooling_kwh: moved_j.map(|(_, cooled_j)| cooled_j / J_PER_KWH),
            ..self.seen.clone()
        }
    }
}

impl AirCourse for Surroundings {
    fn straight_to_ms(&self, from_ms: Millis) -> Millis {
        match &self.room {
            Some(room) => room.straight_to_ms(from_ms),
            None => self.prescribed.straight_to_ms(from_ms),
        }
    }

    fn air(&mut self, minute_ms: Millis) -> Air {
        match &mut self.room {
            Some(room) => room.air(minute_ms),
            None => self.prescribed.air(minute_ms),
        }
    }

    fn air_at(&mut self, at_ms: Millis) -> Air {
        match &mut self.room {
            Some(room) => room.air_at(at_ms),
            None => self.prescribed.air_at(at_ms),
        }
    }
}
