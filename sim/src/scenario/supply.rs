//! Where electricity comes from: circuits that a breaker and a residual-current device guard, and what goes on without the mains.

use crate::ids::{AirPumpId, ChillerId, ContactId, FanId, HeaterId, LightId, PumpId};
use crate::scenario::Scenario;
use crate::time::Millis;

/// Power of a controller with its relays, W. An assumption, no source. Valid for a small one.
pub const CONTROLLER_W: f64 = 5.0;
/// Power of a router, W. An assumption, no source. Valid for a household's.
pub const ROUTER_W: f64 = 10.0;

/// Something that runs on electricity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Load {
    /// A heater.
    Heater(HeaterId),
    /// A pump.
    Pump(PumpId),
    /// A fan.
    Fan(FanId),
    /// A chiller.
    Chiller(ChillerId),
    /// A light.
    Light(LightId),
    /// An air pump.
    AirPump(AirPumpId),
    /// The pumps of top-off and automatic water change.
    TopOff,
    /// The box that runs the strategy and holds its relays.
    Controller,
    /// What carries alerts out of the house.
    Router,
}

/// A circuit of the house: whatever trips it takes all it feeds.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// Name, unique among circuits.
    pub name: String,
    /// Nominal voltage, V.
    pub voltage_v: f64,
    /// Its breaker's rating, A; `None`: none that matters.
    pub breaker_a: Option<f64>,
    /// A residual-current device guards it.
    pub residual_current: bool,
    /// What hangs on it.
    pub feeds: Vec<Load>,
}

/// What feeds some loads while the mains do not.
#[derive(Debug, Clone, PartialEq)]
pub struct Backup {
    /// Name, unique among backups.
    pub name: String,
    /// What it lives on.
    pub store: Store,
    /// It feeds no more than this, W.
    pub limit_w: f64,
    /// What it draws itself while it feeds, W.
    pub idle_w: f64,
    /// What it feeds, the most important first: each that by its rated power still fits under the limit.
    pub feeds: Vec<Load>,
}

/// What a backup lives on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Store {
    /// A battery, full at the start and again after the mains are back.
    Battery {
        /// Energy that can be taken out of it, J.
        usable_j: f64,
    },
    /// A generator.
    Generator {
        /// How long its fuel lasts, ms.
        fuel_ms: Millis,
        /// It runs this long after the mains went, ms; `None`: only once somebody has started it.
        starts_after_ms: Option<Millis>,
    },
}

/// "heater left"; a thing whose name says already what it is needs no word before it: "heater", "big heater", "heater 2".
#[must_use]
pub fn called(what: &str, name: &str) -> String {
    let mut words = name.split_whitespace();
    if words.any(|word| word.eq_ignore_ascii_case(what)) {
        name.to_owned()
    } else {
        format!("{what} {name}")
    }
}

impl Scenario {
    /// Everything that runs on electricity, kind by kind in the order of [`Load`].
    pub fn loads(&self) -> impl Iterator<Item = Load> {
        let heaters = (0..self.heaters.len()).map(|at| Load::Heater(HeaterId(at)));
        let pumps = (0..self.pumps.len()).map(|at| Load::Pump(PumpId(at)));
        let fans = (0..self.fans.len()).map(|at| Load::Fan(FanId(at)));
        let chillers = (0..self.chillers.len()).map(|at| Load::Chiller(ChillerId(at)));
        let lights = (0..self.lights.len()).map(|at| Load::Light(LightId(at)));
        let air_pumps = (0..self.air_pumps.len()).map(|at| Load::AirPump(AirPumpId(at)));
        let heat = heaters.chain(pumps).chain(fans).chain(chillers);
        let others = lights.chain(air_pumps);
        heat.chain(others)
            .chain([Load::TopOff, Load::Controller, Load::Router])
    }

    /// The chain of contacts of everything that has one.
    pub fn chains(&self) -> impl Iterator<Item = (Load, &[ContactId])> {
        self.loads().filter_map(|load| {
            let chain = match load {
                Load::Heater(heater) => &self.heaters[heater.0].chain,
                Load::Fan(fan) => &self.fans[fan.0].chain,
                Load::Chiller(chiller) => &self.chillers[chiller.0].chain,
                _ => return None,
            };
            Some((load, chain.as_slice()))
        })
    }

    /// Everything in whose chain a contact stands.
    pub fn behind(&self, contact: ContactId) -> impl Iterator<Item = Load> {
        let chains = self.chains();
        chains.filter_map(move |(load, chain)| chain.contains(&contact).then_some(load))
    }

    /// What a load draws when it runs, W.
    #[must_use]
    pub fn rated_w(&self, load: Load) -> f64 {
        match load {
            Load::Heater(heater) => self.heaters[heater.0].power_w,
            Load::Pump(pump) => self.pumps[pump.0].power_w,
            Load::Fan(fan) => self.fans[fan.0].power_w,
            Load::Chiller(chiller) => {
                let chiller = &self.chillers[chiller.0];
                chiller.capacity_w / chiller.performance_frac
            }
            Load::Light(light) => self.lights[light.0].power_w,
            Load::AirPump(pump) => self.air_pumps[pump.0].power_w,
            Load::TopOff => 0.0,
            Load::Controller => CONTROLLER_W,
            Load::Router => ROUTER_W,
        }
    }

    /// A load in words: "heater left", "the controller".
    #[must_use]
    pub fn load_name(&self, load: Load) -> String {
        match load {
            Load::Heater(heater) => called("heater", &self.heaters[heater.0].name),
            Load::Pump(pump) => called("pump", &self.pumps[pump.0].name),
            Load::Fan(fan) => called("fan", &self.fans[fan.0].name),
            Load::Chiller(chiller) => called("chiller", &self.chillers[chiller.0].name),
            Load::Light(light) => called("light", &self.lights[light.0].name),
            Load::AirPump(pump) => called("air pump", &self.air_pumps[pump.0].name),
            Load::TopOff => "the top-off".to_owned(),
            Load::Controller => "the controller".to_owned(),
            Load::Router => "the router".to_owned(),
        }
    }

    /// Whether a load runs without anybody's asking, but for its hours: all but what a chain or a thermostat switches.
    #[must_use]
    pub fn runs_by_itself(load: Load) -> bool {
        !matches!(load, Load::Heater(_) | Load::Fan(_) | Load::Chiller(_))
    }
}
