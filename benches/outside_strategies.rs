//! What a script and an outside program cost beside a built-in strategy: a tank-week each, in one run, at an interval of 10 s.
//!
//! `cargo bench --bench outside_strategies` prints the figures that `docs/script.md` and `docs/program.md` state.
#![expect(clippy::print_stdout, reason = "a bench shows its figures")]

use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::DAY;
use tepid_strategies::script::{Script, TEMPLATE};
use tepid_strategies::values::Values;

const SCENARIO: &str = "lidded-nano";
const PROGRAM: &str = "examples/programs/proportional.toml";

fn strategy(name_or_path: &str) -> Box<dyn StrategyRecipe> {
    tepid_scenarios::strategy(name_or_path)
        .expect("a strategy that loads")
        .recipe
}

fn script() -> Box<dyn StrategyRecipe> {
    let script = Script::read("template.rhai", TEMPLATE).expect("the template");
    script
        .build("template", &Values::new(script.params()))
        .expect("defaults fit together")
}

/// The quickest of several weeks: other programs only ever make it slower.
fn week(scenario: &Scenario, recipe: &dyn StrategyRecipe, runs: u32) -> Result<Duration, String> {
    let request = RunRequest::new(scenario, recipe, 7);
    let mut quickest = Duration::MAX;
    for _ in 0..runs {
        let begun = Instant::now();
        run(black_box(&request), None).map_err(|error| error.to_string())?;
        quickest = quickest.min(begun.elapsed());
    }
    Ok(quickest)
}

fn main() {
    // `cargo bench` says so; `cargo test --benches` only wants to see that it runs.
    let in_earnest = std::env::args().any(|argument| argument == "--bench");
    let mut scenario = tepid_scenarios::scenario(SCENARIO, &[]).expect("a library scenario loads");
    scenario.duration_ms = if in_earnest { 7 * DAY } else { DAY / 24 };
    let runs = if in_earnest { 10 } else { 1 };
    let built_in = week(&scenario, strategy("on-off").as_ref(), runs).expect("runs");
    let script = week(&scenario, script().as_ref(), runs).expect("runs");
    println!("{SCENARIO}, a tank-week at an interval of 10 s, the quickest of {runs}");
    println!("built-in on-off       {:8.1} ms", built_in.as_secs_f64() * 1e3);
    println!(
        "script, the template  {:8.1} ms, {:.1} times the built-in one",
        script.as_secs_f64() * 1e3,
        script.as_secs_f64() / built_in.as_secs_f64()
    );
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(PROGRAM);
    match week(&scenario, strategy(&path.to_string_lossy()).as_ref(), runs.min(2)) {
        Ok(program) => println!("program in Python     {:8.1} ms", program.as_secs_f64() * 1e3),
        Err(why) => println!("program in Python     not run: {why}"),
    }
}
