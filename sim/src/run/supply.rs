//! Electricity at work: which loads have it, what trips a breaker, how long a backup lasts.
//!
//! # Equation
//! Breaker: `dw/dt = ((I/I_n)² − w)/τ`, trips at w = w_trip and stays so. I = Σ P of what hangs on the circuit over its voltage. Battery:
//! `dE/dt = −(Σ P fed + idle)`. Between two changes of a load both are exact.
//!
//! # Units
//! W, V, A, J, s; w unitless.
//!
//! # Source
//! A first-order thermal release; its constants are chosen to meet the conventional currents of IEC 60898-1 (1.13 I_n never trips, 1.45 I_n
//! trips within 1 h, 2.55 I_n between 1 s and 60 s up to 32 A), from memory.
//!
//! # Valid for
//! Overloads of minutes.
//!
//! # Left out
//! The magnetic release and inrush of motors and lamps; losses of inverters beside their idle draw.
//!
//! # Checked by
//! `tests/behaviour/faults/supply.rs`, against the closed form and the conventional currents.

mod following;

use crate::ids::HeaterId;
use crate::run::timeline::NEVER;
use crate::scenario::{Backup, Circuit, Effect, Happening, Load, Scenario, Store};
use crate::scores::{BackupScores, CircuitScores};
use crate::time::{Millis, SECOND, seconds};

/// Times its rating from which on the thermal release trips, unitless: between the conventional 1.13 and 1.45. A choice. Valid for breakers of
/// households.
pub const TRIPS_FROM: f64 = 1.3;
/// Where the thermal release trips, unitless: [`TRIPS_FROM`] squared, since it warms with the square of the current. Exact.
const TRIPS_AT: f64 = TRIPS_FROM * TRIPS_FROM;
/// Time constant of the thermal release, ms. A choice: 2.55 times the rating then trips in 36 s. Valid up to 32 A.
const RELEASE_MS: Millis = 120 * SECOND;

/// Something of the supply that changed by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Notice {
    /// This circuit's breaker tripped.
    Tripped(usize),
    /// This backup ran out.
    RanOut(usize),
}

impl Notice {
    /// It in words.
    pub(super) fn told(&self, scenario: &Scenario) -> String {
        match self {
            Self::Tripped(circuit) => format!("breaker of {} trips", scenario.circuits[*circuit].name),
            Self::RanOut(backup) => format!("{} runs out", scenario.backups[*backup].name),
        }
    }
}

/// The electricity of one run.
#[derive(Debug, Clone)]
pub(super) struct Supply {
    scenario_loads: Vec<Load>,
    /// By position among all loads: on which circuit, behind which backup, rated power, power drawn, whether it has electricity.
    circuit_of: Vec<Option<usize>>,
    backup_of: Vec<Option<usize>>,
    rated_w: Vec<f64>,
    drawn_w: Vec<f64>,
    powered: Vec<bool>,
    on_backup: Vec<bool>,
    lines: Vec<Line>,
    reserves: Vec<Reserve>,
    grid_on: bool,
    of_nominal_frac: f64,
    now_ms: Millis,
    next_ms: Millis,
    first: Firsts,
    /// It does as the supply of several water systems says.
    follows: bool,
}

/// Where the loads of each kind begin among all.
#[derive(Debug, Clone, Copy)]
struct Firsts {
    pumps: usize,
    fans: usize,
    chillers: usize,
    lights: usize,
    air_pumps: usize,
    rest: usize,
}

impl Firsts {
    /// In the order of [`Scenario::loads`].
    fn of(scenario: &Scenario) -> Self {
        let pumps = scenario.heaters.len();
        let fans = pumps + scenario.pumps.len();
        let chillers = fans + scenario.fans.len();
        let lights = chillers + scenario.chillers.len();
        let air_pumps = lights + scenario.lights.len();
        Self {
            pumps,
            fans,
            chillers,
            lights,
            air_pumps,
            rest: air_pumps + scenario.air_pumps.len(),
        }
    }
}

/// One circuit.
#[derive(Debug, Clone)]
struct Line {
    voltage_v: f64,
    breaker_a: Option<f64>,
    /// w of the release.
    warmth: f64,
    /// Its breaker tripped, for good.
    tripped_ms: Option<Millis>,
    /// A happening keeps it off.
    off: bool,
    drawn_a: f64,
    highest_a: f64,
}

impl Line {
    fn is_on(&self) -> bool {
        self.tripped_ms.is_none() && !self.off
    }

