//! What is on, since when, and how much of the scored time it was.

use super::stopwatch::Stopwatch;
use crate::scenario::{Cover, DailyHours, Effect, Happening, Scenario};
use crate::time::{DAY, Millis, seconds, time_of_day};

/// State of everything that runs on electricity, and the covers.
#[derive(Debug, Clone)]
pub(super) struct Devices {
    pub(super) heaters: Vec<Meter>,
    /// The time each heater is out of the water.
    pub(super) heaters_in_air: Vec<Stopwatch>,
    pub(super) fans: Vec<Meter>,
    /// The time heaters and cooling work against each other.
    pub(super) heating_against_cooling: Stopwatch,
    pub(super) pumps: Vec<Meter>,
    pub(super) lights: Vec<Meter>,
    pub(super) chillers: Vec<Compressor>,
    pub(super) air_pumps: Vec<Meter>,
    pub(super) pump_stopped: Vec<bool>,
    pub(super) fan_stopped: Vec<bool>,
    pub(super) chiller_dead: Vec<bool>,
    pub(super) light_out: Vec<bool>,
    pub(super) light_left_on: Vec<bool>,
    /// Share of each chiller's capacity that a blocked condenser leaves.
    pub(super) chiller_left_frac: Vec<f64>,
    pub(super) covers: Vec<Cover>,
    /// Thermal resistance of the wrap round each tank's sides, m² K/W.
    pub(super) wraps_m2_k_per_w: Vec<f64>,
}

impl Devices {
    pub(super) fn new(scenario: &Scenario) -> Self {
        Self {
            heaters: vec![Meter::default(); scenario.heaters.len()],
            heaters_in_air: vec![Stopwatch::default(); scenario.heaters.len()],
            fans: vec![Meter::default(); scenario.fans.len()],
            heating_against_cooling: Stopwatch::default(),
            pumps: vec![Meter::default(); scenario.pumps.len()],
            lights: vec![Meter::default(); scenario.lights.len()],
            chillers: vec![Compressor::default(); scenario.chillers.len()],
            air_pumps: vec![Meter::default(); scenario.air_pumps.len()],
            pump_stopped: vec![false; scenario.pumps.len()],
            fan_stopped: vec![false; scenario.fans.len()],
            chiller_dead: vec![false; scenario.chillers.len()],
            light_out: vec![false; scenario.lights.len()],
            light_left_on: vec![false; scenario.lights.len()],
            chiller_left_frac: vec![1.0; scenario.chillers.len()],
            covers: scenario.tanks.iter().map(|tank| tank.cover).collect(),
            wraps_m2_k_per_w: vec![0.0; scenario.tanks.len()],
        }
    }
}

impl Devices {
    /// Looks whether a heater draws power while a fan blows or a chiller runs.
    pub(super) fn note_fight(&mut self, now_ms: Millis) {
        let compressors = self.chillers.iter().map(|chiller| &chiller.meter);
        let cooling = self.fans.iter().chain(compressors).any(Meter::is_on);
        let heating = cooling && self.heaters.iter().any(Meter::is_on);
        self.heating_against_cooling.set(now_ms, heating);
    }

    /// Energy drawn by everything in the scored time so far, J.
    pub(super) fn energy_j(&mut self, now_ms: Millis) -> f64 {
        let meters = self
            .heaters
            .iter_mut()
            .chain(&mut self.fans)
            .chain(&mut self.pumps)
            .chain(&mut self.lights)
            .chain(&mut self.air_pumps)
            .chain(self.chillers.iter_mut().map(|chiller| &mut chiller.meter));
        meters.map(|meter| meter.read(now_ms).1).sum()
    }

    /// Recomputes what is broken or covered from the set of active happenings.
    pub(super) fn apply<'a>(&mut self, scenario: &Scenario, active: impl Iterator<Item = &'a Happening>) {
        self.pump_stopped.fill(false);
        self.fan_stopped.fill(false);
        self.chiller_dead.fill(false);
        self.light_out.fill(false);
        self.light_left_on.fill(false);
        self.chiller_left_frac.fill(1.0);
        self.wraps_m2_k_per_w.fill(0.0);
        for (cover, tank) in self.covers.iter_mut().zip(&scenario.tanks) {
            *cover = tank.cover;
        }
        for happening in active {
            match happening.effect {
                Effect::PumpStopped(pump) => self.pump_stopped[pump.0] = true,
                Effect::FanStopped(fan) => self.fan_stopped[fan.0] = true,
                Effect::ChillerDead(chiller) => self.chiller_dead[chiller.0] = true,
                Effect::LightOut(light) => self.light_out[light.0] = true,
                Effect::LightLeftOn(light) => self.light_left_on[light.0] = true,
                Effect::ChillerBlocked { chiller, left_frac } => {
                    let left = &mut self.chiller_left_frac[chiller.0];
                    *left = left.min(left_frac);
                }
                Effect::Covered { tank, cover } => self.covers[tank.0] = cover,
                Effect::SidesWrapped {
                    tank,
                    extra_m2_k_per_w,
                } => {
                    let wrap = &mut self.wraps_m2_k_per_w[tank.0];
                    *wrap = wrap.max(extra_m2_k_per_w);
                }
                _ => {}
            }
        }
    }
}

