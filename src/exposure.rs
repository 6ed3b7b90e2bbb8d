//! What one fault does, from the worst instant on ("stuck exposure", "dead exposure").
//!
//! A fault "at the worst phase" is tried at each of the trial instants (eight times of day of day 1, of the warmest and of the coldest day),
//! everything else healthy (but for what a case says was broken before) and the strategy at work; a weld at the last instant before its contact would
//! open, the first such instant after each trial instant, and at 00:00 of a day on which the contact does not open. Each try is a run of its
//! own with the same weather, noise and draws, followed for 72 h and judged from the fault on, beside the same time with nothing broken. Worst = a
//! dose used up that would not have been, then the most dose added, then the most added to an extreme.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use tepid_output::cautions::{Caution, DRY_BODY_C, for_effect};
use tepid_output::records::{FaultOutcome, FaultOxygen, FaultSalinity, PastDose, RoomKind, Severity};
use tepid_sim::ids::ContactId;
use tepid_sim::run::{Branch, RunError, RunRequest, run_branches};
use tepid_sim::scenario::{Effect, FaultCase, Happening, Scenario, When};
use tepid_sim::scores::{Dose, Scores, TankScores, trial_instants};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{DAY, HOUR, Millis, hours};

use crate::fault_kind::fault_kind;
use crate::rooms;

/// How long a fault is followed.
pub const HORIZON_MS: Millis = 72 * HOUR;

/// One strategy on one scenario in one room, and its healthy run.
#[derive(Debug)]
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
    /// The same run judged over the time a fault is followed, by start and end, ms: several faults begin at one instant.
    unbroken: Mutex<BTreeMap<(Millis, Millis), Arc<Scores>>>,
}

impl<'a> Healthy<'a> {
    /// From the request of the healthy run and its scores.
    #[must_use]
    pub fn new(request: &RunRequest<'a>, room: RoomKind, scores: &'a Scores) -> Self {
        Self {
            scenario: request.scenario,
            room,
            recipe: request.recipe,
            seed: request.seed,
            replicate: request.replicate,
            scores,
            unbroken: Mutex::default(),
        }
    }

    /// What the same times, by start and end, ms, are like with nothing broken.
    fn unbroken(&self, times: &[(Millis, Millis)]) -> Result<Vec<Arc<Scores>>, RunError> {
        let mut known = self
            .unbroken
            .lock()
            .map_or_else(|_| BTreeMap::new(), |map| map.clone());
        let mut missing: Vec<(Millis, Millis)> = times.to_vec();
        missing.retain(|time| !known.contains_key(time));
        missing.sort_unstable();
        missing.dedup();
        let branches: Vec<Branch<'_>> = missing
            .iter()
            .map(|(judged_from_ms, end_ms)| Branch {
                faults: &[],
                judged_from_ms: *judged_from_ms,
                end_ms: *end_ms,
            })
            .collect();
        let scores = run_branches(&self.request(&[], 0, self.scenario.duration_ms), &branches);
        for (time, scores) in missing.iter().zip(scores) {
            known.insert(*time, Arc::new(scores?));
        }
        let found = times.iter().map(|time| Arc::clone(&known[time])).collect();
        if let Ok(mut map) = self.unbroken.lock() {
            map.extend(known);
        }
        Ok(found)
    }

    pub(crate) fn request<'f>(
        &'f self,
        faults: &'f [Happening],
        from_ms: Millis,
        end_ms: Millis,
    ) -> RunRequest<'f> {
        RunRequest {
            faults,
            replicate: self.replicate,
            judged_from_ms: from_ms,
            end_ms,
            ..RunRequest::new(self.scenario, self.recipe, self.seed)
        }
    }
}

/// One try of a fault.
struct Try {
    began_ms: Option<Millis>,
    end_ms: Millis,
    case: FaultCase,
    scores: Scores,
    unbroken: Arc<Scores>,
    /// At how many instants the fault was tried.
    tries: u32,
}

