//! A room as one lump: its air answers to the tanks, the weather outdoors, people, sun, heating and cooling.
//!
//! # Equation
//! ```text
//! C dT/dt   = (UA + ṁ c_p) (T_out − T) + Q_device + Q_internal + Q_sun + Q_tanks
//! V ρ dW/dt = ṁ (W_out − W) + E + moisture,   W at most saturated: the excess runs down the windows
//! ṁ = air changes · V · ρ
//! heating on below its setpoint − half its deadband, off above its setpoint + half, and off while a contact of its chain is open, all looked
//! at once a minute; cooling the other way round
//! ```
//! Solved exactly over each minute with everything on the right held at its value at the minute's start.
//!
//! # Units
//! T °C, W kg/kg dry air, heat W (positive into the room), moisture kg/s, C J/K, UA W/K, V m³, ρ kg/m³.
//!
//! # Source
//! Energy and moisture balance of a well-mixed zone, as in any text of building physics (from memory); psychrometrics: `physics/moist_air.rs`.
//!
//! # Valid for
//! Rooms whose time constant is well above a minute.
//!
//! # Left out
//! Walls that store heat beyond the stated capacity; heat of the condensate, which stays with the window.
//!
//! # Checked by
//! `tests/verification/lumped_room.rs`.

use crate::network::AirCourse;
use crate::physics::dry_air::DryAir;
use crate::physics::moist_air;
use crate::physics::moist_air::Air;
use crate::physics::vapour::saturation_pressure_pa;
use crate::scenario::{LumpedRoom, RoomDevice, RoomThermostat, Scenario};
use crate::time::{MINUTE, Millis, hours, seconds};
use crate::weather::Weather;

/// What the tanks and the electricity around them give a room.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RoomGain {
    /// Heat that is not bound in vapour, W.
    pub heat_w: f64,
    /// Water vapour, kg/s.
    pub moisture_kg_per_s: f64,
}

impl std::ops::AddAssign for RoomGain {
    fn add_assign(&mut self, other: Self) {
        self.heat_w += other.heat_w;
        self.moisture_kg_per_s += other.moisture_kg_per_s;
    }
}

/// How one of the room's devices does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DeviceState {
    /// By its thermostat.
    #[default]
    Working,
    /// Never.
    Off,
    /// Always.
    StuckOn,
}

/// The lumped room of one run.
#[derive(Debug, Clone)]
pub struct RoomAir {
    room: LumpedRoom,
    pressure_pa: f64,
    outdoors: Weather,
    minute_ms: Millis,
    now: State,
    next: State,
    heating: Device,
    cooling: Device,
    saturated_ms: Millis,
}

#[derive(Debug, Clone, Copy)]
struct State {
    temp_c: f64,
    humidity_ratio: f64,
}

#[derive(Debug, Clone, Copy)]
struct Device {
    thermostat: Option<RoomThermostat>,
    state: DeviceState,
    /// Every contact of its chain is closed.
    chain_closed: bool,
    on: bool,
    /// Heat given or taken in the scored time, J.
    moved_j: f64,
}

impl RoomAir {
    /// The room of a scenario at the start of its warm-up; `None` if its air is prescribed.
    #[must_use]
    pub fn new(scenario: &Scenario, seed: u64, replicate: u64) -> Option<Self> {
        let room = scenario.room.lumped.clone()?;
        let mut outdoors = Weather::new(scenario, seed, replicate);
        let start_ms = -scenario.warm_up_ms;
        let outside = outdoors.air_at(start_ms);
        // A room that is lived in starts where its devices would hold it.
        let warmed = room
            .heating
            .map_or(outside.temp_c, |heating| outside.temp_c.max(heating.setpoint_c));
        let temp_c = room
            .cooling
            .map_or(warmed, |cooling| warmed.min(cooling.setpoint_c));
        let start = State {
            temp_c,
            humidity_ratio: outside
                .humidity_ratio()
                .min(saturated_ratio(temp_c, outside.pressure_pa)),
        };
        let device = |thermostat| Device {
            thermostat,
            state: DeviceState::Working,
            chain_closed: true,
            on: false,
            moved_j: 0.0,
        };
        Some(Self {
            pressure_pa: scenario.water.pressure_pa,
            heating: device(room.heating),
            cooling: device(room.cooling),
            room,
            outdoors,
            minute_ms: start_ms.div_euclid(MINUTE) * MINUTE,
            now: start,
            next: start,
            saturated_ms: 0,
        })
    }

    /// Makes the weather outdoors warmer by this from now on, K; true if that is a change.
    pub fn set_shift(&mut self, shift_k: f64) -> bool {
        self.outdoors.set_shift(shift_k)
    }

    /// Whether a device goes on in an outage.
    #[must_use]
    pub fn runs_without_power(&self, device: RoomDevice) -> bool {
        let device = match device {
            RoomDevice::Heating => &self.heating,
            RoomDevice::Cooling => &self.cooling,
        };
        device
            .thermostat
            .is_some_and(|thermostat| thermostat.runs_without_power)
    }

    /// How a device does from now on.
    pub fn set_device(&mut self, device: RoomDevice, state: DeviceState) {
        match device {
            RoomDevice::Heating => self.heating.state = state,
            RoomDevice::Cooling => self.cooling.state = state,
        }
    }

