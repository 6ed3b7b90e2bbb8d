//! What one fault does, from the worst instant on ("stuck exposure", "dead exposure").
//!
//! A fault "at the worst phase" is tried at the last instant before its contact would open, for the first such instant after each of eight
//! times of day, everything else healthy (but for what a case says was broken before) and the strategy at work; a contact that never opened in the scored time is welded at time zero.
//! Each try is a run of its own with the same weather, noise and draws, followed for 72 h. Worst = a dose
//! that would not be used up with nothing broken, then the largest dose, then farthest from the target.

use tepid_output::cautions::{Caution, for_effect};
use tepid_output::records::{FaultOutcome, RoomKind};
use tepid_sim::ids::ContactId;
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{Effect, FaultCase, Happening, Scenario, When};
use tepid_sim::scores::{Dose, Scores, TankScores};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{HOUR, Millis, hours};

use crate::rooms;

/// How long a fault is followed.
pub const HORIZON_MS: Millis = 72 * HOUR;

/// Spacing of the times of day at which a fault without a contact is tried.
const PHASE_MS: Millis = 3 * HOUR;

/// One strategy on one scenario in one room, and its healthy run.
#[derive(Debug, Clone, Copy)]
pub struct Healthy<'a> {
    /// The scenario, already in that room.
    pub scenario: &'a Scenario,
    /// Which room that is.
    pub room: RoomKind,
    /// Who controls.
    pub recipe: &'a dyn StrategyRecipe,
    /// Seed.
    pub seed: u64,
    /// Replicate.
    pub replicate: u64,
    /// Scores of the run without an added fault.
    pub scores: &'a Scores,
}

/// One try of a fault.
struct Try {
    began_ms: Option<Millis>,
    end_ms: Millis,
    case: FaultCase,
    scores: Scores,
}

/// The worst case of a set for one run: the fault with its instant fixed. `None` for a set without cases.
///
/// # Errors
/// [`RunError`] of any run that was needed to find it.
pub fn worst_case(healthy: &Healthy<'_>, cases: &[FaultCase]) -> Result<Option<FaultCase>, RunError> {
    let mut worst_so_far: Option<Try> = None;
    for case in cases {
        let this = worst(healthy, case)?;
        if worst_so_far
            .as_ref()
            .is_none_or(|worst| severity(healthy, &this) > severity(healthy, worst))
        {
            worst_so_far = Some(this);
        }
    }
    Ok(worst_so_far.map(|worst| worst.case))
}

/// What a fault of a set does: the worst of the instants tried.
#[must_use]
pub fn outcome(healthy: &Healthy<'_>, set: &str, fault: &FaultCase) -> FaultOutcome {
    match worst(healthy, fault).and_then(|worst| filled(healthy, set, fault, &worst)) {
        Ok(outcome) => outcome,
        Err(error) => FaultOutcome {
            failure: Some(error.to_string()),
            ..blank(healthy, set, fault)
        },
    }
}

/// When a fault is tried: the instant, if it is fixed beforehand, and the happening to run.
fn tries(healthy: &Healthy<'_>, fault: &Happening) -> Vec<(Option<Millis>, Happening)> {
    let at = |at_ms: Millis| {
        (
            Some(at_ms),
            Happening {
                when: When::At(at_ms),
                ..fault.clone()
            },
        )
    };
    match fault.when {
        When::WorstPhase => {
            let mut instants: Vec<Millis> = contact_of(&fault.effect).map_or_else(
                || (0..8).map(|phase| phase * PHASE_MS).collect(),
                |contact| {
                    healthy.scores.contacts[contact.0]
                        .phase_openings_ms
                        .iter()
                        .copied()
                        .flatten()
                        .collect()
                },
            );
            instants.dedup();
            if instants.is_empty() {
                instants.push(0);
            }
            instants.into_iter().map(at).collect()
        }
        When::At(at_ms) => vec![at(at_ms)],
        _ => vec![(None, fault.clone())],
    }
}

