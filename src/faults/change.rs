//! One change tried on one single point of failure.

use tepid_output::records::{Change, EditKind, FaultOutcome, FaultRow, RoomKind, Severity};
use tepid_scenarios::fault_sets;
use tepid_sim::scenario::{FaultCase, FaultSet};
use tepid_sim::time::{HOUR, Millis};

use super::Study;
use super::edits;
use super::held::held;
use super::set_up::SetUp;
use crate::exposure::nearest_loss;

/// A changed scenario in all rooms, or why it keeps the unbroken tank no longer.
pub(super) struct Changed {
    pub(super) edits: Vec<EditKind>,
    set_up: Option<SetUp>,
    breaks: Option<String>,
}

impl Changed {
    /// `None` where a change changes nothing.
    pub(super) fn new(edits: &[EditKind], study: &Study<'_>, present: &SetUp) -> Option<Self> {
        let scenario = edits::with(edits, study.scenario)?;
        let set_up = SetUp::new(scenario, study.recipe, study.seed);
        let breaks = match &set_up {
            Ok(set_up) => set_up.keeps_worse_than(present),
            Err(error) => Some(error.to_string()),
        };
        Some(Self {
            edits: edits.to_vec(),
            set_up: set_up.ok(),
            breaks,
        })
    }

    /// Whether it removes a single point of failure, tried in the room in which that is worst first; `lost_anyway` are the rooms in which the dose is used
    /// up as things stand with nothing broken.
    pub(super) fn tried_on(&self, point: &FaultRow, lost_anyway: &[RoomKind], study: &Study<'_>) -> Change {
        let mut change = Change {
            edits: self.edits.clone(),
            removes: false,
            breaks_healthy: self.breaks.clone(),
            outcome: None,
            held: None,
        };
        let Some(set_up) = self.set_up.as_ref().filter(|_| self.breaks.is_none()) else {
            return change;
        };
        let cases = same_failures(study.sets, &fault_sets(&set_up.scenario), &point.outcome);
        let mut healthy = set_up.healthy(study.recipe, study.seed);
        healthy.sort_by_key(|healthy| healthy.room != point.outcome.room);
        let near_ms = (point.outcome.began_h.unwrap_or(0.0) * HOUR as f64).round() as Millis;
        let outcomes = healthy.iter().flat_map(|room| {
            let cases = cases.iter();
            cases.map(move |case| nearest_loss(room, &point.outcome.set, case, near_ms))
        });
        let (outcome, is_kept) = worst(outcomes, lost_anyway);
        change.outcome = outcome;
        change.removes = is_kept;
        if is_kept {
            change.held = held(set_up, study.recipe, study.seed).ok();
        }
        change
    }
}

/// The worst outcome, and whether the water stays on this side of the dose in all rooms but those in which it is lost anyway; ends with the
/// first that does not.
fn worst(
    outcomes: impl Iterator<Item = FaultOutcome>,
    lost_anyway: &[RoomKind],
) -> (Option<FaultOutcome>, bool) {
    let mut worst: Option<FaultOutcome> = None;
    for outcome in outcomes {
        let is_lost = outcome.past_without_fault() && !lost_anyway.contains(&outcome.room);
        if is_lost || outcome.failure.is_some() || outcome.taken_past_h().is_some() {
            return (Some(outcome), false);
        }
        if worst
            .as_ref()
            .is_none_or(|worst| Severity::of(&outcome) > Severity::of(worst))
        {
            worst = Some(outcome);
        }
    }
    let is_kept = worst.is_some();
    (worst, is_kept)
}

/// The fault in the changed scenario, and the same failure of parts that the change added.
fn same_failures(before: &[FaultSet], after: &[FaultSet], point: &FaultOutcome) -> Vec<FaultCase> {
    let cases_of = |sets: &[FaultSet]| -> Vec<FaultCase> {
        let set = sets.iter().find(|set| set.name == point.set);
        set.map_or_else(Vec::new, |set| set.cases.clone())
    };
    let known = cases_of(before);
    let is_new = |case: &FaultCase| known.iter().all(|known| known.fault.name != case.fault.name);
    let mut same = cases_of(after);
    same.retain(|case| case.fault.name == point.case || is_new(case));
    same
}
