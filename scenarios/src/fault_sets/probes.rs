//! Built-in faults of the probes that control.

use tepid_sim::ids::{ProbeId, TankId};
use tepid_sim::scenario::{Effect, FaultCase, Happening, Lasts, Probe, ProbePurpose, Scenario, called};
use tepid_sim::time::HOUR;

use super::{alone, fault};
use crate::read::ONE_SAMPLE_MS;

/// How wrong a probe is that is off, K. Three of a hundred cheap sensors are off by more than 3 K in the field; an assumption here.
const OFF_K: f64 = 2.0;
/// How fast a probe drifts, K/d: fast enough to show within a followed fault. An assumption, no source.
const DRIFT_K_PER_DAY: f64 = 0.5;
/// Standard deviation of a noise burst, K. An assumption, no source.
const NOISE_K: f64 = 0.5;
/// What a digital sensor gives that has just been powered up. Common practice, no source.
const POWERED_UP_C: f64 = 85.0;
/// What "no reading" becomes where somebody takes it for a number.
const ZERO_C: f64 = 0.0;

fn control(scenario: &Scenario) -> impl Iterator<Item = (ProbeId, &Probe)> {
    let numbered = scenario.probes.iter().enumerate();
    numbered
        .filter(|(_, probe)| probe.purpose == ProbePurpose::Control)
        .map(|(at, probe)| (ProbeId(at), probe))
}

fn each(scenario: &Scenario, what: &str, effect: impl Fn(ProbeId) -> Effect) -> Vec<FaultCase> {
    alone(control(scenario).map(|(id, probe)| fault(what, &probe.name, effect(id))))
}

/// Each probe in each of these states, by a name of its own.
fn states(
    scenario: &Scenario,
    lasts: Lasts,
    states: &[(&str, f64)],
    effect: impl Fn(ProbeId, f64) -> Effect + Copy,
) -> Vec<FaultCase> {
    alone(control(scenario).flat_map(move |(id, probe)| {
        states.iter().map(move |(state, figure)| Happening {
            name: format!("{} {state}", called("probe", &probe.name)),
            lasts,
            ..fault("probe", &probe.name, effect(id, *figure))
        })
    }))
}

pub(super) fn out_of_the_water(scenario: &Scenario) -> Vec<FaultCase> {
    each(scenario, "probe out of the water", Effect::ProbeOutOfWater)
}

pub(super) fn silent(scenario: &Scenario) -> Vec<FaultCase> {
    each(scenario, "probe silent", Effect::ProbeSilent)
}

pub(super) fn stuck(scenario: &Scenario) -> Vec<FaultCase> {
    each(scenario, "probe stuck", Effect::ProbeStuck)
}

pub(super) fn in_the_wrong_tank(scenario: &Scenario) -> Vec<FaultCase> {
    // A probe's lead reaches the tanks that water joins to its own.
    let systems = scenario.system_tanks();
    let elsewhere = |own: TankId| {
        let joined = systems.iter().filter(move |tanks| tanks.contains(&own));
        joined.flatten().copied().filter(move |tank| *tank != own)
    };
    alone(control(scenario).flat_map(|(probe, found)| {
        found
            .tank
            .into_iter()
            .flat_map(elsewhere)
            .map(move |tank| Happening {
                name: format!(
                    "{} in {}",
                    called("probe", &found.name),
                    scenario.tanks[tank.0].name
                ),
                ..fault("probe", &found.name, Effect::ProbeInTank { probe, tank })
            })
    }))
}

pub(super) fn off(scenario: &Scenario) -> Vec<FaultCase> {
    let wrong = [("2 K low", -OFF_K), ("2 K high", OFF_K)];
    states(scenario, Lasts::ToTheEnd, &wrong, |probe, by_k| {
        Effect::ProbeOffset { probe, by_k }
    })
}

pub(super) fn drifting(scenario: &Scenario) -> Vec<FaultCase> {
    let drifts = [
        ("drifts low by 0.5 K a day", -DRIFT_K_PER_DAY),
        ("drifts high by 0.5 K a day", DRIFT_K_PER_DAY),
    ];
    states(scenario, Lasts::ToTheEnd, &drifts, |probe, k_per_day| {
        Effect::ProbeDrifts { probe, k_per_day }
    })
}

pub(super) fn noisy(scenario: &Scenario) -> Vec<FaultCase> {
    let noise = [("noisy for 1 h", NOISE_K)];
    states(scenario, Lasts::For(HOUR), &noise, |probe, noise_k| {
        Effect::ProbeNoisy { probe, noise_k }
    })
}

fn reads(probe: ProbeId, reading_c: f64) -> Effect {
    Effect::ProbeReads { probe, reading_c }
}

pub(super) fn wild(scenario: &Scenario) -> Vec<FaultCase> {
    let samples = [("reads 85 °C once", POWERED_UP_C), ("reads 0 °C once", ZERO_C)];
    states(scenario, Lasts::For(ONE_SAMPLE_MS), &samples, reads)
}

pub(super) fn absurd(scenario: &Scenario) -> Vec<FaultCase> {
    let readings = [("reads 85 °C", POWERED_UP_C), ("reads 0 °C", ZERO_C)];
    states(scenario, Lasts::ToTheEnd, &readings, reads)
}
