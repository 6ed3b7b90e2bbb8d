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
use crate::network::{AirCourse, Vector};
use crate::noise::Stream;
use crate::plant::{Plant, Sensor};
use crate::scenario::{Effect, Happening, Probe, Scenario};
use crate::time::{Millis, days};

/// All probes of a run.
#[derive(Debug)]
pub(super) struct Probes {
    list: Vec<Sensing>,
    reference_c: f64,
    sampled_ms: Option<Millis>,
}

#[derive(Debug)]
struct Sensing {
    probe: Probe,
    sensor: Sensor,
    noise: Stream,
    /// One over the resolution, 1/K: a division at every decision would be waited for. Infinite where the probe has no steps.
    steps_per_k: f64,
    silent: bool,
    in_air: bool,
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
                    silent: false,
                    in_air: false,
                })
                .collect(),
            reference_c: plant.network.reference_c(),
            sampled_ms: None,
        }
    }

    /// Recomputes the state of the probes from the set of active happenings.
    pub(super) fn apply<'a>(&mut self, active: impl Iterator<Item = &'a Happening>) {
        for sensing in &mut self.list {
            sensing.silent = false;
            sensing.in_air = false;
        }
        for happening in active {
            match happening.effect {
                Effect::ProbeOutOfWater(probe) => self.list[probe.0].in_air = true,
                Effect::ProbeSilent(probe) => self.list[probe.0].silent = true,
                _ => {}
            }
        }
    }

    /// Which probes hang in air.
    pub(super) fn in_air(&self) -> Vec<bool> {
        self.list.iter().map(|sensing| sensing.in_air).collect()
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
        for (sensing, reading) in self.list.iter().zip(readings_c) {
            *reading = (!sensing.silent).then(|| {
                let direct_in_air = sensing.in_air && matches!(sensing.sensor, Sensor::Direct { .. });
                let true_c = if direct_in_air {
                    air.air_at(now_ms).temp_c
                } else {
                    self.reference_c + sensed_k(sensing.sensor, state)
                };
                sensing.read(true_c, now_ms)
            });
        }
    }
}

impl Sensing {
    #[inline]
    fn read(&self, true_c: f64, now_ms: Millis) -> f64 {
        let probe = &self.probe;
        let mut reading_c = true_c + probe.offset_k;
        if probe.drift_k_per_day != 0.0 {
            reading_c += probe.drift_k_per_day * days(now_ms);
        }
        if probe.resolution_k <= 0.0 {
            return reading_c + probe.noise_k * self.noise.normal(now_ms);
        }
        let steps_by = |deviate: f64| whole((reading_c + probe.noise_k * deviate) * self.steps_per_k);
        if probe.noise_k <= 0.0 {
            return steps_by(0.0) * probe.resolution_k;
        }
        // Noise moves a reading one way only, so bounds that give the same step leave nothing to work out.
        let (low, high) = self.noise.normal_within(now_ms);
        let (lowest, highest) = (steps_by(low), steps_by(high));
        let steps = if lowest == highest {
            lowest
        } else {
            steps_by(self.noise.normal(now_ms))
        };
        steps * probe.resolution_k
    }
}

/// The nearest whole number (of two equally near, the even one), for sizes below 2⁵¹: a sum of that size has no binary places left.
#[inline]
fn whole(value: f64) -> f64 {
    /// 1.5 × 2⁵², unitless. Exact: where a double's last place is worth one.
    const NO_PLACES_LEFT: f64 = 1.5 * (1_u64 << 52) as f64;
    (value + NO_PLACES_LEFT) - NO_PLACES_LEFT
}