impl Try {
    /// The tank it harmed most, and how much.
    fn harm(&self) -> Option<(&TankScores, &TankScores, Severity)> {
        let pairs = self.scores.tanks.iter().zip(&self.unbroken.tanks);
        let judged = pairs.map(|(broken, sound)| {
            let taken = |side: fn(&TankScores) -> &Dose| {
                side(broken).used_up_ms.is_some() && side(sound).used_up_ms.is_none()
            };
            let severity = Severity {
                takes_past: taken(|tank| &tank.hot) || taken(|tank| &tank.cold),
                added_dose: (broken.hot.used - sound.hot.used).max(broken.cold.used - sound.cold.used),
                added_extreme_k: (broken.highest_c - sound.highest_c).max(sound.lowest_c - broken.lowest_c),
            };
            (broken, sound, severity)
        });
        judged.reduce(|worst, one| if one.2 > worst.2 { one } else { worst })
    }

    fn is_worse_than(&self, other: &Self) -> bool {
        self.harm().map(|(_, _, severity)| severity) > other.harm().map(|(_, _, severity)| severity)
    }
}

/// The worst case of a set for one run: the fault with its instant fixed. `None` for a set without cases.
///
/// # Errors
/// [`RunError`] of any run that was needed to find it.
pub fn worst_case(healthy: &Healthy<'_>, cases: &[FaultCase]) -> Result<Option<FaultCase>, RunError> {
    let mut worst_so_far: Option<Try> = None;
    for case in cases {
        let this = worst(healthy, case, Search::Everywhere)?;
        if worst_so_far
            .as_ref()
            .is_none_or(|worst| this.is_worse_than(worst))
        {
            worst_so_far = Some(this);
        }
    }
    Ok(worst_so_far.map(|worst| worst.case))
}

/// A fault at the worst of the instants tried, and the scores of its run.
#[derive(Debug, Clone, PartialEq)]
pub struct Worst {
    /// The instant, ms; `None`: the case's own time holds.
    pub began_ms: Option<Millis>,
    /// End of the run, ms.
    pub end_ms: Millis,
    /// The fault with its instant fixed.
    pub case: FaultCase,
    /// Scores of the run, judged from the fault on.
    pub scores: Scores,
}

/// The fault at the worst of the instants tried.
///
/// # Errors
/// [`RunError`] of any run that was needed to find it.
pub fn worst_run(healthy: &Healthy<'_>, case: &FaultCase) -> Result<Worst, RunError> {
    let worst = worst(healthy, case, Search::Everywhere)?;
    Ok(Worst {
        began_ms: worst.began_ms,
        end_ms: worst.end_ms,
        case: worst.case,
        scores: worst.scores,
    })
}

/// What a fault of a set does: the worst of the instants tried.
#[must_use]
pub fn outcome(healthy: &Healthy<'_>, set: &str, fault: &FaultCase) -> FaultOutcome {
    told(healthy, set, fault, worst(healthy, fault, Search::Everywhere))
}

/// What a fault of a set does at the instant nearest to `near_ms` at which it takes the water past the dose; where none of the instants tried
/// does, at the worst of them.
#[must_use]
pub fn nearest_loss(healthy: &Healthy<'_>, set: &str, fault: &FaultCase, near_ms: Millis) -> FaultOutcome {
    told(
        healthy,
        set,
        fault,
        worst(healthy, fault, Search::FirstLossFrom(near_ms)),
    )
}

/// The worst of several cases that are one thing to a reader, as one outcome; `None` for no case.
#[must_use]
pub fn outcome_of_worst(healthy: &Healthy<'_>, set: &str, cases: &[FaultCase]) -> Option<FaultOutcome> {
    let outcomes = cases.iter().map(|case| outcome(healthy, set, case));
    outcomes.reduce(|worst, one| {
        let is_worse = one.failure.is_some() || Severity::of(&one) > Severity::of(&worst);
        if is_worse { one } else { worst }
    })
}

