//! What a study will take, before anything runs.

use std::time::{Duration, Instant};

use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Scenario, When};
use tepid_sim::scores::trial_instants;
use tepid_sim::time::{DAY, Millis};

use super::plan::{Pair, Plan};
use crate::exposure::HORIZON_MS;

/// What a study will take at most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// Cells.
    pub cells: u64,
    /// Time on one core, about.
    pub on_one_core: Duration,
    /// Bytes that `--results` writes, about.
    pub bytes: u64,
}

/// Bytes of a cell in all files together, and of a group (measured on studies of the library; `tests/behaviour/studies/variants.rs` holds them to a
/// factor of two).
const BYTES_PER_CELL: u64 = 700;
const BYTES_PER_GROUP: u64 = 20_000;

/// A run for the clock is no longer than this.
const TIMED_MS: Millis = 2 * DAY;

impl Effort {
    /// Times a short run of each scenario, and counts.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let mut on_one_core = Duration::ZERO;
        let mut groups = 0;
        let mut timed: Option<(usize, f64)> = None;
        for pair in &plan.pairs {
            groups += plan.cases(*pair).len() as u64;
            // One clock for each scenario: strategies of one scenario take about the same.
            let rate = match timed {
                Some((scenario, rate)) if scenario == pair.scenario => rate,
                _ => rate(plan, *pair),
            };
            timed = Some((pair.scenario, rate));
            on_one_core += Duration::from_secs_f64(rate * simulated_ms(plan, *pair) as f64);
        }
        let replicates = u32::try_from(plan.study.replicates).unwrap_or(u32::MAX);
        Self {
            cells: plan.cells(),
            on_one_core: on_one_core.saturating_mul(replicates),
            bytes: plan.cells() * BYTES_PER_CELL + groups * BYTES_PER_GROUP,
        }
    }
}

/// Seconds for each simulated millisecond; 0 where the run fails at once.
fn rate(plan: &Plan, pair: Pair) -> f64 {
    let scenario = &plan.scenarios[pair.scenario].scenario;
    let recipe = plan.strategies[pair.strategy].recipe.as_ref();
    let request = RunRequest::new(scenario, recipe, plan.study.seed);
    let end_ms = request.end_ms.min(TIMED_MS);
    let begin = Instant::now();
    // What fails here fails in the study, which says why.
    let _ = run(&RunRequest { end_ms, ..request }, None);
    begin.elapsed().as_secs_f64() / (scenario.warm_up_ms + end_ms) as f64
}

/// Time that one replicate of a pair simulates: the healthy run, and for each fault case the way to its instants and what follows each; once more the
/// same with nothing broken.
fn simulated_ms(plan: &Plan, pair: Pair) -> Millis {
    let scenario = &plan.scenarios[pair.scenario].scenario;
    let healthy_ms = scenario.warm_up_ms + scenario.duration_ms;
    let each = plan.cases(pair).iter().filter_map(|case| case.fault(scenario));
    let tries = each.map(|case| match case.fault.when {
        When::WorstPhase => way_ms(scenario, trial_instants(scenario).len()),
        When::At(_) => way_ms(scenario, 1),
        _ => healthy_ms,
    });
    let tries: Vec<Millis> = tries.collect();
    let unbroken_ms = tries.iter().copied().max().unwrap_or(0);
    healthy_ms + unbroken_ms + tries.iter().sum::<Millis>()
}

fn way_ms(scenario: &Scenario, instants: usize) -> Millis {
    scenario.warm_up_ms + DAY + HORIZON_MS * instants as Millis
}