/// The contact that an effect breaks, if it breaks one.
fn contact_of(effect: &Effect) -> Option<ContactId> {
    match effect {
        Effect::ContactWelded(contact)
        | Effect::ContactStuckOpen(contact)
        | Effect::DialOff { contact, .. } => Some(*contact),
        _ => None,
    }
}

fn worst(healthy: &Healthy<'_>, case: &FaultCase) -> Result<Try, RunError> {
    let mut worst: Option<Try> = None;
    for (began_ms, fault) in tries(healthy, &case.fault) {
        let end_ms = began_ms.map_or(healthy.scenario.duration_ms, |began_ms| began_ms + HORIZON_MS);
        let case = FaultCase {
            fault,
            already: case.already.clone(),
        };
        let faults: Vec<Happening> = case.happenings().cloned().collect();
        let scores = run(
            &RunRequest {
                faults: &faults,
                replicate: healthy.replicate,
                end_ms,
                ..RunRequest::new(healthy.scenario, healthy.recipe, healthy.seed)
            },
            None,
        )?;
        let this = Try {
            began_ms,
            end_ms,
            case,
            scores,
        };
        if worst
            .as_ref()
            .is_none_or(|worst| severity(healthy, &this) > severity(healthy, worst))
        {
            worst = Some(this);
        }
    }
    worst.ok_or_else(|| RunError::UnresolvedPhase {
        name: case.fault.name.clone(),
    })
}

/// Larger is worse: a dose that would not have been used up with nothing broken, then the dose, then the distance from the target.
fn severity(healthy: &Healthy<'_>, this: &Try) -> (bool, f64, f64) {
    let Some(tank) = this.scores.tanks.get(this.scores.worst_tank) else {
        return (false, 0.0, 0.0);
    };
    let unbroken = healthy
        .scores
        .tanks
        .iter()
        .find(|unbroken| unbroken.tank == tank.tank);
    let taken = |side: fn(&TankScores) -> &Dose| {
        let by_itself = unbroken
            .and_then(|tank| side(tank).used_up_ms)
            .is_some_and(|at_ms| at_ms <= this.end_ms);
        side(tank).used_up_ms.is_some() && !by_itself
    };
    (
        taken(|tank| &tank.hot) || taken(|tank| &tank.cold),
        tank.hot.used.max(tank.cold.used),
        tank.overshoot_k.max(tank.undershoot_k),
    )
}

/// The outcome before anything is known.
fn blank(healthy: &Healthy<'_>, set: &str, case: &FaultCase) -> FaultOutcome {
    FaultOutcome {
        set: set.to_owned(),
        case: case.fault.name.clone(),
        component: component(healthy.scenario, &case.fault.effect),
        room: healthy.room,
        room_lowest_c: f64::NAN,
        room_highest_c: f64::NAN,
        began_h: None,
        horizon_h: hours(HORIZON_MS),
        tank: None,
        peak_c: None,
        lowest_c: None,
        hot_dose: None,
        cold_dose: None,
        hot_used_up_h: None,
        hot_used_up_without_fault_h: None,
        cold_used_up_without_fault_h: None,
        cold_used_up_h: None,
        hot_reached_h: Vec::new(),
        cold_reached_h: Vec::new(),
        warning_lead_h: None,
        stays_below_dose: None,
        failure: None,
        cautions: cautions(healthy.scenario, &case.fault),
    }
}

