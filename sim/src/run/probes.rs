//! What probes read: the truth through lag, offset, drift, noise and resolution.
//!
//! # Equation
//! reading = quantise(T_probe + offset + drift · t + σ Z). The lag is a node of the network; Z depends on the sample's time alone.
//!
//! # Units
//! °C, K, K/d.
//!
//! # Source
//! First-order sensor with additive noise; `docs/model.md`.
//!
//! # Valid for
//! Any sampling interval.
//!
//! # Left out
//! Correlated noise.
//!
//! # Checked by
//! `tests/determinism/noise.rs`; the tests of `run`.

use super::chains::sensed_k;
use crate::network::{AirCourse, NodeId, Passage, Vector};
use crate::noise::{BEYOND_ALL, Stream};
use crate::plant::{Plant, ProbePlace, Sensor};
use crate::scenario::{Effect, Happening, Probe, Scenario};
use crate::strategy::Rest;
use crate::time::{Millis, days};
use std::ops::Range;

/// All probes of a run.
#[derive(Debug, Clone)]
pub(super) struct Probes {
    list: Vec<Sensing>,
    reference_c: f64,
    /// Node of each tank's water.
    water: Vec<NodeId>,
    sampled_ms: Option<Millis>,
}

#[derive(Debug, Clone)]
struct Sensing {
    probe: Probe,
    sensor: Sensor,
    noise: Stream,
    /// One over the resolution, 1/K: a division at every decision would be waited for. Infinite where the probe has no steps.
    steps_per_k: f64,
    state: ProbeState,
    /// Offset and noise with what happenings add, K: worked out when one begins or ends, since every decision asks.
    offset_k: f64,
    noise_k: f64,
    /// It hangs where it should and reads the temperature of its own body.
    follows: bool,
    /// The last reading it gave, °C.
    last_c: Option<f64>,
}

/// What the active happenings make of a probe.
#[derive(Debug, Clone, Copy, PartialEq)]
struct ProbeState {
    silent: bool,
    place: ProbePlace,
    offset_k: f64,
    noise_k: f64,
    stuck: bool,
    reads_c: Option<f64>,
}

impl ProbeState {
    /// Of a probe that nothing happens to.
    fn of(probe: &Probe) -> Self {
        Self {
            silent: false,
            place: match probe.tank {
                Some(_) => ProbePlace::Own,
                None => ProbePlace::Air,
            },
            offset_k: 0.0,
            noise_k: 0.0,
            stuck: false,
            reads_c: None,
        }
    }
}

impl Probes {
    pub(super) fn new(scenario: &Scenario, plant: &Plant, seed: u64, replicate: u64) -> Self {
        let list = scenario.probes.iter().zip(&plant.probes);
        Self {
            list: list
                .map(|(probe, sensor)| Sensing {
                    noise: Stream::new(seed, replicate, &probe.name, "probe noise"),
                    steps_per_k: 1.0 / probe.resolution_k,
                    probe: probe.clone(),
                    sensor: *sensor,
                    state: ProbeState::of(probe),
                    offset_k: probe.offset_k,
                    noise_k: probe.noise_k,
                    follows: true,
                    last_c: None,
                })
                .collect(),
            reference_c: plant.network.reference_c(),
            water: plant.water.clone(),
            sampled_ms: None,
        }
    }

    /// Recomputes the state of the probes from the set of active happenings, each with the instant it began.
    pub(super) fn apply<'a>(
        &mut self,
        now_ms: Millis,
        active: impl Iterator<Item = (&'a Happening, Millis)>,
    ) {
        for sensing in &mut self.list {
            sensing.state = ProbeState::of(&sensing.probe);
        }
        for (happening, began_ms) in active {
            match happening.effect {
                Effect::ProbeOutOfWater(probe) => self.list[probe.0].state.place = ProbePlace::Air,
                Effect::ProbeSilent(probe) => self.list[probe.0].state.silent = true,
                Effect::ProbeStuck(probe) => self.list[probe.0].state.stuck = true,
                Effect::ProbeOffset { probe, by_k } => self.list[probe.0].state.offset_k += by_k,
                Effect::ProbeDrifts { probe, k_per_day } => {
                    self.list[probe.0].state.offset_k += k_per_day * days(now_ms - began_ms);
                }
                Effect::ProbeReads { probe, reading_c } => self.list[probe.0].state.reads_c = Some(reading_c),
                Effect::ProbeNoisy { probe, noise_k } => self.list[probe.0].state.noise_k += noise_k,
                Effect::ProbeInTank { probe, tank } => {
                    // Out of the water it hangs in no tank.
                    let place = &mut self.list[probe.0].state.place;
                    if *place != ProbePlace::Air {
                        *place = ProbePlace::Tank(tank);
                    }
                }
                _ => {}
            }
        }
        for sensing in &mut self.list {
            let state = &sensing.state;
            sensing.follows =
                !state.silent && !state.stuck && state.reads_c.is_none() && state.place == ProbePlace::Own;
            let (own, more) = (sensing.probe.noise_k, state.noise_k);
            sensing.offset_k = sensing.probe.offset_k + sensing.state.offset_k;
            sensing.noise_k = if more == 0.0 {
                own
            } else {
                (own * own + more * more).sqrt()
            };
        }
    }

