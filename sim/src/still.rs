//! A plant in a room that does not change, with powers in their daily mean: budgets, plateaus, courses.
//!
//! Uses the plant and the stepper of every run; nothing is solved another way. Fans that nothing switches run; others, and chillers, do not.
//! A pump by the clock gives its heat in the mean, while its flow counts as never stopping.

mod gains;
mod room;

use crate::network::{
    AirCourse, MAX_NODES, NetworkError, Observer, Passage, Setting, Stepper, StepperSettings, Vector,
};
use crate::physics::moist_air::Air;
use crate::physics::water::{density_kg_per_m3, specific_heat_j_per_kg_k};
use crate::plant::{BodyIn, Plant, ProbePlace};
use crate::scenario::{Chiller, HeaterKind, Scenario, TopOffTemperature};
use crate::time::{DAY, HOUR, MINUTE, Millis};
pub use gains::{Gain, StillHeater};
pub use room::{StillBuilding, StillDevice, StillRoom};

/// How near a plateau must be, K of change over [`SETTLED_OVER_MS`]. A choice: far below what is printed. Valid for
/// plateaus that are approached with time constants of hours, as tanks have.
const SETTLED_K: f64 = 1e-5;

/// Time over which a plateau must not have changed, ms. A choice: most of a tank's time constant. Valid for time
/// constants of hours.
const SETTLED_OVER_MS: Millis = 6 * HOUR;

/// Between two looks on the way to a plateau, ms. A choice: far shorter than what a tank takes to settle, to which
/// it is valid.
const LOOK_MS: Millis = 6 * MINUTE;

/// Give up on a plateau after this long, ms. A choice: far longer than any tank takes that loses heat, for which it
/// is valid.
const SETTLING_LIMIT_MS: Millis = 400 * DAY;

/// Name of the path of heat that leaves as vapour.
const EVAPORATION: &str = "evaporation";

/// Name of the path of heat that warms what replaces evaporated water.
const MAKE_UP_WATER: &str = "make-up water";

/// Name of the path of heat that warms the water of an automatic change.
const AUTOMATIC_CHANGE: &str = "automatic change";

/// Name of the path of heat that a chiller takes.
const CHILLER: &str = "chiller";

/// A scenario's plant, ready to be held in constant rooms.
#[derive(Debug)]
pub struct StillPlant<'a> {
    scenario: &'a Scenario,
    plant: Plant,
    gains: Vec<Gain>,
    /// Fans that run, by position.
    fans_on: Vec<bool>,
}

/// One way heat leaves the water.
#[derive(Debug, Clone, PartialEq)]
pub struct LossPath {
    /// Position of the tank in the scenario.
    pub tank: crate::ids::TankId,
    /// "sides", "bottom", "evaporation", "convection", "radiation", "lid", "make-up water",
    /// "automatic change" or "chiller".
    pub path: String,
    /// Loss, W; negative = gain.
    pub loss_w: f64,
}

/// All losses at one water temperature and air.
#[derive(Debug, Clone, PartialEq)]
pub struct Losses {
    /// By tank and path.
    pub paths: Vec<LossPath>,
    /// Evaporated water, kg/s, net condensation negative.
    pub evaporation_kg_per_s: f64,
}

impl Losses {
    /// Their sum, W.
    #[must_use]
    pub fn total_w(&self) -> f64 {
        self.paths.iter().map(|path| path.loss_w).sum()
    }
}

impl<'a> StillPlant<'a> {
    /// The plant of a scenario under its own covers, pumps running, of its fans and chillers those that nothing switches.
    ///
    /// # Errors
    /// [`NetworkError`] as for [`Plant::compile`].
    pub fn new(scenario: &'a Scenario) -> Result<Self, NetworkError> {
        Ok(Self {
            scenario,
            plant: Plant::compile(scenario, &[])?,
            gains: gains::gains(scenario),
            fans_on: scenario.fans.iter().map(|fan| fan.chain.is_empty()).collect(),
        })
    }

    /// Heat capacity of water, panes that follow it, rock and heater bodies, J/K.
    #[must_use]
    pub fn heat_capacity_j_per_k(&self) -> f64 {
        self.plant.network.heat_capacity_j_per_k()
    }

    /// Air of a room at the scenario's pressure.
    #[must_use]
    pub fn air(&self, temp_c: f64, relative_humidity_frac: f64) -> Air {
        Air::from_relative_humidity(temp_c, relative_humidity_frac, self.scenario.water.pressure_pa)
    }

