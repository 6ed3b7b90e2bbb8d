//! The suite that the built-in strategies pass, for a strategy of one's own.

use own_strategy::ENTRY;
use tepid::conformance::conformance;

#[test]
fn the_strategy_bears_what_happens_to_a_controller() {
    let recipe = (ENTRY.build)(&ENTRY.defaults()).expect("defaults");
    let record = conformance(ENTRY.name, recipe.as_ref());
    assert_eq!(record.failures(), 0, "{record:#?}");
}