fn filled(
    healthy: &Healthy<'_>,
    set: &str,
    fault: &FaultCase,
    worst: &Try,
) -> Result<FaultOutcome, RunError> {
    let began_ms = worst.began_ms.unwrap_or(0);
    let since = |at_ms: Option<Millis>| at_ms.map(|at_ms| hours(at_ms - began_ms));
    let (room_lowest_c, room_highest_c) = rooms::range_c(
        healthy.scenario,
        healthy.seed,
        healthy.replicate,
        began_ms,
        worst.end_ms,
    );
    let mut outcome = FaultOutcome {
        room_lowest_c,
        room_highest_c,
        began_h: worst.began_ms.map(hours),
        horizon_h: hours(worst.end_ms - began_ms),
        warning_lead_h: worst.scores.warning_lead_ms.map(hours),
        ..blank(healthy, set, fault)
    };
    if let Some(tank) = worst.scores.tanks.get(worst.scores.worst_tank) {
        outcome.tank = Some(tank.tank.clone());
        outcome.peak_c = Some(tank.highest_c);
        outcome.lowest_c = Some(tank.lowest_c);
        outcome.hot_dose = Some(tank.hot.used);
        outcome.cold_dose = Some(tank.cold.used);
        outcome.hot_used_up_h = since(tank.hot.used_up_ms);
        outcome.cold_used_up_h = since(tank.cold.used_up_ms);
        outcome.hot_reached_h = tank.hot.reached_ms.iter().map(|at_ms| since(*at_ms)).collect();
        outcome.cold_reached_h = tank.cold.reached_ms.iter().map(|at_ms| since(*at_ms)).collect();
        outcome.stays_below_dose = Some(tank.hot.used < 1.0 && tank.cold.used < 1.0);
        let [hot_ms, cold_ms] = used_up_without_fault_ms(healthy, &tank.tank, worst.end_ms)?;
        outcome.hot_used_up_without_fault_h = since(hot_ms);
        outcome.cold_used_up_without_fault_h = since(cold_ms);
    }
    Ok(outcome)
}

/// When a tank's hot and cold dose are used up with nothing broken, if by `end_ms`.
fn used_up_without_fault_ms(
    healthy: &Healthy<'_>,
    tank: &str,
    end_ms: Millis,
) -> Result<[Option<Millis>; 2], RunError> {
    // The fault may have been followed beyond the end of the healthy run.
    let longer = if end_ms > healthy.scenario.duration_ms {
        let request = RunRequest {
            replicate: healthy.replicate,
            end_ms,
            ..RunRequest::new(healthy.scenario, healthy.recipe, healthy.seed)
        };
        Some(run(&request, None)?)
    } else {
        None
    };
    let scores = longer.as_ref().unwrap_or(healthy.scores);
    let by_end = |used_up_ms: Option<Millis>| used_up_ms.filter(|at_ms| *at_ms <= end_ms);
    Ok(scores
        .tanks
        .iter()
        .find(|scored| scored.tank == tank)
        .map_or([None, None], |scored| {
            [by_end(scored.hot.used_up_ms), by_end(scored.cold.used_up_ms)]
        }))
}

/// Cautions of a fault and of whatever the scenario has that needs one while it lasts.
fn cautions(scenario: &Scenario, fault: &Happening) -> Vec<Caution> {
    let mut cautions = for_effect(&fault.effect).cautions().to_vec();
    if !scenario.fans.is_empty() && !cautions.is_empty() {
        cautions.push(Caution::FanNearWater);
    }
    cautions
}

/// Name of the component an effect breaks.
fn component(scenario: &Scenario, effect: &Effect) -> Option<String> {
    match effect {
        Effect::ContactWelded(contact)
        | Effect::ContactStuckOpen(contact)
        | Effect::DialOff { contact, .. } => Some(scenario.contacts[contact.0].name.clone()),
        Effect::HeaterDead(heater) => Some(scenario.heaters[heater.0].name.clone()),
        Effect::PumpStopped(pump) => Some(scenario.pumps[pump.0].name.clone()),
        Effect::ProbeOutOfWater(probe) | Effect::ProbeSilent(probe) => {
            Some(scenario.probes[probe.0].name.clone())
        }
        Effect::Covered { tank, .. } => Some(scenario.tanks[tank.0].name.clone()),
        _ => None,
    }
}