    /// Every loss with all water at one temperature, °C.
    #[must_use]
    pub fn losses(&self, water_c: f64, air: Air) -> Losses {
        let mut paths = Vec::new();
        let mut evaporation = 0.0;
        for (tank, losses) in self.plant.losses.iter().enumerate() {
            let (names, loss_w, rate) =
                self.plant
                    .network
                    .losses_at(*losses, water_c, air, self.setting(tank));
            paths.extend(names.into_iter().zip(loss_w).map(|(path, loss_w)| LossPath {
                tank: crate::ids::TankId(tank),
                path,
                loss_w,
            }));
            evaporation += rate;
        }
        if let Some(top_off) = self.scenario.top_off {
            let colder_k = colder_k(top_off.temperature, water_c, air);
            let specific_heat = specific_heat_j_per_kg_k(0.0, self.scenario.water.target_c);
            paths.push(LossPath {
                tank: top_off.tank,
                path: MAKE_UP_WATER.to_owned(),
                loss_w: evaporation.max(0.0) * specific_heat * colder_k,
            });
        }
        if let Some(change) = self.scenario.automatic_change {
            paths.push(LossPath {
                tank: change.tank,
                path: AUTOMATIC_CHANGE.to_owned(),
                loss_w: self.change_loss_w(water_c, air),
            });
        }
        paths.extend(self.chillers_on().map(|(_, chiller)| LossPath {
            tank: chiller.tank,
            path: CHILLER.to_owned(),
            loss_w: taken_w(chiller, water_c),
        }));
        Losses {
            paths,
            evaporation_kg_per_s: evaporation,
        }
    }

    /// Further loss per kelvin of warmer water, W/K, over the half kelvin either side of a temperature, °C.
    #[must_use]
    pub fn slope_w_per_k(&self, water_c: f64, air: Air) -> f64 {
        self.losses(water_c + 0.5, air).total_w() - self.losses(water_c - 0.5, air).total_w()
    }

    /// Heat that the new water of an automatic change takes from its tank at a temperature, °C, W.
    fn change_loss_w(&self, water_c: f64, air: Air) -> f64 {
        let water = &self.scenario.water;
        let volumetric = density_kg_per_m3(water.salinity_g_per_kg, water.target_c)
            * specific_heat_j_per_kg_k(water.salinity_g_per_kg, water.target_c);
        self.scenario.automatic_change.map_or(0.0, |change| {
            volumetric * change.rate_m3_per_s * colder_k(change.temperature, water_c, air)
        })
    }

    /// Chillers that nothing switches but their freeze protection, by position.
    fn chillers_on(&self) -> impl Iterator<Item = (usize, &Chiller)> {
        let chillers = self.scenario.chillers.iter().enumerate();
        chillers.filter(|(_, chiller)| chiller.chain.is_empty())
    }

    /// What holds for a tank's losses.
    fn setting(&self, tank: usize) -> Setting {
        let cover = self.scenario.tanks[tank].cover;
        self.plant
            .loss_setting(crate::ids::TankId(tank), cover, &self.fans_on, None, 0.0)
    }

    /// Where each tank's water settles in this air with these heaters on for good, °C, by tank; gains in their daily mean. `None` if
    /// it does not settle within 400 days.
    #[must_use]
    pub fn plateau_c(&self, air: Air, heaters_on: &[bool]) -> Option<Vec<f64>> {
        self.settle(air, heaters_on, SETTLED_K, |_, _| ())
    }

    /// As [`Self::plateau_c`], settled where six hours change less than `settled_k`; calls `look` on the way every six minutes with the
    /// time, ms, and each tank's temperature, °C.
    pub fn settle(
        &self,
        air: Air,
        heaters_on: &[bool],
        settled_k: f64,
        mut look: impl FnMut(Millis, &[f64]),
    ) -> Option<Vec<f64>> {
        let settings = StepperSettings {
            tick_ms: MINUTE,
            refresh_ms: HOUR,
        };
        let mut stepper = self.stepper(heaters_on, settings);
        let mut air = Constant(air);
        let mut before = self.waters_c(&stepper);
        look(0, &before);
        while stepper.now_ms() < SETTLING_LIMIT_MS {
            let six_hours_on_ms = stepper.now_ms() + SETTLED_OVER_MS;
            let mut now = Vec::new();
            while stepper.now_ms() < six_hours_on_ms {
                let next_ms = stepper.now_ms() + LOOK_MS;
                self.regulate(&mut stepper, air.0, heaters_on);
                stepper.advance(next_ms, &mut air, &mut Nobody);
                now = self.waters_c(&stepper);
                look(next_ms, &now);
            }
            let moved_k = now
                .iter()
                .zip(&before)
                .map(|(now, before)| (now - before).abs())
                .fold(0.0, f64::max);
            if moved_k < settled_k {
                return Some(now);
            }
            before = now;
        }
        None
    }

