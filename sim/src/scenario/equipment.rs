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
    /// When it runs, if not always.
    pub hours: Option<DailyHours>,
    /// It draws air and moves nothing while the water of its tank is lower than this, m.
    pub starves_below_m: f64,
}

/// A stretch of every day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DailyHours {
    /// Begins at this time of day, ms after midnight.
    pub on_ms: Millis,
    /// Ends at this time of day; equal to `on_ms`: the whole day.
    pub off_ms: Millis,
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
    /// How it heats.
    pub kind: HeaterKind,
    /// It hangs in air while the water of its tank is lower than this, m.
    pub exposed_below_m: f64,
}

/// How a heater heats.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum HeaterKind {
    /// A tube in the water of its tank.
    Immersed,
    /// In a pipe: its body meets flowing water only while this pump runs; else it is as if dry, and the little water that would boil away in
    /// the pipe first is left out.
    FlowThrough {
        /// The pump.
        pump: PumpId,
    },
    /// A tube whose resistance rises with its own temperature: full power up to `full_to_c`, none from `none_from_c` on, a straight
    /// line between.
    SelfLimiting {
        /// °C.
        full_to_c: f64,
        /// °C.
        none_from_c: f64,
    },
    /// A mat under the bottom pane: this share of its heat goes into the water, the rest into the room.
    Mat {
        /// 0..=1.
        share_to_water_frac: f64,
    },
}

/// A chiller in line with the water.
#[derive(Debug, Clone, PartialEq)]
pub struct Chiller {
    /// Name, unique among chillers.
    pub name: String,
    /// The tank it cools.
    pub tank: TankId,
    /// Heat it takes from the water, W.
    pub capacity_w: f64,
    /// Heat taken per electricity used, > 0.
    pub performance_frac: f64,
    /// Shortest time off between two runs, ms.
    pub shortest_off_ms: Millis,
    /// Its freeze protection stops it while the water is colder than this, °C.
    pub stops_below_c: f64,
    /// The pump whose flow it needs; `None`: a pump of its own.
    pub pump: Option<PumpId>,
    /// Its heat goes outdoors, not into the room.
    pub rejects_outdoors: bool,
    /// Contacts in series.
    pub chain: Vec<ContactId>,
}

/// Direct sun on a tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Sun {
    /// Name, unique among suns.
    pub name: String,
    /// The tank.
    pub tank: TankId,
    /// How much of it the water takes up, and when.
    pub shine: SunShine,
}

/// Heat of the sun over the day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SunShine {
    /// A half sine between two times of day.
    Daily {
        /// Heat at the middle of the stretch, W.
        peak_w: f64,
        /// When it shines.
        hours: DailyHours,
    },
    /// The weather file's sun on a level square metre times this area.
    Weather {
        /// Area × share that gets through, m².
        area_m2: f64,
    },
}

/// Water exchanged a little at a time, day and night.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AutomaticChange {
    /// The tank it goes through.
    pub tank: TankId,
    /// New water, m³/s; as much goes out.
    pub rate_m3_per_s: f64,
    /// Temperature of the new water.
    pub temperature: TopOffTemperature,
    /// Absolute salinity of the new water, g/kg.
    pub salinity_g_per_kg: f64,
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

impl Light {
    /// When it is on.
    #[must_use]
    pub fn hours(&self) -> DailyHours {
        DailyHours {
            on_ms: self.on_ms,
            off_ms: self.off_ms,
        }
    }
}

/// Make-up of evaporated water: a float switch in one tank and a pump for fresh water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TopOff {
    /// Where it enters, and whose level it holds; the water lost by all tanks of the system is made up here.
    pub tank: TankId,
    /// Its temperature.
    pub temperature: TopOffTemperature,
    /// The most its pump moves, kg/s.
    pub rate_kg_per_s: f64,
    /// What its reservoir holds at time zero, kg; `None`: it does not run out.
    pub reservoir_kg: Option<f64>,
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
