//! A tank-year on one core: milliseconds a year and nanoseconds a tick.
//!
//! `cargo bench` prints criterion's figures first, then a plain summary. Scenarios of the library, made a year long, under on-off at its
//! interval of 10 s, without a trace.
#![expect(clippy::print_stdout, reason = "a bench shows its figures")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use criterion::{Criterion, SamplingMode, criterion_group};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{DAY, Millis};

const SCENARIOS: [&str; 2] = ["spare-room-winter", "lidded-nano"];
const YEAR_MS: Millis = 365 * DAY;
/// Timed years of the summary; the quickest counts, because other programs only ever make it slower.
const SUMMARY_RUNS: u32 = 3;

fn year_long(name: &str) -> Scenario {
    let mut scenario = tepid_scenarios::scenario(name, &[]).expect("a library scenario loads");
    scenario.duration_ms = YEAR_MS;
    scenario
}

fn on_off() -> Box<dyn StrategyRecipe> {
    tepid_scenarios::strategy("on-off")
        .expect("a built-in strategy")
        .recipe
}

fn tank_year(criterion: &mut Criterion) {
    let recipe = on_off();
    let mut group = criterion.benchmark_group("tank-year");
    group.sample_size(10).sampling_mode(SamplingMode::Flat);
    group
        .warm_up_time(Duration::from_millis(500))
        .measurement_time(Duration::from_secs(6));
    for name in SCENARIOS {
        let scenario = year_long(name);
        let request = RunRequest::new(&scenario, recipe.as_ref(), 7);
        group.bench_function(name, |bencher| {
            bencher.iter(|| run(black_box(&request), None).expect("runs"))
        });
    }
    group.finish();
}

criterion_group!(years, tank_year);

fn summary() {
    let recipe = on_off();
    let ticks = (YEAR_MS / recipe.interval_ms()) as f64;
    for name in SCENARIOS {
        let scenario = year_long(name);
        let request = RunRequest::new(&scenario, recipe.as_ref(), 7);
        let quickest = (0..SUMMARY_RUNS)
            .map(|_| {
                let begun = Instant::now();
                run(black_box(&request), None).expect("runs");
                begun.elapsed()
            })
            .min()
            .unwrap_or_default();
        let year_s = quickest.as_secs_f64();
        println!(
            "{name}: {:.0} ms per tank-year, {:.0} ns per tick of 10 s",
            year_s * 1e3,
            year_s * 1e9 / ticks
        );
    }
}

fn main() {
    years();
    // `cargo bench` says so; `cargo test --benches` only wants to see that it runs.
    if std::env::args().any(|argument| argument == "--bench") {
        summary();
    }
    Criterion::default().configure_from_args().final_summary();
}