    /// The course from the target on in this air with these heaters on for good, for `length_ms`: calls `look` with the time, ms, and
    /// each tank's temperature, °C, once a minute.
    pub fn follow(
        &self,
        air: Air,
        heaters_on: &[bool],
        length_ms: Millis,
        mut look: impl FnMut(Millis, &[f64]),
    ) {
        let mut stepper = self.stepper(heaters_on, StepperSettings::default());
        let mut air = Constant(air);
        look(0, &self.waters_c(&stepper));
        while stepper.now_ms() < length_ms {
            let next_ms = stepper.now_ms() + MINUTE;
            self.regulate(&mut stepper, air.0, heaters_on);
            stepper.advance(next_ms, &mut air, &mut Nobody);
            look(next_ms, &self.waters_c(&stepper));
        }
    }

    fn stepper(&self, heaters_on: &[bool], settings: StepperSettings) -> Stepper<'_> {
        let node_c = [self.scenario.water.target_c; MAX_NODES];
        let mut stepper = Stepper::new(&self.plant.network, settings, 0, &node_c);
        let pumps = vec![true; self.scenario.pumps.len()];
        let probes = vec![ProbePlace::Own; self.scenario.probes.len()];
        let bodies = vec![BodyIn::MovedWater; self.scenario.heaters.len()];
        stepper.set_mode(self.plant.mode(&pumps, &probes, &bodies));
        for (tank, losses) in self.plant.losses.iter().enumerate() {
            stepper.set_losses(*losses, self.setting(tank));
        }
        let sources = self.plant.pump_sources.iter().chain(&self.plant.light_sources);
        for (gain, source) in self.gains.iter().zip(sources.chain(&self.plant.sun_sources)) {
            stepper.set_power(*source, gain.power_w);
        }
        let heaters = self.scenario.heaters.iter().zip(&self.plant.heater_sources);
        for ((heater, source), on) in heaters.zip(heaters_on) {
            let given_w = self.heater_on(heater, self.scenario.water.target_c).to_water_w;
            stepper.set_power(*source, if *on { given_w } else { 0.0 });
        }
        stepper
    }

    /// Sets the powers that depend on the water's temperature.
    fn regulate(&self, stepper: &mut Stepper<'_>, air: Air, heaters_on: &[bool]) {
        if let Some(change) = self.scenario.automatic_change {
            let water_c = stepper.temp_c(self.plant.water[change.tank.0]);
            let source = self.plant.new_water_sources[change.tank.0];
            stepper.set_power(source, -self.change_loss_w(water_c, air));
        }
        for (index, chiller) in self.chillers_on() {
            let water_c = stepper.temp_c(self.plant.water[chiller.tank.0]);
            stepper.set_power(self.plant.chiller_sources[index], -taken_w(chiller, water_c));
        }
        let heaters = self.scenario.heaters.iter().zip(&self.plant.heater_sources);
        for ((heater, source), on) in heaters.zip(heaters_on) {
            if *on && matches!(heater.kind, HeaterKind::SelfLimiting { .. }) {
                let water_c = stepper.temp_c(self.plant.water[heater.tank.0]);
                stepper.set_power(*source, self.heater_on(heater, water_c).to_water_w);
            }
        }
    }

    fn waters_c(&self, stepper: &Stepper<'_>) -> Vec<f64> {
        self.plant
            .water
            .iter()
            .map(|node| stepper.temp_c(*node))
            .collect()
    }
}

/// Heat that a chiller which runs takes from water at a temperature, °C, W: none where its freeze protection holds it off.
fn taken_w(chiller: &Chiller, water_c: f64) -> f64 {
    if water_c > chiller.stops_below_c {
        chiller.capacity_w
    } else {
        0.0
    }
}

/// How much colder than a tank's water new water is, K.
fn colder_k(temperature: TopOffTemperature, water_c: f64, air: Air) -> f64 {
    match temperature {
        TopOffTemperature::Room => water_c - air.temp_c,
        TopOffTemperature::Tank => 0.0,
        TopOffTemperature::Fixed { temp_c } => water_c - temp_c,
    }
}

/// Air that does not change.
struct Constant(Air);

impl AirCourse for Constant {
    fn air(&mut self, _minute_ms: Millis) -> Air {
        self.0
    }
}

struct Nobody;

impl Observer for Nobody {
    fn crossed(&self, _state: &Vector) -> bool {
        false
    }

    fn observe(&mut self, _passage: &Passage<'_>) {}
}