/// An electricity meter that counts the scored time.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Meter {
    power_w: f64,
    since_ms: Millis,
    on_ms: Millis,
    energy_j: f64,
}

impl Meter {
    /// Power drawn from now on, W; true if that is a change.
    pub(super) fn set(&mut self, now_ms: Millis, power_w: f64) -> bool {
        if power_w == self.power_w {
            return false;
        }
        self.settle(now_ms);
        self.power_w = power_w;
        true
    }

    /// Power drawn now, W.
    pub(super) fn power_w(&self) -> f64 {
        self.power_w
    }

    pub(super) fn is_on(&self) -> bool {
        self.power_w > 0.0
    }

    fn settle(&mut self, now_ms: Millis) {
        let elapsed_ms = now_ms.max(0) - self.since_ms.max(0);
        if self.is_on() {
            self.on_ms += elapsed_ms;
            self.energy_j += self.power_w * seconds(elapsed_ms);
        }
        self.since_ms = now_ms;
    }

    /// Scored time on, ms, and energy, J, up to now.
    pub(super) fn read(&mut self, now_ms: Millis) -> (Millis, f64) {
        self.settle(now_ms);
        (self.on_ms, self.energy_j)
    }
}

/// A chiller's compressor: it rests between two runs.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Compressor {
    pub(super) meter: Meter,
    /// Its freeze protection holds it.
    pub(super) frozen: bool,
    /// It may not start before this.
    pub(super) rests_until_ms: Option<Millis>,
    off_since_ms: Option<Millis>,
    pub(super) shortest_off_ms: Option<Millis>,
    pub(super) starts: u64,
}

/// Warmer than the temperature at which its freeze protection stops a chiller by this, the water lets it start again, K. Common practice, no
/// source. Valid for chillers of water that does not freeze above 0 °C.
const FREEZE_RESTART_K: f64 = 2.0;

impl Compressor {
    /// Lets its freeze protection look at the water, °C, and tells whether it holds the compressor.
    pub(super) fn holds_for_cold(&mut self, water_c: f64, stops_below_c: f64) -> bool {
        self.frozen = water_c < stops_below_c || self.frozen && water_c < stops_below_c + FREEZE_RESTART_K;
        self.frozen
    }

    /// Takes note that it starts or stops now.
    pub(super) fn switch(&mut self, now_ms: Millis, power_w: f64, shortest_off_ms: Millis) {
        let was_on = self.meter.is_on();
        self.meter.set(now_ms, power_w);
        if power_w > 0.0 && !was_on {
            if let Some(since_ms) = self.off_since_ms.filter(|since_ms| *since_ms >= 0) {
                let off_ms = now_ms - since_ms;
                self.shortest_off_ms = Some(self.shortest_off_ms.map_or(off_ms, |known| known.min(off_ms)));
            }
            self.starts += u64::from(now_ms >= 0);
        } else if was_on && power_w == 0.0 {
            self.off_since_ms = Some(now_ms);
            self.rests_until_ms = Some(now_ms + shortest_off_ms);
        }
    }
}

impl DailyHours {
    /// Whether an instant lies in it.
    #[must_use]
    pub fn holds(self, at_ms: Millis) -> bool {
        let of_day_ms = time_of_day(at_ms);
        if self.on_ms <= self.off_ms {
            self.on_ms == self.off_ms || (self.on_ms..self.off_ms).contains(&of_day_ms)
        } else {
            of_day_ms >= self.on_ms || of_day_ms < self.off_ms
        }
    }

    /// The next instant after `after_ms` at which it begins or ends.
    #[must_use]
    pub fn next_change_ms(self, after_ms: Millis) -> Millis {
        let until = |of_day_ms: Millis| {
            let ahead_ms = (of_day_ms - time_of_day(after_ms)).rem_euclid(DAY);
            after_ms + if ahead_ms == 0 { DAY } else { ahead_ms }
        };
        until(self.on_ms).min(until(self.off_ms))
    }

    /// Its length, ms.
    #[must_use]
    pub fn length_ms(self) -> Millis {
        if self.on_ms == self.off_ms {
            DAY
        } else {
            time_of_day(self.off_ms - self.on_ms)
        }
    }
}
