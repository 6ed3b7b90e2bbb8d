//! One run that goes on in several ways: what they have in common is computed once.
//!
//! Every way gives the same bits as a run of its own from the start. What cannot branch is run so: several water systems, a strategy
//! without a twin, and faults that reach back before they begin (a probe that freezes what it read, a controller that comes back in an older
//! state, a probe or cover that the network is built for).

use super::controller::Controller;
use super::loops::Loop;
use super::{RunError, RunRequest, controlled_apart, hazard, run};
use crate::plant::Plant;
use crate::scenario::{Effect, Happening, When};
use crate::scores::Scores;
use crate::strategy::Wiring;
use crate::time::Millis;

/// A way in which a run goes on.
#[derive(Debug, Clone, Copy)]
pub struct Branch<'b> {
    /// What breaks.
    pub faults: &'b [Happening],
    /// Temperatures and alerts are judged from this instant on, ms, ≥ 0.
    pub judged_from_ms: Millis,
    /// Its end, ms.
    pub end_ms: Millis,
}

impl Branch<'_> {
    /// Up to when it is the run with nothing broken.
    fn parts(&self) -> bool {
        self.judged_from_ms >= 0 && self.faults.iter().all(|fault| self.begins_with(fault))
    }

    fn begins_with(&self, fault: &Happening) -> bool {
        let changes_nothing_before = matches!(
            fault.effect,
            Effect::ContactWelded(_)
                | Effect::ContactStuckOpen(_)
                | Effect::BoxWelded(_)
                | Effect::BoxStuckOpen(_)
                | Effect::HeaterDead(_)
                | Effect::FanStopped(_)
                | Effect::ChillerDead(_)
        );
        changes_nothing_before && fault.when == When::At(self.judged_from_ms)
    }
}

/// Runs a scenario in every one of these ways; the faults, the first instant judged and the end of `request` are those of the branches instead.
///
/// # Errors
/// Of each, as [`run`].
#[must_use]
pub fn run_branches(request: &RunRequest<'_>, branches: &[Branch<'_>]) -> Vec<Result<Scores, RunError>> {
    let alone = |branch: &Branch<'_>| {
        run(
            &RunRequest {
                faults: branch.faults,
                judged_from_ms: branch.judged_from_ms,
                end_ms: branch.end_ms,
                ..*request
            },
            None,
        )
    };
    let mut results: Vec<Option<Result<Scores, RunError>>> = vec![None; branches.len()];
    // One alone has nothing in common with another.
    if branches.len() > 1 {
        // What goes wrong on the way is told by the runs of their own.
        let _ = branched(request, branches, &mut results);
    }
    let pairs = results.into_iter().zip(branches);
    pairs
        .map(|(result, branch)| result.unwrap_or_else(|| alone(branch)))
        .collect()
}

fn branched(
    request: &RunRequest<'_>,
    branches: &[Branch<'_>],
    results: &mut [Option<Result<Scores, RunError>>],
) -> Result<(), RunError> {
    let scenario = request.scenario;
    let mut order: Vec<usize> = (0..branches.len()).filter(|at| branches[*at].parts()).collect();
    order.sort_by_key(|at| branches[*at].judged_from_ms);
    if order.is_empty() || !controlled_apart(scenario, request.recipe)?.is_empty() {
        return Ok(());
    }
    let happenings: Vec<Happening> = scenario
        .happenings
        .iter()
        .chain(scenario.acts())
        .cloned()
        .collect();
    if happenings
        .iter()
        .any(|happening| happening.when == When::WorstPhase)
    {
        return Ok(());
    }
    let happenings = hazard::resolved(happenings, request.seed, request.replicate);
    let plant = Plant::compile(scenario, &[])?;
    let controller = Controller::new(request.recipe, Wiring::of(scenario), &happenings)?;
    let healthy = RunRequest {
        faults: &[],
        judged_from_ms: Millis::MAX,
        end_ms: Millis::MAX,
        ..*request
    };
    let mut trunk = Loop::new(&healthy, &plant, happenings, controller, None);
    let mut now_ms = trunk.begin()?;
    for at in order {
        let branch = &branches[at];
        // A stop of its own would be a split tick: the trunk goes to the last decision before, where it stops in any case.
        let decision_ms = branch.judged_from_ms.div_euclid(trunk.interval_ms) * trunk.interval_ms;
        now_ms = trunk.go_to(now_ms, decision_ms)?;
        let Some(mut twin) = trunk.twin() else {
            return Ok(());
        };
        twin.judge(branch.judged_from_ms, branch.end_ms);
        for fault in branch.faults {
            twin.timeline.add(fault.clone(), branch.judged_from_ms);
        }
        results[at] = Some(twin.run_from(now_ms, None));
    }
    Ok(())
}
