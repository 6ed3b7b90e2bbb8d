//! Equipment that moves heat or water: flows, pumps, heaters, fans, lights, top-off.

use crate::ids::{ContactId, PumpId, TankId};
use crate::time::Millis;

/// Water pumped from one tank to another and running back.
#[derive(Debug, Clone, PartialEq)]
pub struct Flow {
    /// From this tank …
    pub from: TankId,
    /// … to this one, and back.
    pub to: TankId,
    /// Volume flow each way, m³/s.
    pub rate_m3_per_s: f64,
    /// The pump that makes it; `None`: it never stops.
    pub pump: Option<PumpId>,
}

/// A pump.
#[derive(Debug, Clone, PartialEq)]
pub struct Pump {
    /// Name, unique among pumps.
    pub name: String,
    /// Electrical power, W.
    pub power_w: f64,
    /// The tank that takes its heat.
    pub tank: TankId,
    /// Share of the power that ends in the water: 1 submerged, 0.5 external unless stated.
    pub share_to_water_frac: f64,
}

/// A heater.
#[derive(Debug, Clone, PartialEq)]
pub struct Heater {
    /// Name, unique among heaters.
    pub name: String,
    /// Electrical power at rated mains voltage, W.
    pub power_w: f64,
    /// The tank it hangs in.
    pub tank: TankId,
    /// Contacts in series, mains first; all must be closed for current to flow.
    pub chain: Vec<ContactId>,
    /// Its body.
    pub body: HeaterBody,
}

/// The body of an immersed heater.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeaterBody {
    /// Heat capacity of tube and filling, J/K.
    pub heat_capacity_j_per_k: f64,
    /// Length of the heated tube, m.
    pub length_m: f64,
    /// Diameter of the tube, m.
    pub diameter_m: f64,
    /// Speed of the water along it, m/s; 0 = natural convection.
    pub water_speed_m_per_s: f64,
    /// The pump that makes that speed; without it the speed always holds.
    pub speed_pump: Option<PumpId>,
}

/// A fan over the water.
#[derive(Debug, Clone, PartialEq)]
pub struct Fan {
    /// Name, unique among fans.
    pub name: String,
    /// The tank it blows over.
    pub tank: TankId,
    /// Electrical power, W; heats the room.
    pub power_w: f64,
    /// Air speed over the surface, m/s.
    pub speed_m_per_s: f64,
    /// Length along the flow, m; loader's default: the shorter side of the tank.
    pub length_m: f64,
    /// Share of the open surface it reaches, 0..=1.
    pub share_frac: f64,
    /// Contacts in series.
    pub chain: Vec<ContactId>,
}

/// A lamp.
#[derive(Debug, Clone, PartialEq)]
pub struct Light {
    /// Name, unique among lights.
    pub name: String,
    /// The tank it shines on.
    pub tank: TankId,
    /// Electrical power, W.
    pub power_w: f64,
    /// Share of the power that ends in the water.
    pub share_to_water_frac: f64,
    /// On at this time of day, ms after midnight.
    pub on_ms: Millis,
    /// Off at this time of day; equal to `on_ms`: always on.
    pub off_ms: Millis,
}

/// Make-up of evaporated water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TopOff {
    /// Where it enters; the water lost by all tanks of the system is made up here.
    pub tank: TankId,
    /// Its temperature.
    pub temperature: TopOffTemperature,
}

/// How warm the make-up water is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TopOffTemperature {
    /// As warm as the room air.
    Room,
    /// As warm as the tank it enters.
    Tank,
    /// A fixed temperature, °C.
    Fixed {
        /// °C.
        temp_c: f64,
    },
}
