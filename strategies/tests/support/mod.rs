//! A wiring to bind to and a bench that carries out commands as a run does.

pub mod bench;
pub mod wiring;

use tepid_sim::strategy::StrategyRecipe;
use tepid_strategies::find;
use tepid_strategies::values::Value;

/// The recipe of that name with these values given.
pub fn recipe(name: &str, given: &[(&str, Value)]) -> Box<dyn StrategyRecipe> {
    let entry = find(name).expect("a strategy of that name");
    let mut values = entry.defaults();
    for (param, value) in given {
        values.set(param, value.clone()).expect("a value that may stand");
    }
    (entry.build)(&values).expect("values that fit together")
}

/// A word or a name.
pub fn text(word: &str) -> Value {
    Value::Text(word.to_owned())
}