    fn load_square(&self) -> f64 {
        self.breaker_a.map_or(0.0, |rated_a| {
            let share = self.drawn_a / rated_a;
            share * share
        })
    }

    /// How long until it trips, ms; `None`: never at this current.
    fn trips_in_ms(&self) -> Option<Millis> {
        let towards = self.load_square();
        if self.breaker_a.is_none() || !self.is_on() || towards <= TRIPS_AT {
            return None;
        }
        let shares = (towards - self.warmth) / (towards - TRIPS_AT);
        Some((libm::log(shares).max(0.0) * RELEASE_MS as f64).ceil() as Millis)
    }
}

/// One backup.
#[derive(Debug, Clone)]
struct Reserve {
    backup: Backup,
    /// Energy left of a battery, J.
    left_j: f64,
    /// Fuel left of a generator, ms.
    fuel_ms: Millis,
    /// Since when something it feeds has no mains, ms.
    wanted_since_ms: Option<Millis>,
    dead: bool,
    /// Somebody started it.
    started: bool,
    feeding: bool,
    fed_w: f64,
    empty_ms: Option<Millis>,
}

impl Reserve {
    fn new(backup: &Backup) -> Self {
        let (left_j, fuel_ms) = match backup.store {
            Store::Battery { usable_j } => (usable_j, 0),
            Store::Generator { fuel_ms, .. } => (0.0, fuel_ms),
        };
        Self {
            backup: backup.clone(),
            left_j,
            fuel_ms,
            wanted_since_ms: None,
            dead: false,
            started: false,
            feeding: false,
            fed_w: 0.0,
            empty_ms: None,
        }
    }

    /// Whether it can feed at an instant.
    fn is_ready(&self, now_ms: Millis) -> bool {
        let Some(since_ms) = self.wanted_since_ms else {
            return false;
        };
        !self.dead
            && match self.backup.store {
                Store::Battery { .. } => self.left_j > 0.0,
                Store::Generator { starts_after_ms, .. } => {
                    let by_itself = starts_after_ms.is_some_and(|after_ms| now_ms >= since_ms + after_ms);
                    self.fuel_ms > 0 && (by_itself || self.started)
                }
            }
    }

    /// When it next starts or runs out by itself, ms.
    fn next_ms(&self, now_ms: Millis) -> Millis {
        match (self.backup.store, self.wanted_since_ms) {
            (_, None) => NEVER,
            (Store::Battery { .. }, _) if self.feeding => {
                let lasts_s = self.left_j / (self.fed_w + self.backup.idle_w).max(f64::MIN_POSITIVE);
                let lasts_ms = (lasts_s * SECOND as f64).ceil();
                if lasts_ms < (NEVER / 2) as f64 {
                    now_ms + (lasts_ms as Millis).max(1)
                } else {
                    NEVER
                }
            }
            (Store::Generator { .. }, _) if self.feeding => now_ms + self.fuel_ms,
            (
                Store::Generator {
                    starts_after_ms: Some(after_ms),
                    ..
                },
                Some(since_ms),
            ) if since_ms + after_ms > now_ms => since_ms + after_ms,
            _ => NEVER,
        }
    }
}

impl Supply {
    pub(super) fn new(scenario: &Scenario, start_ms: Millis) -> Self {
        let loads: Vec<Load> = scenario.loads().collect();
        let fed_by = |feeds: &dyn Fn(&Load) -> Option<usize>| loads.iter().map(feeds).collect::<Vec<_>>();
        let circuit_of = fed_by(&|load| {
            let on = |circuit: &Circuit| circuit.feeds.contains(load);
            scenario.circuits.iter().position(on)
        });
        let backup_of = fed_by(&|load| {
            let on = |backup: &Backup| backup.feeds.contains(load);
            scenario.backups.iter().position(on)
        });
        let lines = scenario.circuits.iter().map(|circuit| Line {
            voltage_v: circuit.voltage_v,
            breaker_a: circuit.breaker_a,
            warmth: 0.0,
            tripped_ms: None,
            off: false,
            drawn_a: 0.0,
            highest_a: 0.0,
        });
        Self {
            rated_w: loads.iter().map(|load| scenario.rated_w(*load)).collect(),
            drawn_w: vec![0.0; loads.len()],
            powered: vec![true; loads.len()],
            on_backup: vec![false; loads.len()],
            circuit_of,
            backup_of,
            lines: lines.collect(),
            reserves: scenario.backups.iter().map(Reserve::new).collect(),
            grid_on: true,
            of_nominal_frac: 1.0,
            now_ms: start_ms,
            next_ms: NEVER,
            follows: false,
            first: Firsts::of(scenario),
            scenario_loads: loads,
        }
    }