fn told(healthy: &Healthy<'_>, set: &str, fault: &FaultCase, tried: Result<Try, RunError>) -> FaultOutcome {
    match tried {
        Ok(worst) => filled(healthy, set, fault, &worst),
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
            let trials_ms = trial_instants(healthy.scenario);
            let held = held_closed(healthy.scenario, &fault.effect);
            let instants = if held.is_empty() {
                trials_ms
            } else {
                let contacts = held.iter().map(|contact| &healthy.scores.contacts[contact.0]);
                let mut all: Vec<Millis> = contacts
                    .flat_map(|contact| openings(&trials_ms, &contact.trial_openings_ms))
                    .collect();
                all.sort_unstable();
                all.dedup();
                all
            };
            instants.into_iter().map(at).collect()
        }
        When::At(at_ms) => vec![at(at_ms)],
        _ => vec![(None, fault.clone())],
    }
}

/// The instants at which a weld is tried: the first opening after each trial instant that comes the same day, and 00:00 of a day on which the contact
/// does not open. Whatever a strategy does with a contact, so, its weld is tried on the same days.
fn openings(trials_ms: &[Millis], openings_ms: &[Option<Millis>]) -> Vec<Millis> {
    let day_of = |at_ms: Millis| at_ms.div_euclid(DAY);
    let mut instants: Vec<Millis> = Vec::new();
    for (trial_ms, opening_ms) in trials_ms.iter().zip(openings_ms) {
        let opens_that_day = opening_ms.filter(|at_ms| day_of(*at_ms) == day_of(*trial_ms));
        instants.extend(opens_that_day.or((trial_ms % DAY == 0).then_some(*trial_ms)));
    }
    instants.sort_unstable();
    instants.dedup();
    instants
}

/// The contacts whose opening an effect prevents. Of a box those that are commanded: the rest open when they must, not from day to day.
fn held_closed(scenario: &Scenario, effect: &Effect) -> Vec<ContactId> {
    let commanded = |contact: &ContactId| scenario.contacts[contact.0].role.is_some();
    match effect {
        Effect::ContactWelded(contact) => vec![*contact],
        Effect::BoxWelded(of) => scenario.in_box(*of).filter(commanded).collect(),
        _ => Vec::new(),
    }
}

/// At how many of the instants a fault is tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Search {
    /// At all of them.
    Everywhere,
    /// From the one nearest to this on, ms, until one takes the water past the dose.
    FirstLossFrom(Millis),
}

fn worst(healthy: &Healthy<'_>, case: &FaultCase, search: Search) -> Result<Try, RunError> {
    let mut worst: Option<Try> = None;
    let mut tried = tries(healthy, &case.fault);
    if let Search::FirstLossFrom(near_ms) = search {
        tried.sort_by_key(|(at_ms, _)| at_ms.map(|at_ms| (at_ms - near_ms).abs()));
    }
    // Whoever looks for the first loss wants no more runs than it takes.
    let at_once = if search == Search::Everywhere {
        tried.len()
    } else {
        1
    };
    for some in tried.chunks(at_once.max(1)) {
        let mut lost = false;
        for this in tries_of(healthy, case, some, tried.len())? {
            lost |= this.harm().is_some_and(|(_, _, severity)| severity.takes_past);
            if worst.as_ref().is_none_or(|worst| this.is_worse_than(worst)) {
                worst = Some(this);
            }
        }
        if lost {
            break;
        }
    }
    worst.ok_or_else(|| RunError::UnresolvedPhase {
        name: case.fault.name.clone(),
    })
}