    /// Whether the chains of heating and cooling are closed from now on.
    pub fn set_chains(&mut self, heating_closed: bool, cooling_closed: bool) {
        self.heating.chain_closed = heating_closed;
        self.cooling.chain_closed = cooling_closed;
    }

    /// Heat that heating gave and cooling took in the scored time, J.
    #[must_use]
    pub fn moved_j(&self) -> (f64, f64) {
        (self.heating.moved_j, self.cooling.moved_j)
    }

    /// Moves the room over the whole minute that begins at `minute_ms`.
    pub fn step(&mut self, minute_ms: Millis, gain: RoomGain) {
        self.minute_ms = minute_ms;
        self.now = self.next;
        self.heating.decide(self.now.temp_c, true);
        self.cooling.decide(self.now.temp_c, false);
        if minute_ms >= 0 {
            for device in [&mut self.heating, &mut self.cooling] {
                device.moved_j += device.heat_w() * seconds(MINUTE);
            }
        }
        let outside = self.outdoors.air_at(minute_ms + MINUTE / 2);
        let air = Air {
            temp_c: self.now.temp_c,
            ..self.air_of(self.now)
        };
        let dry_kg_per_m3 =
            moist_air::dry_air_density_kg_per_m3(air.temp_c, air.vapour_pressure_pa, air.pressure_pa);
        let dry_kg = dry_kg_per_m3 * self.room.volume_m3;
        let flow_kg_per_s = self.room.air_changes_per_s * dry_kg;
        let specific_heat = DryAir::at(air.temp_c, air.pressure_pa).specific_heat_j_per_kg_k;
        let sun_w = self
            .room
            .sun
            .map_or(0.0, |sun| self.outdoors.sun_w(sun, minute_ms + MINUTE / 2));
        let heat_w =
            self.room.internal_gain_w + sun_w + gain.heat_w + self.heating.heat_w() - self.cooling.heat_w();
        let moisture = self.room.moisture_kg_per_s + gain.moisture_kg_per_s;
        let conductance = self.room.envelope_w_per_k + flow_kg_per_s * specific_heat;
        let step_s = seconds(MINUTE);
        self.next.temp_c = relax(
            self.now.temp_c,
            outside.temp_c,
            conductance,
            heat_w,
            self.room.heat_capacity_j_per_k,
            step_s,
        );
        let humid = relax(
            self.now.humidity_ratio,
            outside.humidity_ratio(),
            flow_kg_per_s,
            moisture,
            dry_kg,
            step_s,
        );
        let saturated = saturated_ratio(self.next.temp_c, self.pressure_pa);
        if humid >= saturated && minute_ms >= 0 {
            self.saturated_ms += MINUTE;
        }
        self.next.humidity_ratio = humid.min(saturated);
    }

    /// Hours of the scored time in which the air was saturated and windows ran.
    #[must_use]
    pub fn saturated_h(&self) -> f64 {
        hours(self.saturated_ms)
    }

    fn air_of(&self, state: State) -> Air {
        Air {
            temp_c: state.temp_c,
            vapour_pressure_pa: moist_air::vapour_pressure_pa(state.humidity_ratio, self.pressure_pa),
            pressure_pa: self.pressure_pa,
        }
    }
}

impl AirCourse for RoomAir {
    /// Straight on from the present minute: what lies further ahead is a guess that the next minutes correct.
    fn air(&mut self, minute_ms: Millis) -> Air {
        let minutes = (minute_ms - self.minute_ms) as f64 / MINUTE as f64;
        let ahead = |now: f64, next: f64| now + (next - now) * minutes;
        self.air_of(State {
            temp_c: ahead(self.now.temp_c, self.next.temp_c),
            humidity_ratio: ahead(self.now.humidity_ratio, self.next.humidity_ratio).max(0.0),
        })
    }
}

impl Device {
    fn decide(&mut self, temp_c: f64, heats: bool) {
        let Some(thermostat) = self.thermostat else { return };
        let too_far_k = if heats {
            thermostat.setpoint_c - temp_c
        } else {
            temp_c - thermostat.setpoint_c
        };
        let half_k = 0.5 * thermostat.deadband_k;
        self.on = match self.state {
            _ if !self.chain_closed => false,
            DeviceState::Off => false,
            DeviceState::StuckOn => true,
            DeviceState::Working if too_far_k > half_k => true,
            DeviceState::Working if too_far_k < -half_k => false,
            DeviceState::Working => self.on,
        };
    }

    fn heat_w(&self) -> f64 {
        self.thermostat
            .filter(|_| self.on)
            .map_or(0.0, |thermostat| thermostat.power_w)
    }
}

/// Humidity ratio of saturated air.
fn saturated_ratio(temp_c: f64, pressure_pa: f64) -> f64 {
    moist_air::humidity_ratio(saturation_pressure_pa(temp_c), pressure_pa)
}

/// y after a time of C dy/dt = K (y_out − y) + G, exactly.
fn relax(now: f64, outside: f64, conductance: f64, gain: f64, capacity: f64, step_s: f64) -> f64 {
    if conductance <= 0.0 {
        return now + gain / capacity * step_s;
    }
    let end = outside + gain / conductance;
    end + (now - end) * libm::exp(-conductance / capacity * step_s)
}