    fn slot(&self, load: Load) -> usize {
        let first = &self.first;
        match load {
            Load::Heater(heater) => heater.0,
            Load::Pump(pump) => first.pumps + pump.0,
            Load::Fan(fan) => first.fans + fan.0,
            Load::Chiller(chiller) => first.chillers + chiller.0,
            Load::Light(light) => first.lights + light.0,
            Load::AirPump(pump) => first.air_pumps + pump.0,
            Load::TopOff => first.rest,
            Load::Controller => first.rest + 1,
            Load::Router => first.rest + 2,
        }
    }

    /// Whether a load has electricity.
    #[inline]
    pub(super) fn powers(&self, load: Load) -> bool {
        self.powered[self.slot(load)]
    }

    /// Whether there is electricity from the street.
    pub(super) fn grid_on(&self) -> bool {
        self.grid_on
    }

    /// Whether a circuit has electricity.
    pub(super) fn circuit_on(&self, circuit: usize) -> bool {
        self.grid_on && self.lines[circuit].is_on()
    }

    /// Share of its rated power that a heating element gives at its present voltage.
    pub(super) fn heat_frac(&self, heater: HeaterId) -> f64 {
        if self.on_backup[heater.0] {
            1.0
        } else {
            self.of_nominal_frac * self.of_nominal_frac
        }
    }

    /// Whether a breaker tripped from overload.
    pub(super) fn has_tripped(&self) -> bool {
        self.lines.iter().any(|line| line.tripped_ms.is_some())
    }

    /// Whether it matters how much each load draws.
    pub(super) fn meters_loads(&self) -> bool {
        !self.reserves.is_empty() || self.lines.iter().any(|line| line.breaker_a.is_some())
    }

    /// All loads, in the order in which [`Self::draw`] wants what they draw.
    pub(super) fn loads(&self) -> &[Load] {
        &self.scenario_loads
    }

    /// The next instant at which something trips, starts or runs out.
    pub(super) fn next_ms(&self) -> Millis {
        self.next_ms
    }