/// A case tried at some of the instants of all.
fn tries_of(
    healthy: &Healthy<'_>,
    case: &FaultCase,
    tried: &[(Option<Millis>, Happening)],
    of_all: usize,
) -> Result<Vec<Try>, RunError> {
    let cases: Vec<FaultCase> = tried
        .iter()
        .map(|(_, fault)| FaultCase {
            fault: fault.clone(),
            already: case.already.clone(),
        })
        .collect();
    let times: Vec<(Millis, Millis)> = tried
        .iter()
        .map(|(began_ms, _)| {
            let end_ms = began_ms.map_or(healthy.scenario.duration_ms, |began_ms| began_ms + HORIZON_MS);
            (began_ms.unwrap_or(0), end_ms)
        })
        .collect();
    let faults: Vec<Vec<Happening>> = cases
        .iter()
        .map(|case| case.happenings().cloned().collect())
        .collect();
    let branches: Vec<Branch<'_>> = faults
        .iter()
        .zip(&times)
        .map(|(faults, (judged_from_ms, end_ms))| Branch {
            faults,
            judged_from_ms: *judged_from_ms,
            end_ms: *end_ms,
        })
        .collect();
    let broken = run_branches(&healthy.request(&[], 0, healthy.scenario.duration_ms), &branches);
    let unbroken = healthy.unbroken(&times)?;
    let tries = u32::try_from(of_all).unwrap_or(u32::MAX);
    let told = cases
        .into_iter()
        .zip(tried)
        .zip(&times)
        .zip(broken.into_iter().zip(unbroken));
    told.map(|(((case, (began_ms, _)), (_, end_ms)), (scores, unbroken))| {
        Ok(Try {
            began_ms: *began_ms,
            end_ms: *end_ms,
            case,
            scores: scores?,
            unbroken,
            tries,
        })
    })
    .collect()
}

/// The outcome before anything is known.
fn blank(healthy: &Healthy<'_>, set: &str, case: &FaultCase) -> FaultOutcome {
    FaultOutcome {
        set: set.to_owned(),
        case: case.fault.name.clone(),
        component: component(healthy.scenario, &case.fault.effect),
        kind: fault_kind(healthy.scenario, &case.fault.effect),
        room: healthy.room,
        room_lowest_c: f64::NAN,
        room_highest_c: f64::NAN,
        began_h: None,
        tries: 1,
        horizon_h: hours(HORIZON_MS),
        tank: None,
        peak_c: None,
        lowest_c: None,
        hot_dose: None,
        cold_dose: None,
        beyond_k_h: None,
        hottest_body_c: None,
        peak_without_fault_c: None,
        lowest_without_fault_c: None,
        hot_dose_without_fault: None,
        cold_dose_without_fault: None,
        hot_reached_without_fault_h: Vec::new(),
        cold_reached_without_fault_h: Vec::new(),
        hot_used_up_h: None,
        hot_used_up_without_fault_h: None,
        cold_used_up_without_fault_h: None,
        cold_used_up_h: None,
        hot_reached_h: Vec::new(),
        cold_reached_h: Vec::new(),
        first_alert_h: None,
        heard_h: None,
        heard_by: None,
        acted_h: None,
        warning_lead_h: None,
        oxygen: None,
        salinity: None,
        past_dose: None,
        stays_below_dose: None,
        failure: None,
        cautions: cautions(healthy.scenario, &case.fault),
    }
}

