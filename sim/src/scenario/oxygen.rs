//! Oxygen: what the stock needs, and what brings it into the water.

use crate::ids::TankId;
use crate::time::Millis;

/// What the stock needs and how fast still and moved water takes oxygen up; only where the file states a stock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Oxygen {
    /// What all livestock together needs at `demand_at_c`, mg/s; it spreads over the tanks with livestock by their water.
    pub demand_mg_per_s: f64,
    /// °C.
    pub demand_at_c: f64,
    /// Rise of the demand per 10 K, as a factor.
    pub q10: f64,
    /// Transfer coefficient of a surface over moved water at 20 °C, m/s.
    pub moved_m_per_s: f64,
    /// Transfer coefficient of a surface over still water at 20 °C, m/s.
    pub still_m_per_s: f64,
    /// Share of the transfer that a lid leaves, 0..=1.
    pub under_lid_frac: f64,
}

/// An air pump with its stone.
#[derive(Debug, Clone, PartialEq)]
pub struct AirPump {
    /// Name, unique among air pumps.
    pub name: String,
    /// The tank it bubbles through.
    pub tank: TankId,
    /// Water it would bring to saturation per time at 20 °C, m³/s: its transfer coefficient times its area.
    pub transfer_m3_per_s: f64,
    /// Electrical power from the mains, W; heats the room.
    pub power_w: f64,
    /// How long a battery keeps it going without mains, ms; `None`: it has none. Full at the start of every outage.
    pub battery_ms: Option<Millis>,
}