    /// Whether it is certain, without working out the reading, that it lies where a strategy that rests need not be asked.
    #[inline]
    pub(super) fn read_within(&self, rest: Rest, now_ms: Millis, state: &Vector) -> bool {
        let Some(probe) = rest.probe else {
            return true;
        };
        let Some(sensing) = self.list.get(probe.0).filter(|sensing| sensing.follows) else {
            return false;
        };
        let true_c = self.reference_c + sensed_k(sensing.sensor, state);
        sensing.reads_within(rest, now_ms, (true_c, true_c))
    }

    /// Of decisions `every_ms` at ticks of a passage, the first of this while at which that is not certain from the passage's ends alone; `None`:
    /// it is at all of them.
    #[inline]
    pub(super) fn first_to_look_at(
        &self,
        rest: Rest,
        passage: &Passage<'_>,
        while_ms: Range<Millis>,
        every_ms: Millis,
    ) -> Option<Millis> {
        let probe = rest.probe?;
        let Some(sensing) = self.list.get(probe.0).filter(|sensing| sensing.follows) else {
            return Some(while_ms.start);
        };
        let sensed = |state: &Vector| sensed_k(sensing.sensor, state);
        let (from_k, to_k) = (sensed(passage.from), sensed(passage.to));
        let (reference_c, off_k) = (self.reference_c, sensed(passage.off_line_k));
        let lowest_c = reference_c + from_k.min(to_k) - off_k;
        let highest_c = reference_c + from_k.max(to_k) + off_k;
        // Far from the edges it matters neither which deviate it is nor which tick.
        let (room_below_k, room_above_k) = sensing.room_k(rest, &while_ms, (lowest_c, highest_c));
        let within = |(low, high): (f64, f64)| {
            -room_below_k < sensing.noise_k * low && sensing.noise_k * high < room_above_k
        };
        if within((-BEYOND_ALL, BEYOND_ALL)) {
            return None;
        }
        let k_per_ms = (to_k - from_k) / (passage.to_ms - passage.from_ms) as f64;
        let mut at_ms = while_ms.start;
        while at_ms < while_ms.end {
            if !within(sensing.noise.normal_within(at_ms)) {
                let line_c = reference_c + from_k + k_per_ms * (at_ms - passage.from_ms) as f64;
                if !sensing.reads_within(rest, at_ms, (line_c - off_k, line_c + off_k)) {
                    return Some(at_ms);
                }
            }
            at_ms += every_ms;
        }
        None
    }

    /// Where the probes hang.
    pub(super) fn places(&self) -> Vec<ProbePlace> {
        self.list.iter().map(|sensing| sensing.state.place).collect()
    }

    /// Takes the readings of this instant into `readings_c`, °C, once.
    pub(super) fn sample(
        &mut self,
        now_ms: Millis,
        state: &Vector,
        air: &mut impl AirCourse,
        readings_c: &mut [Option<f64>],
    ) {
        if self.sampled_ms == Some(now_ms) {
            return;
        }
        self.sampled_ms = Some(now_ms);
        for (sensing, reading) in self.list.iter_mut().zip(readings_c) {
            *reading = sensing.reading_c(now_ms, |sensing| {
                let state_k = |sensor| self.reference_c + sensed_k(sensor, state);
                match (sensing.sensor, sensing.state.place) {
                    (Sensor::Direct { .. }, ProbePlace::Air) => air.air_at(now_ms).temp_c,
                    (Sensor::Direct { .. }, ProbePlace::Tank(tank)) => {
                        state_k(Sensor::at(self.water[tank.0]))
                    }
                    _ => state_k(sensing.sensor),
                }
            });
        }
    }
}

