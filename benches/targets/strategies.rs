//! What scripts and a program cost beside a built-in strategy: a tank-week each at an interval of 10 s.

use std::path::Path;

use tepid_sim::strategy::{BindError, Commands, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring};
use tepid_sim::time::{MINUTE, Millis, SECOND};
use tepid_strategies::script::{Script, TEMPLATE};
use tepid_strategies::values::{Value, Values};

use crate::Effort;
use crate::row::Row;
use crate::years::{run_s, scenario, strategy};

/// A script whose memory changes at every decision, so that each of them is worked out.
const MINIMUM_TIMES: &str = include_str!("../../examples/scripts/minimum-times.rhai");
const PROGRAM: &str = "examples/programs/proportional.toml";

/// Times the built-in on-off that a script may take. A target: see `docs/performance.md`.
const TIMES: f64 = 10.0;

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

pub(crate) fn rows(effort: Effort) -> Vec<Row> {
    let (days, rounds) = effort.choose((7, 10), (1, 1));
    let scenario = scenario("lidded-nano", days);
    let week_ms =
        |recipe: &dyn StrategyRecipe, rounds| run_s(&scenario, recipe, rounds) * 1e3 * 7.0 / days as f64;
    let built_in_ms = week_ms(strategy("on-off").as_ref(), rounds);
    let beside = |what: &str, recipe: &dyn StrategyRecipe| {
        let took_ms = week_ms(recipe, rounds);
        let times = took_ms / built_in_ms;
        let row = Row::told(what, format!("{took_ms:.1} ms, {times:.1} times on-off"));
        (row, times)
    };
    let script = |what: &str, text, interval_ms| {
        let (row, times) = beside(what, script(text, interval_ms).as_ref());
        row.at_most(times, TIMES, "times on-off")
    };
    let mut rows = vec![
        Row::told("a week of the built-in on-off", format!("{built_in_ms:.1} ms")),
        beside("the same, asked at every decision", &Asked(strategy("on-off"))).0,
        script(
            "the script that `tepid new strategy` writes",
            TEMPLATE,
            10 * SECOND,
        ),
        script("a script that counts the time", MINIMUM_TIMES, 10 * SECOND),
        script("the same, asked once a minute", MINIMUM_TIMES, MINUTE),
    ];
    // The first run tells whether the machine has what the program needs.
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(PROGRAM);
    let program = strategy(&path.to_string_lossy());
    let request = tepid_sim::run::RunRequest::new(&scenario, program.as_ref(), 7);
    rows.push(match tepid_sim::run::run(&request, None) {
        Ok(_) => Row::told(
            "a program in Python",
            format!("{:.0} ms", week_ms(program.as_ref(), 1)),
        ),
        Err(why) => Row::told("a program in Python", format!("not run: {why}")),
    });
    rows
}
