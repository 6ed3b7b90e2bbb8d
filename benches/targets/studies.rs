//! What a study costs beside its runs, on one core and on two.

use std::hint::black_box;
use std::sync::atomic::AtomicBool;
use std::time::Instant;

use tepid::compare::Silent;
use tepid::study::{Outcome, Plan, Shard, StudyRequest, study};
use tepid_output::records::StudyResult;
use tepid_scenarios::{Loaded, load_str};
use tepid_sim::run::{RunRequest, run};

use crate::Effort;
use crate::row::{Row, quickest_s};
use crate::years::{scenario, strategy};

/// Cells as short as they get: what is left is the study's own work.
pub(crate) const SHORT: &str = "duration = \"30 min\"\nscenarios = [{ base = \"lidded-nano\", set = { warm_up = \"0 h\" } }]\nfaults = [\"none\"]\n";
/// Cells as they are: a week of a tank.
const USUAL: &str = "duration = \"7 d\"\nscenarios = [\"lidded-nano\"]\nfaults = [\"none\"]\n";

/// Targets: see `docs/performance.md`.
const OVERHEAD_PERCENT: f64 = 5.0;
const TIMES_ON_TWO: f64 = 1.9;

pub(crate) fn plan(cells: &str, replicates: u64) -> Plan {
    let text = format!("strategies = [\"on-off\", \"proportional\"]\nreplicates = {replicates}\n{cells}");
    match load_str("bench.toml", &text).expect("a study that loads") {
        Loaded::Study(study) => Plan::new(*study).expect("a plan"),
        other => panic!("{other:?}"),
    }
}

/// Runs a study into a folder on so many threads; gives what it says, and how long it took, s.
pub(crate) fn run_study(plan: &Plan, threads: usize) -> (StudyResult, f64) {
    let folder = tempfile::tempdir().expect("a folder");
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .expect("threads");
    let request = StudyRequest {
        plan,
        path: "bench.toml",
        folder: Some(folder.path()),
        shard: Shard::WHOLE,
        baseline: None,
        stop: &AtomicBool::new(false),
    };
    let begin = Instant::now();
    let outcome = pool.install(|| study(&request, &Silent)).expect("runs");
    let took_s = begin.elapsed().as_secs_f64();
    match outcome {
        Outcome::Whole(result) => (*result, took_s),
        Outcome::Part { .. } => panic!("the whole was asked for"),
    }
}

/// The same runs without a study around them, one after another, s.
fn bare_s(replicates: u64) -> f64 {
    let scenario = scenario("lidded-nano", 7);
    let recipes = [strategy("on-off"), strategy("proportional")];
    quickest_s(1, || {
        for recipe in &recipes {
            for replicate in 0..replicates {
                let request = RunRequest {
                    replicate,
                    ..RunRequest::new(&scenario, recipe.as_ref(), 7)
                };
                black_box(run(&request, None).expect("runs"));
            }
        }
    })
}

pub(crate) fn rows(effort: Effort) -> Vec<Row> {
    let (short, usual, rounds) = effort.choose((5_000, 300, 3), (5, 1, 1));
    let (result, took_s) = run_study(&plan(SHORT, short), 2);
    let cells = result.cells_done as f64;
    let mut rows = vec![Row::told(
        format!("{} cells of half an hour, two threads", result.cells_done),
        format!("{took_s:.2} s, {:.0} µs a cell", took_s * 1e6 / cells),
    )];
    let usual_plan = plan(USUAL, usual);
    // One after another in turns, so that whatever else the machine does meets all three.
    let (mut bare, mut one, mut two) = (f64::INFINITY, f64::INFINITY, f64::INFINITY);
    for _ in 0..rounds {
        bare = bare.min(bare_s(usual));
        one = one.min(run_study(&usual_plan, 1).1);
        two = two.min(run_study(&usual_plan, 2).1);
    }
    let beyond = 100.0 * (one / bare - 1.0);
    rows.push(
        Row::told(
            format!("{} cells of a week beside their bare runs", usual_plan.cells()),
            format!("{one:.2} s beside {bare:.2} s, {beyond:+.1} %"),
        )
        .at_most(beyond, OVERHEAD_PERCENT, "%"),
    );
    rows.push(
        Row::told(
            "the same on two threads",
            format!("{:.2} times as fast as on one", one / two),
        )
        .at_least(one / two, TIMES_ON_TWO, "times"),
    );
    rows
}