fn filled(healthy: &Healthy<'_>, set: &str, fault: &FaultCase, worst: &Try) -> FaultOutcome {
    let began_ms = worst.began_ms.unwrap_or(0);
    let since = |at_ms: Option<Millis>| at_ms.map(|at_ms| hours(at_ms - began_ms));
    // What was computed where the room answers to what stands in it; it was kept from time zero on.
    let (room_lowest_c, room_highest_c) = if healthy.scenario.room.lumped.is_some() {
        (worst.scores.room.lowest_c, worst.scores.room.highest_c)
    } else {
        rooms::range_c(
            healthy.scenario,
            healthy.seed,
            healthy.replicate,
            began_ms,
            worst.end_ms,
        )
    };
    let mut outcome = FaultOutcome {
        room_lowest_c,
        room_highest_c,
        began_h: worst.began_ms.map(hours),
        tries: worst.tries,
        hottest_body_c: hottest_body_c(&worst.scores),
        horizon_h: hours(worst.end_ms - began_ms),
        first_alert_h: since(worst.scores.first_alert_ms),
        heard_h: since(worst.scores.heard.as_ref().map(|heard| heard.at_ms)),
        heard_by: worst.scores.heard.as_ref().map(|heard| heard.by.clone()),
        acted_h: since(worst.scores.acted_ms.filter(|at_ms| *at_ms >= began_ms)),
        warning_lead_h: worst.scores.warning_lead_ms.map(hours),
        salinity: FaultSalinity::of(&worst.scores.salinity, &worst.unbroken.salinity, began_ms),
        past_dose: PastDose::of(&worst.scores),
        ..blank(healthy, set, fault)
    };
    if outcome.hottest_body_c.is_some_and(|body_c| body_c > DRY_BODY_C) {
        outcome.cautions.push(Caution::RanDry);
        outcome.cautions.sort_unstable();
    }
    if let Some((tank, sound, _)) = worst.harm() {
        outcome.tank = Some(tank.tank.clone());
        outcome.peak_c = Some(tank.highest_c);
        outcome.lowest_c = Some(tank.lowest_c);
        outcome.hot_dose = Some(tank.hot.used);
        outcome.cold_dose = Some(tank.cold.used);
        outcome.beyond_k_h = Some(tank.hot.beyond_k_h.max(tank.cold.beyond_k_h));
        outcome.hot_used_up_h = since(tank.hot.used_up_ms);
        outcome.cold_used_up_h = since(tank.cold.used_up_ms);
        outcome.hot_reached_h = tank.hot.reached_ms.iter().map(|at_ms| since(*at_ms)).collect();
        outcome.cold_reached_h = tank.cold.reached_ms.iter().map(|at_ms| since(*at_ms)).collect();
        outcome.stays_below_dose = Some(tank.hot.used < 1.0 && tank.cold.used < 1.0);
        outcome.peak_without_fault_c = Some(sound.highest_c);
        outcome.lowest_without_fault_c = Some(sound.lowest_c);
        outcome.hot_dose_without_fault = Some(sound.hot.used);
        outcome.cold_dose_without_fault = Some(sound.cold.used);
        outcome.hot_used_up_without_fault_h = since(sound.hot.used_up_ms);
        outcome.cold_used_up_without_fault_h = since(sound.cold.used_up_ms);
        outcome.hot_reached_without_fault_h =
            sound.hot.reached_ms.iter().map(|at_ms| since(*at_ms)).collect();
        outcome.cold_reached_without_fault_h =
            sound.cold.reached_ms.iter().map(|at_ms| since(*at_ms)).collect();
        outcome.oxygen = tank.oxygen.as_ref().map(|oxygen| FaultOxygen {
            lowest_mg_per_l: oxygen.lowest_mg_per_l,
            lowest_saturation_frac: oxygen.lowest_saturation_frac,
            below_half_h: oxygen.below_half_h,
            below_half_after_h: since(oxygen.below_half_from_ms),
            below_half_after_without_fault_h: since(
                sound.oxygen.as_ref().and_then(|sound| sound.below_half_from_ms),
            ),
        });
    }
    outcome
}

/// The hottest body of all heaters, °C.
pub(crate) fn hottest_body_c(scores: &Scores) -> Option<f64> {
    scores
        .heaters
        .iter()
        .map(|heater| heater.hottest_body_c)
        .reduce(f64::max)
}

/// Cautions of a fault and of whatever the scenario has that needs one while it lasts.
fn cautions(scenario: &Scenario, fault: &Happening) -> Vec<Caution> {
    let called_for = for_effect(&fault.effect).cautions().iter();
    let mut cautions: Vec<Caution> = called_for
        .map(|caution| caution.where_stocked(scenario))
        .collect();
    if !scenario.fans.is_empty() && !cautions.is_empty() {
        cautions.push(Caution::FanNearWater);
    }
    cautions
}

