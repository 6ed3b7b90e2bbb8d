//! What scripts and an outside program cost beside a built-in strategy: a tank-week each, in one run, at an interval of 10 s.
//!
//! `cargo bench --bench outside_strategies` prints the figures that `docs/script.md` and `docs/program.md` state.
#![expect(clippy::print_stdout, reason = "a bench shows its figures")]

use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::strategy::{BindError, Commands, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring};
use tepid_sim::time::{DAY, MINUTE, Millis, SECOND};
use tepid_strategies::script::{Script, TEMPLATE};
use tepid_strategies::values::{Value, Values};

const SCENARIO: &str = "lidded-nano";
const PROGRAM: &str = "examples/programs/proportional.toml";

fn strategy(name_or_path: &str) -> Box<dyn StrategyRecipe> {
    tepid_scenarios::strategy(name_or_path)
        .expect("a strategy that loads")
        .recipe
}

/// A script whose memory changes at every decision, so that each of them is worked out.
const MINIMUM_TIMES: &str = include_str!("../examples/scripts/minimum-times.rhai");

fn script(text: &str, interval_ms: Millis) -> Box<dyn StrategyRecipe> {
    let script = Script::read("script.rhai", text).expect("a script that holds");
    let mut values = Values::new(script.params());
    values
        .set("interval", Value::Time(interval_ms))
        .expect("an interval within bounds");
    script.build("script", &values).expect("values fit together")
}

/// A strategy that is asked at every decision, as scripts and programs are.
#[derive(Debug)]
struct Asked(Box<dyn StrategyRecipe>);

struct Bound(Box<dyn Strategy>);

impl StrategyRecipe for Asked {
    fn name(&self) -> &str {
        self.0.name()
    }

    fn settings(&self) -> String {
        self.0.settings()
    }

    fn interval_ms(&self) -> Millis {
        self.0.interval_ms()
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(Bound(self.0.bind(wiring)?)))
    }
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        self.0.decide(seen, commands)
    }
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
    println!("{SCENARIO}, a tank-week at an interval of 10 s, the quickest of {runs}");
    println!(
        "built-in on-off                      {:8.1} ms",
        built_in.as_secs_f64() * 1e3
    );
    let others = [
        ("on-off, asked at every decision", Asked(strategy("on-off"))),
        ("script, the template", Asked(script(TEMPLATE, 10 * SECOND))),
        (
            "script that counts the time",
            Asked(script(MINIMUM_TIMES, 10 * SECOND)),
        ),
        (
            "the same, asked once a minute",
            Asked(script(MINIMUM_TIMES, MINUTE)),
        ),
    ];
    for (what, recipe) in others {
        let took = week(&scenario, &recipe, runs).expect("runs");
        println!(
            "{what:<36} {:8.1} ms, {:.1} times the built-in one",
            took.as_secs_f64() * 1e3,
            took.as_secs_f64() / built_in.as_secs_f64()
        );
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(PROGRAM);
    match week(&scenario, strategy(&path.to_string_lossy()).as_ref(), runs.min(2)) {
        Ok(program) => println!(
            "program in Python                    {:8.1} ms",
            program.as_secs_f64() * 1e3
        ),
        Err(why) => println!("program in Python                    not run: {why}"),
    }
}