    /// Recomputes it from the set of active happenings.
    pub(super) fn apply<'a>(&mut self, now_ms: Millis, active: impl Iterator<Item = &'a Happening>) {
        if self.follows {
            return;
        }
        self.settle(now_ms);
        self.grid_on = true;
        self.of_nominal_frac = 1.0;
        for line in &mut self.lines {
            line.off = false;
        }
        for reserve in &mut self.reserves {
            reserve.dead = false;
            reserve.started = false;
        }
        for happening in active {
            match happening.effect {
                Effect::PowerOut => self.grid_on = false,
                Effect::MainsVoltage { of_nominal_frac } => self.of_nominal_frac *= of_nominal_frac,
                Effect::CircuitTripped(circuit) => self.lines[circuit.0].off = true,
                Effect::BackupStarted(backup) => self.reserves[backup.0].started = true,
                Effect::BackupDead(backup) => self.reserves[backup.0].dead = true,
                _ => {}
            }
        }
        self.share_out();
    }

    /// Moves it on to an instant; what happened by itself at that instant.
    pub(super) fn advance(&mut self, now_ms: Millis) -> Vec<Notice> {
        self.settle(now_ms);
        let mut notices = Vec::new();
        for (index, line) in self.lines.iter_mut().enumerate() {
            if line.trips_in_ms() == Some(0) {
                line.tripped_ms = Some(now_ms);
                notices.push(Notice::Tripped(index));
            }
        }
        for (index, reserve) in self.reserves.iter_mut().enumerate() {
            if reserve.feeding && !reserve.is_ready(now_ms) {
                reserve.empty_ms.get_or_insert(now_ms);
                notices.push(Notice::RanOut(index));
            }
        }
        self.share_out();
        notices
    }

    /// What each load draws from now on, W, in the order of [`Self::loads`].
    pub(super) fn draw(&mut self, now_ms: Millis, drawn_w: &[f64]) {
        if self.drawn_w == drawn_w {
            return;
        }
        if !self.follows {
            self.settle(now_ms);
        }
        self.drawn_w.copy_from_slice(drawn_w);
        if !self.follows {
            self.meter();
        }
    }

    /// What became of each circuit.
    pub(super) fn circuit_scores(&self, scenario: &Scenario) -> Vec<CircuitScores> {
        let circuits = scenario.circuits.iter().zip(&self.lines);
        circuits
            .map(|(circuit, line)| CircuitScores {
                circuit: circuit.name.clone(),
                highest_a: self.meters_loads().then_some(line.highest_a),
                tripped_ms: line.tripped_ms,
            })
            .collect()
    }

    /// What became of each backup.
    pub(super) fn backup_scores(&self, scenario: &Scenario) -> Vec<BackupScores> {
        let backups = scenario.backups.iter().zip(&self.reserves);
        backups
            .map(|(backup, reserve)| BackupScores {
                backup: backup.name.clone(),
                ran_out_ms: reserve.empty_ms,
            })
            .collect()
    }

    /// Warms breakers and empties batteries up to an instant.
    fn settle(&mut self, now_ms: Millis) {
        let elapsed_ms = now_ms - self.now_ms;
        self.now_ms = now_ms;
        if elapsed_ms <= 0 {
            return;
        }
        for line in &mut self.lines {
            let towards = line.load_square();
            let left = libm::exp(-(elapsed_ms as f64) / RELEASE_MS as f64);
            line.warmth = towards + (line.warmth - towards) * left;
        }
        for reserve in self.reserves.iter_mut().filter(|reserve| reserve.feeding) {
            match reserve.backup.store {
                Store::Battery { .. } => {
                    let taken_j = (reserve.fed_w + reserve.backup.idle_w) * seconds(elapsed_ms);
                    // A billionth of a battery is nothing: what is left over from whole milliseconds.
                    reserve.left_j -= taken_j;
                    if reserve.left_j < 1e-3 {
                        reserve.left_j = 0.0;
                    }
                }
                Store::Generator { .. } => reserve.fuel_ms = (reserve.fuel_ms - elapsed_ms).max(0),
            }
        }
    }

    /// Gives electricity to whoever gets some.
    fn share_out(&mut self) {
        for slot in 0..self.powered.len() {
            let line_on = self.circuit_of[slot].is_none_or(|circuit| self.lines[circuit].is_on());
            self.powered[slot] = self.grid_on && line_on;
            self.on_backup[slot] = false;
        }
        for index in 0..self.reserves.len() {
            let slots: Vec<usize> = self.reserves[index]
                .backup
                .feeds
                .iter()
                .map(|load| self.slot(*load))
                .filter(|slot| !self.powered[*slot])
                .collect();
            let now_ms = self.now_ms;
            let reserve = &mut self.reserves[index];
            if slots.is_empty() {
                reserve.wanted_since_ms = None;
                // The mains fill it again; how fast is left out.
                if let Store::Battery { usable_j } = reserve.backup.store {
                    reserve.left_j = usable_j;
                }
            } else {
                reserve.wanted_since_ms.get_or_insert(now_ms);
            }
            reserve.feeding = reserve.is_ready(now_ms);
            if !reserve.feeding {
                continue;
            }
            let mut given_w = 0.0;
            for slot in slots {
                if given_w + self.rated_w[slot] <= reserve.backup.limit_w
                    && self.backup_of[slot] == Some(index)
                {
                    given_w += self.rated_w[slot];
                    self.powered[slot] = true;
                    self.on_backup[slot] = true;
                }
            }
        }
        self.meter();
    }

    /// Reads currents and backups' loads, and finds what comes next.
    fn meter(&mut self) {
        let mut next_ms = NEVER;
        for (index, line) in self.lines.iter_mut().enumerate() {
            let on_it = (0..self.powered.len()).filter(|slot| {
                self.circuit_of[*slot] == Some(index) && self.powered[*slot] && !self.on_backup[*slot]
            });
            let drawn_w: f64 = on_it.map(|slot| self.drawn_w[slot]).sum();
            line.drawn_a = drawn_w / (line.voltage_v * self.of_nominal_frac);
            line.highest_a = line.highest_a.max(line.drawn_a);
            if let Some(in_ms) = line.trips_in_ms() {
                next_ms = next_ms.min(self.now_ms + in_ms.max(1));
            }
        }
        for (index, reserve) in self.reserves.iter_mut().enumerate() {
            let on_it = (0..self.powered.len())
                .filter(|slot| self.on_backup[*slot] && self.backup_of[*slot] == Some(index));
            reserve.fed_w = on_it.map(|slot| self.drawn_w[slot]).sum();
            next_ms = next_ms.min(reserve.next_ms(self.now_ms));
        }
        self.next_ms = next_ms;
    }
}
