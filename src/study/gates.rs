//! What must hold, judged on every group that a gate speaks of.

use tepid_output::records::{
    GateBound, GateOf, GateResult, GateVerdict, ScoreSummary, ScoreUnit, StudyGroup,
};
use tepid_output::wording::quoted;
use tepid_scenarios::{Gate, GateFigure, Tolerance, Worse};

use super::baseline::Baseline;
use super::plan::Plan;

/// Scores without a value where there was nothing to judge: no dose used up, nothing to recover from.
const NOTHING_TO_JUDGE: [&str; 2] = ["warning lead", "recovery"];

/// Every gate on every group it speaks of, broken ones first. `path` is the study's, for the commands that replay.
pub(super) fn judged(
    plan: &Plan,
    path: &str,
    groups: &[StudyGroup],
    expected: impl Fn(&StudyGroup) -> u64,
    baseline: Option<&Baseline>,
) -> Vec<GateResult> {
    let mut results = Vec::new();
    for (number, gate) in plan.study.gates.iter().enumerate() {
        for group in groups.iter().filter(|group| plan.speaks_of(gate, group)) {
            let asked = Asked {
                number: number as u32 + 1,
                gate,
                group,
                path,
                is_whole: group.replicates == expected(group),
            };
            results.extend(asked.results(baseline));
        }
    }
    results.sort_by_key(|result| match result.verdict {
        GateVerdict::Broken => 0,
        GateVerdict::NotJudged => 1,
        GateVerdict::Holds => 2,
    });
    results
}

struct Asked<'a> {
    number: u32,
    gate: &'a Gate,
    group: &'a StudyGroup,
    path: &'a str,
    /// Every replicate has a result.
    is_whole: bool,
}

impl Asked<'_> {
    fn results(&self, baseline: Option<&Baseline>) -> Vec<GateResult> {
        let gate = self.gate;
        // Without a baseline nothing is held against one: whoever keeps the first has none yet.
        let held = gate.no_worse_than_baseline.zip(baseline);
        let kept =
            held.map(
                |(tolerance, baseline)| match baseline.figure(self.group, gate.score.name, gate.of) {
                    Some(kept) => GateBound::NoWorseThanBaseline {
                        baseline: kept,
                        limit: self.limit(kept, tolerance),
                    },
                    None => GateBound::NoBaseline,
                },
            );
        let at_most = gate.at_most.map(|limit| GateBound::AtMost { limit });
        let at_least = gate.at_least.map(|limit| GateBound::AtLeast { limit });
        [at_most, at_least, kept]
            .into_iter()
            .flatten()
            .map(|bound| self.result(bound))
            .collect()
    }

    /// The worst figure that a baseline still lets through.
    fn limit(&self, kept: f64, tolerance: Tolerance) -> f64 {
        let by = match tolerance {
            Tolerance::Share(share) => kept.abs() * share,
            Tolerance::By(by) => by,
        };
        match self.gate.score.worse {
            Worse::Larger => kept + by,
            Worse::Smaller => kept - by,
        }
    }

    fn result(&self, bound: GateBound) -> GateResult {
        let gate = self.gate;
        let summary = self.summary();
        let value = summary.map(|summary| figure(summary, gate));
        let worst = summary.map(|summary| summary.worst.clone());
        let replay = worst
            .as_ref()
            .map(|worst| format!("tepid run {} --cell {}", quoted(self.path), quoted(&worst.cell)));
        GateResult {
            gate: self.number,
            score: gate.score.name.to_owned(),
            unit: ScoreUnit::of(gate.score.kind),
            scenario: self.group.scenario.clone(),
            strategy: self.group.strategy.clone(),
            fault_set: self.group.fault_set.clone(),
            case: self.group.case.clone(),
            of: match gate.of {
                GateFigure::WorstRun => GateOf::WorstRun,
                GateFigure::Mean => GateOf::Mean,
                GateFigure::WorstTwentieth => GateOf::WorstTwentieth,
            },
            value,
            bound,
            verdict: self.verdict(value, bound),
            worst,
            replay,
        }
    }

    fn summary(&self) -> Option<&ScoreSummary> {
        let mut scores = self.group.scores.iter();
        scores.find(|summary| summary.score == self.gate.score.name)
    }

    fn verdict(&self, value: Option<f64>, bound: GateBound) -> GateVerdict {
        let holds = match (value, bound) {
            (_, GateBound::NoBaseline) => return GateVerdict::NotJudged,
            (Some(value), GateBound::AtMost { limit }) => value <= limit,
            (Some(value), GateBound::AtLeast { limit }) => value >= limit,
            (Some(value), GateBound::NoWorseThanBaseline { limit, .. }) => {
                !self.gate.score.is_worse(value, limit)
            }
            (None, _) if NOTHING_TO_JUDGE.contains(&self.gate.score.name) => true,
            (None, _) => return GateVerdict::NotJudged,
        };
        match (holds, self.is_whole) {
            // Further runs can only be worse, but they may lower a mean.
            (false, _) => GateVerdict::Broken,
            (true, false) => GateVerdict::NotJudged,
            (true, true) => GateVerdict::Holds,
        }
    }
}

/// The figure that a gate judges.
pub(super) fn figure(summary: &ScoreSummary, gate: &Gate) -> f64 {
    figure_of(summary, gate.of, gate.score.worse)
}

/// One of the figures of a group's runs.
pub(super) fn figure_of(summary: &ScoreSummary, of: GateFigure, worse: Worse) -> f64 {
    let [low, _, high] = summary.quantiles;
    match (of, worse) {
        (GateFigure::WorstRun, _) => summary.worst.value,
        (GateFigure::Mean, _) => summary.mean,
        (GateFigure::WorstTwentieth, Worse::Larger) => high,
        (GateFigure::WorstTwentieth, Worse::Smaller) => low,
    }
}
