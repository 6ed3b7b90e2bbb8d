//! What there is and what happens: tanks, equipment, circuit, room, happenings, livestock.
//!
//! Plain checked data in SI units (temperatures in °C, differences in K, times in ms). A scenario knows
//! nothing of who controls it. Names are unique within each list; every id points into its list
//! (`tepid-scenarios` checks both before it hands a scenario out).

mod contact;
mod equipment;
mod fitted;
mod happening;
mod life;
mod livestock;
mod oxygen;
mod person;
mod probe;
mod room;
mod supply;
mod systems;
mod tank;
mod tariff;
mod watch;

pub use contact::{Contact, ContactKind, OwnSensing, Reset, Role, SensedAt};
pub use equipment::{
    AutomaticChange, Chiller, DailyHours, Fan, Flow, Heater, HeaterBody, HeaterKind, Light, Pump, Sun,
    SunShine, TopOff, TopOffTemperature,
};
pub use fitted::Fitted;
pub use happening::{Effect, Happening, Lasts, Origin, Outputs, Restart, RoomDevice, When};
pub use life::{Counted, Fails, Guard, Hazard, Life, PartLife};
pub use livestock::{DangerLine, Livestock};
pub use oxygen::{AirPump, Oxygen};
pub use person::{Person, Response, ResponseTime};
pub use probe::{Probe, ProbePurpose};
pub use room::{Humidity, LumpedRoom, Room, RoomTemperature, RoomThermostat, VerdictRoom};
pub use supply::{Backup, CONTROLLER_W, Circuit, Load, ROUTER_W, Store, called};
pub use systems::{BetweenSystems, Members, WaterSystem};
pub use tank::{
    CabinetAir, Cover, Evaporation, Pane, PaneMaterial, ROCK_DENSITY_KG_PER_M3, ROCK_FILM_W_PER_K_KG,
    ROCK_SPECIFIC_HEAT_J_PER_KG_K, Tank,
};
pub use tariff::{PricedHours, Tariff};
pub use watch::{ActKind, ActsBy, Need, Watch, WatchAct, WatchRule};

use crate::ids::{BoxId, ContactId};
use crate::time::Millis;

/// Water systems that share a room and its circuits (usually one), and what befalls them.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    /// Short name, as in the library and in result tables.
    pub name: String,
    /// One line for people.
    pub title: String,
    /// Two lines on what it teaches; empty if the file says nothing.
    pub teaches: String,
    /// Scored time, ms, > 0.
    pub duration_ms: Millis,
    /// Unscored time before time zero, ms, ≥ 0; no faults happen in it.
    pub warm_up_ms: Millis,
    /// Calendar date of day 1, if the scenario is tied to a season.
    pub start_date: Option<CalendarDate>,
    /// Temperature at which all water, rock and bodies begin the warm-up, °C; `None`: the target.
    pub start_c: Option<f64>,
    /// The water.
    pub water: Water,
    /// What lives in it and what it bears.
    pub livestock: Livestock,
    /// Water bodies, at least one.
    pub tanks: Vec<Tank>,
    /// Flows that join tanks.
    pub flows: Vec<Flow>,
    /// The air around the tanks.
    pub room: Room,
    /// Pumps.
    pub pumps: Vec<Pump>,
    /// Heaters.
    pub heaters: Vec<Heater>,
    /// Fans over open water.
    pub fans: Vec<Fan>,
    /// Lights.
    pub lights: Vec<Light>,
    /// Chillers.
    pub chillers: Vec<Chiller>,
    /// Air pumps.
    pub air_pumps: Vec<AirPump>,
    /// Direct sun on tanks.
    pub suns: Vec<Sun>,
    /// Water exchanged all the time.
    pub automatic_change: Option<AutomaticChange>,
    /// Make-up of evaporated water; `None`: nobody tops off.
    pub top_off: Option<TopOff>,
    /// Contacts of all chains.
    pub contacts: Vec<Contact>,
    /// Names of the boxes that contacts sit in.
    pub boxes: Vec<String>,
    /// Probes.
    pub probes: Vec<Probe>,
    /// Planned events and faults that belong to the scenario itself (not to a named fault set).
    pub happenings: Vec<Happening>,
    /// Fault sets the scenario's file defines, by name; the built-in sets need no entry.
    pub fault_sets: Vec<FaultSet>,
    /// Circuits of the house; what stands on none has one of its own that nothing trips.
    pub circuits: Vec<Circuit>,
    /// What goes on without the mains.
    pub backups: Vec<Backup>,
    /// Alert rules.
    pub watches: Vec<Watch>,
    /// People whom alerts reach.
    pub persons: Vec<Person>,
    /// Lives of parts that the file states; `tepid-scenarios` knows usual ones for the rest.
    pub lives: Vec<PartLife>,
    /// What a log of the real tank said of the model.
    pub fitted: Fitted,
    /// What electricity costs, if that is stated.
    pub tariff: Option<Tariff>,
    /// What was assumed for want of a statement, for people ("display: usual proportions assumed for 300 L").
    pub assumptions: Vec<String>,
}

