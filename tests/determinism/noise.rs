//! Clause: a random number is a function of what it is for and of absolute time. Watched: draws that depend on how often somebody looked.

use crate::support::{Row, Rows, short_scenario, strategy};
use tepid_sim::ids::PumpId;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, ProbePurpose, Scenario, When};
use tepid_sim::time::{HOUR, MINUTE, Millis};

/// The room of each run's rows at whole minutes.
fn rooms(rows: &[Row]) -> Vec<(Millis, u64)> {
    rows.iter()
        .filter(|row| row.at_ms % MINUTE == 0)
        .map(|row| (row.at_ms, row.room_c.to_bits()))
        .collect()
}

/// Error of the main probe's reading at whole minutes, where the probe has neither lag nor resolution, so that it is noise alone.
fn noise(scenario: &Scenario, rows: &[Row]) -> Vec<(Millis, f64)> {
    let tank = scenario.probes[0].tank.expect("a tank").0;
    rows.iter()
        .filter(|row| row.at_ms % MINUTE == 0)
        .filter_map(|row| Some((row.at_ms, row.readings_c[0]? - row.water_c[tank])))
        .collect()
}

fn follow(scenario: &Scenario, strategy_text: &str, faults: &[Happening]) -> Vec<Row> {
    let recipe = strategy(strategy_text);
    let mut rows = Rows::default();
    let request = RunRequest {
        faults,
        ..RunRequest::new(scenario, recipe.as_ref(), 11)
    };
    run(&request, Some(&mut rows)).expect("runs");
    rows.0
}

fn bare_probe() -> Scenario {
    let mut scenario = short_scenario();
    scenario.probes[0].lag_ms = 0;
    scenario.probes[0].resolution_k = 0.0;
    scenario
}

#[track_caller]
fn same_noise(a: &[(Millis, f64)], b: &[(Millis, f64)]) {
    assert!(a.len() > 1000, "only {} readings compared", a.len());
    assert_eq!(a.len(), b.len());
    for ((at_a, noise_a), (at_b, noise_b)) in a.iter().zip(b) {
        assert_eq!(at_a, at_b);
        // The readings stand on other temperatures, so the difference carries their rounding: 4 ulp of 25.
        assert!(
            (noise_a - noise_b).abs() < 2e-14,
            "at {at_a} ms: {noise_a} and {noise_b}"
        );
    }
}

#[test]
fn weather_and_noise_do_not_depend_on_how_often_a_strategy_looks() {
    let scenario = bare_probe();
    let often = follow(&scenario, "strategy = \"on-off\"\ninterval = \"10 s\"", &[]);
    let seldom = follow(&scenario, "strategy = \"on-off\"\ninterval = \"60 s\"", &[]);
    assert_eq!(rooms(&often), rooms(&seldom));
    same_noise(&noise(&scenario, &often), &noise(&scenario, &seldom));
}

#[test]
fn weather_and_noise_do_not_depend_on_the_strategy() {
    let scenario = bare_probe();
    let one = follow(&scenario, "strategy = \"on-off\"", &[]);
    let other = follow(&scenario, "strategy = \"pi\"", &[]);
    assert_eq!(rooms(&one), rooms(&other));
    same_noise(&noise(&scenario, &one), &noise(&scenario, &other));
}

#[test]
fn a_tick_split_by_a_happening_leaves_weather_and_noise_alone() {
    let scenario = bare_probe();
    let fault = Happening {
        name: "return pump stopped".to_owned(),
        when: When::At(7 * HOUR + 1_234),
        lasts: Lasts::For(2 * MINUTE + 77),
        effect: Effect::PumpStopped(PumpId(0)),
        origin: Origin::Fault,
    };
    let whole = follow(&scenario, "strategy = \"on-off\"", &[]);
    let split = follow(&scenario, "strategy = \"on-off\"", &[fault]);
    assert!(
        split.iter().any(|row| row.at_ms == 7 * HOUR + 1_234),
        "the tick was not split"
    );
    assert_eq!(rooms(&whole), rooms(&split));
    same_noise(&noise(&scenario, &whole), &noise(&scenario, &split));
}

#[test]
fn an_added_probe_leaves_the_others_noise_and_the_weather_alone() {
    let scenario = bare_probe();
    let mut with_more = scenario.clone();
    let mut spare = scenario.probes[0].clone();
    spare.name = "spare".to_owned();
    spare.purpose = ProbePurpose::Monitor;
    with_more.probes.push(spare);
    let alone = follow(&scenario, "strategy = \"on-off\"", &[]);
    let together = follow(&with_more, "strategy = \"on-off\"", &[]);
    assert_eq!(rooms(&alone), rooms(&together));
    same_noise(&noise(&scenario, &alone), &noise(&with_more, &together));
    let differs = together
        .iter()
        .any(|row| row.readings_c[0] != row.readings_c[row.readings_c.len() - 1]);
    assert!(differs, "the two probes share their noise");
}
