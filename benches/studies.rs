//! What a study costs beside its runs: cells a second on one core and on two, and memory from a thousand cells to a hundred thousand.
//!
//! `cargo bench --bench studies` prints the figures; ratios are of one run on one machine.
#![expect(clippy::print_stdout, reason = "a bench shows its figures")]

use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use tepid::compare::Silent;
use tepid::study::{Outcome, Plan, Shard, StudyRequest, study};
use tepid_scenarios::{Loaded, load_str};

/// Cells as short as they get: what is left is the study's own work.
const SHORT: &str = "duration = \"30 min\"\nscenarios = [{ base = \"lidded-nano\", set = { warm_up = \"0 h\" } }]\nfaults = [\"none\"]\n";
/// Cells as they are: a day of a tank, healthy and with each contact welded.
const USUAL: &str =
    "duration = \"1 d\"\nscenarios = [\"lidded-nano\"]\nfaults = [\"none\", \"one contact welded\"]\n";

fn plan(cells: &str, replicates: u64) -> Plan {
    let text = format!("strategies = [\"on-off\", \"proportional\"]\nreplicates = {replicates}\n{cells}");
    match load_str("bench.toml", &text).expect("a study that loads") {
        Loaded::Study(study) => Plan::new(*study).expect("a plan"),
        other => panic!("{other:?}"),
    }
}

/// Runs a study into a folder on so many threads; gives its cells and how long it took.
fn run(plan: &Plan, threads: usize) -> (u64, Duration) {
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
    let took = begin.elapsed();
    match outcome {
        Outcome::Whole(result) => (result.cells_done, took),
        Outcome::Part { .. } => panic!("the whole was asked for"),
    }
}

/// Peak memory of this process so far, MB; `None` where the kernel does not tell.
fn peak_mb() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kb: f64 = line.trim().trim_end_matches(" kB").parse().ok()?;
    Some(kb / 1000.0)
}

fn main() {
    // `cargo bench` says so; `cargo test --benches` only wants to see that it runs.
    let in_earnest = std::env::args().any(|argument| argument == "--bench");
    let counts: &[u64] = if in_earnest { &[500, 5_000, 50_000] } else { &[5] };
    println!("short cells (half an hour of a tank), two strategies");
    for replicates in counts {
        let (cells, took) = run(&plan(SHORT, *replicates), 2);
        let memory = peak_mb().map_or_else(|| "?".to_owned(), |peak| format!("{peak:.1}"));
        println!(
            "{cells:>8} cells  {:8.2} s  peak memory {memory} MB",
            took.as_secs_f64()
        );
    }
    let (replicates, rounds) = if in_earnest { (200, 3) } else { (1, 1) };
    let usual = plan(USUAL, replicates);
    let quickest = |threads: usize| {
        let times = (0..rounds).map(|_| run(&usual, threads).1);
        times.min().unwrap_or_default().as_secs_f64()
    };
    let (one, two) = (quickest(1), quickest(2));
    println!(
        "usual cells (a day, healthy and welded): {:.1} cells a second on one thread, {:.2} times as many on two",
        usual.cells() as f64 / one,
        one / two
    );
}