/// Name of the component an effect breaks; `None`: no single one.
fn component(scenario: &Scenario, effect: &Effect) -> Option<String> {
    let name = match effect {
        Effect::ContactWelded(contact)
        | Effect::ContactStuckOpen(contact)
        | Effect::ContactChatters { contact, .. }
        | Effect::DialOff { contact, .. }
        | Effect::DialDrifts { contact, .. }
        | Effect::DialSet { contact, .. } => &scenario.contacts[contact.0].name,
        Effect::BoxWelded(of) | Effect::BoxStuckOpen(of) => &scenario.boxes[of.0],
        Effect::HeaterDead(heater) | Effect::HeaterUnplugged(heater) => &scenario.heaters[heater.0].name,
        Effect::FanStopped(fan) => &scenario.fans[fan.0].name,
        Effect::ChillerDead(chiller) | Effect::ChillerBlocked { chiller, .. } => {
            &scenario.chillers[chiller.0].name
        }
        Effect::LightOut(light) | Effect::LightLeftOn(light) => &scenario.lights[light.0].name,
        Effect::PumpStopped(pump) => &scenario.pumps[pump.0].name,
        Effect::ProbeOutOfWater(probe)
        | Effect::ProbeSilent(probe)
        | Effect::ProbeStuck(probe)
        | Effect::ProbeOffset { probe, .. }
        | Effect::ProbeDrifts { probe, .. }
        | Effect::ProbeNoisy { probe, .. }
        | Effect::ProbeReads { probe, .. }
        | Effect::ProbeInTank { probe, .. } => &scenario.probes[probe.0].name,
        Effect::Covered { tank, .. }
        | Effect::Leak { tank, .. }
        | Effect::WaterChange { tank, .. }
        | Effect::SealedIce { tank, .. }
        | Effect::SidesWrapped { tank, .. } => &scenario.tanks[tank.0].name,
        Effect::CircuitTripped(circuit) => &scenario.circuits[circuit.0].name,
        Effect::BackupDead(backup) | Effect::BackupStarted(backup) => &scenario.backups[backup.0].name,
        Effect::ControllerHung { .. }
        | Effect::PowerOut
        | Effect::MainsVoltage { .. }
        | Effect::HeatersUnplugged
        | Effect::HeatersHeldOff
        | Effect::TopOffStopped
        | Effect::TopOffStuckOn { .. }
        | Effect::RoomDeviceOff(_)
        | Effect::RoomDeviceStuckOn(_)
        | Effect::RoomShift { .. }
        | Effect::RoomCooled { .. }
        | Effect::NetworkDown
        | Effect::AlertsMuted => return None,
    };
    Some(name.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_weld_is_tried_on_the_same_days_whether_or_not_its_contact_opens_on_them() {
        let trials_ms: Vec<Millis> = [0, 45]
            .iter()
            .flat_map(|day| (0..8).map(move |phase| day * DAY + phase * 3 * HOUR))
            .collect();
        let days = |openings_ms: &[Option<Millis>]| {
            let mut days: Vec<Millis> = openings(&trials_ms, openings_ms)
                .iter()
                .map(|at_ms| at_ms / DAY)
                .collect();
            days.dedup();
            days
        };
        // A heater's contact opens every hour, a fan's not before summer, a third never.
        let hourly: Vec<_> = trials_ms.iter().map(|at_ms| Some(at_ms + HOUR)).collect();
        let in_summer = [Some(200 * DAY); 16];
        assert_eq!(days(&hourly), [0, 45]);
        assert_eq!(days(&in_summer), [0, 45]);
        assert_eq!(days(&[None; 16]), [0, 45]);
    }
}