/// A named list of fault cases; a comparison runs each case by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultSet {
    /// Name as used by studies and `--fault`.
    pub name: String,
    /// The cases.
    pub cases: Vec<FaultCase>,
}

/// One case of a fault set: a fault, and what nobody noticed was broken before.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultCase {
    /// The fault.
    pub fault: Happening,
    /// Latent failures: in place from time zero on, and no harm until the fault.
    pub already: Vec<Happening>,
}

impl From<Happening> for FaultCase {
    fn from(fault: Happening) -> Self {
        Self {
            fault,
            already: Vec::new(),
        }
    }
}

impl FaultCase {
    /// Everything that is broken in it.
    pub fn happenings(&self) -> impl Iterator<Item = &Happening> {
        std::iter::once(&self.fault).chain(&self.already)
    }
}

/// The water and what its keeper wants of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Water {
    /// Absolute salinity, g/kg; 0 = fresh.
    pub salinity_g_per_kg: f64,
    /// The temperature the keeper wants, °C; also where fluxes are linearised.
    pub target_c: f64,
    /// The band the keeper wants, °C, both ends inside it.
    pub band_c: (f64, f64),
    /// The salinity the keeper wants, lowest and highest, g/kg; `None`: none stated.
    pub salinity_range_g_per_kg: Option<(f64, f64)>,
    /// Air pressure, Pa.
    pub pressure_pa: f64,
    /// Which published correlation gives evaporation from still air.
    pub evaporation: Evaporation,
}

/// A day of the Gregorian calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct CalendarDate {
    /// Year.
    pub year: i32,
    /// Month, 1..=12.
    pub month: u8,
    /// Day of the month, 1..=31.
    pub day: u8,
}

impl Scenario {
    /// Temperature at which all begins, °C.
    #[must_use]
    pub fn begins_at_c(&self) -> f64 {
        self.start_c.unwrap_or(self.water.target_c)
    }

    /// What watches may have somebody do, watch by watch.
    pub fn acts(&self) -> impl Iterator<Item = &Happening> {
        let acts = self.watches.iter().flat_map(|watch| &watch.acts);
        acts.map(|act| &act.happening)
    }

    /// The contacts in a box.
    pub fn in_box(&self, wanted: BoxId) -> impl Iterator<Item = ContactId> {
        let numbered = self.contacts.iter().enumerate();
        numbered
            .filter(move |(_, contact)| contact.in_box == Some(wanted))
            .map(|(at, _)| ContactId(at))
    }

    /// What the scenario's own happenings shift the room (or the air outdoors, where the room answers) by at an instant, K.
    #[must_use]
    pub fn room_shift_k(&self, at_ms: Millis) -> f64 {
        let under_way = self
            .happenings
            .iter()
            .filter(|happening| happening.holds_at(at_ms));
        under_way
            .map(|happening| match happening.effect {
                Effect::RoomShift { by_k } => by_k,
                _ => 0.0,
            })
            .sum()
    }
}

impl CalendarDate {
    /// Day of the year, 0 = 1 January.
    #[must_use]
    pub fn day_of_year(self) -> u32 {
        /// Exact for a year of 365 days.
        const BEFORE: [u32; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
        let leap = (self.year % 4 == 0 && self.year % 100 != 0) || self.year % 400 == 0;
        let after_february = leap && self.month > 2;
        BEFORE[usize::from(self.month.clamp(1, 12)) - 1] + u32::from(self.day) - 1 + u32::from(after_february)
    }
}