impl Sensing {
    /// What it tells somebody who asks now, °C; `true_c` is the temperature of its own body.
    #[inline]
    fn reading_c(&mut self, now_ms: Millis, true_c: impl FnOnce(&Self) -> f64) -> Option<f64> {
        if self.state.silent {
            return None;
        }
        if self.state.reads_c.is_some() {
            return self.state.reads_c;
        }
        if !(self.state.stuck && self.last_c.is_some()) {
            self.last_c = Some(self.read(true_c(self), now_ms));
        }
        self.last_c
    }

    #[inline]
    fn read(&self, true_c: f64, now_ms: Millis) -> f64 {
        let (lowest_c, highest_c) = self.bounds_c(true_c, now_ms);
        if lowest_c == highest_c {
            return lowest_c;
        }
        self.reads_c(self.before_noise_c(true_c, now_ms), self.noise.normal(now_ms))
    }

    /// What the reading lies between, °C: noise moves a reading one way only, so bounds of the noise that give the same step leave
    /// nothing to work out.
    #[inline]
    fn bounds_c(&self, true_c: f64, now_ms: Millis) -> (f64, f64) {
        let before_noise_c = self.before_noise_c(true_c, now_ms);
        let (low, high) = if self.noise_k > 0.0 {
            self.noise.normal_within(now_ms)
        } else {
            (0.0, 0.0)
        };
        (
            self.reads_c(before_noise_c, low),
            self.reads_c(before_noise_c, high),
        )
    }

    /// Whether every reading of a temperature between two, °C, lies where a strategy that rests need not be asked.
    #[inline]
    fn reads_within(&self, rest: Rest, now_ms: Millis, true_c: (f64, f64)) -> bool {
        let (room_below_k, room_above_k) = self.room_k(rest, &(now_ms..now_ms), true_c);
        let most_k = BEYOND_ALL * self.noise_k;
        if most_k < room_below_k && most_k < room_above_k {
            return true;
        }
        let (lowest_c, _) = self.bounds_c(true_c.0, now_ms);
        let (_, highest_c) = self.bounds_c(true_c.1, now_ms);
        rest.above_c < lowest_c && highest_c < rest.below_c
    }

    /// What noise may take from a reading of any temperature between two, °C, and add to it, K, before a strategy that rests must be asked; for
    /// a while.
    #[inline]
    fn room_k(&self, rest: Rest, while_ms: &Range<Millis>, true_c: (f64, f64)) -> (f64, f64) {
        let (early_k, late_k) = (self.error_k(while_ms.start), self.error_k(while_ms.end));
        let (lowest_c, highest_c) = (true_c.0 + early_k.min(late_k), true_c.1 + early_k.max(late_k));
        // A step rounds by half of itself; the rest is more than any rounding of numbers.
        let step_k = 0.51 * self.probe.resolution_k;
        (
            (lowest_c - step_k) - rest.above_c,
            rest.below_c - (highest_c + step_k),
        )
    }

    #[inline]
    fn before_noise_c(&self, true_c: f64, now_ms: Millis) -> f64 {
        true_c + self.error_k(now_ms)
    }

    /// Offset and drift, K.
    #[inline]
    fn error_k(&self, now_ms: Millis) -> f64 {
        if self.probe.drift_k_per_day == 0.0 {
            return self.offset_k;
        }
        self.offset_k + self.probe.drift_k_per_day * days(now_ms)
    }

    #[inline]
    fn reads_c(&self, before_noise_c: f64, deviate: f64) -> f64 {
        let reading_c = before_noise_c + self.noise_k * deviate;
        if self.probe.resolution_k <= 0.0 {
            return reading_c;
        }
        whole(reading_c * self.steps_per_k) * self.probe.resolution_k
    }
}

/// The nearest whole number (of two equally near, the even one), for sizes below 2⁵¹: a sum of that size has no binary places left.
#[inline]
fn whole(value: f64) -> f64 {
    /// 1.5 × 2⁵², unitless. Exact: where a double's last place is worth one.
    const NO_PLACES_LEFT: f64 = 1.5 * (1_u64 << 52) as f64;
    (value + NO_PLACES_LEFT) - NO_PLACES_LEFT
}
