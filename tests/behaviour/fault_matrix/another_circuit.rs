//! Heaters that share a circuit, and half of them on another one.

use std::sync::LazyLock;

use super::{alone, matrix, only, only_these, point, row};
use crate::support::scenario_of;
use tepid_output::records::{EditKind, FaultMatrix, FaultOutcome};
use tepid_output::wording::Units;
use tepid_output::{csv_text, table};

/// A tank of 48 L under a lid, with its filter and its probe.
fn tank(name: &str) -> String {
    format!(
        "[[tank]]\nname = \"{name}\"\ninside = [\"60 cm\", \"30 cm\", \"30 cm\"]\nwater_height = \"27 cm\"\ncover = \"lid\"\nlivestock = true\n\
         [[pump]]\nname = \"filter {name}\"\npower = \"5 W\"\ntank = \"{name}\"\n\
         [[probe]]\nname = \"probe {name}\"\ntank = \"{name}\"\nnoise = \"0.02 K\"\n"
    )
}

/// A heater of 100 W behind a relay of its own.
fn heater(name: &str, tank: &str) -> String {
    format!(
        "[[heater]]\nname = \"{name}\"\npower = \"100 W\"\ntank = \"{tank}\"\nchain = [\"relay {name}\"]\n\
         [[contact]]\nname = \"relay {name}\"\nkind = \"relay\"\nrole = \"heat\"\n"
    )
}

/// These tanks in a cool room, heaters x and y on one circuit; only that circuit fails.
fn on_one_circuit(tanks_and_heaters: &str) -> FaultMatrix {
    let scenario = scenario_of(&format!(
        "title = \"One circuit\"\nduration = \"3 d\"\nwarm_up = \"1 d\"\n\
         [water]\nsalinity = \"0 g/kg\"\ntarget = \"25 °C\"\nband = [\"24.5 °C\", \"25.5 °C\"]\n\
         [livestock]\nkind = \"small fish\"\nsource = \"common practice, no source\"\nused_to = \"25 °C\"\n\
         danger_hot = [[\"29 °C\", \"3 d\"], [\"31 °C\", \"12 h\"], [\"33 °C\", \"1 h\"]]\n\
         danger_cold = [[\"21 °C\", \"1 d\"], [\"19 °C\", \"6 h\"]]\n\
         [room]\ntemperature = \"17 °C\"\nhumidity = \"50 %\"\n\
         {tanks_and_heaters}\
         [[circuit]]\nname = \"wall\"\nvoltage = \"230 V\"\nbreaker = \"10 A\"\nresidual_current = true\n\
         feeds = [\"x\", \"y\"]\n"
    ));
    matrix(&only_these(scenario, &["circuit tripped"]), false)
}

const TRIP: &str = "circuit wall tripped";

/// Two tanks, each with one heater.
static TWO_TANKS: LazyLock<FaultMatrix> =
    LazyLock::new(|| on_one_circuit(&(tank("a") + &tank("b") + &heater("x", "a") + &heater("y", "b"))));

fn tanks_lost(outcome: &FaultOutcome) -> u32 {
    outcome.past_dose.expect("several tanks").tanks
}

#[test]
fn one_of_two_heaters_on_another_circuit_keeps_their_tank_through_a_trip() {
    let record = on_one_circuit(&(tank("a") + &heater("x", "a") + &heater("y", "a")));
    let trip = point(&record, TRIP);
    assert!(!trip.exceeds.is_hot);
    let change = alone(trip, EditKind::AnotherCircuit);
    assert!(change.removes, "{change:?}");
    // Two halves of each on the same circuit fall together with it.
    assert!(!alone(trip, EditKind::SplitHeaters).removes);
    let text = table::fault_matrix(&record, Units::Metric);
    assert!(
        text.contains("half of the heaters on another circuit: at worst"),
        "{text}"
    );
    assert!(!text.contains("Tanks past"), "one tank needs no count: {text}");
}

#[test]
fn another_circuit_saves_every_other_tank_and_with_heaters_in_halves_all_of_them() {
    let trip = point(&TWO_TANKS, TRIP);
    let before = row(&only(&TWO_TANKS).faults, TRIP, trip.room);
    assert_eq!(tanks_lost(&before.outcome), 2);
    let change = alone(trip, EditKind::AnotherCircuit);
    assert!(!change.removes);
    assert_eq!(tanks_lost(change.outcome.as_ref().expect("tried")), 1);
    let smallest = &trip.tried[trip.smallest.expect("a pair")];
    assert_eq!(smallest.edits, [EditKind::SplitHeaters, EditKind::AnotherCircuit]);
    assert_eq!(tanks_lost(smallest.outcome.as_ref().expect("tried")), 0);
}

#[test]
fn the_matrix_counts_the_tanks_a_fault_takes_past_the_dose_and_their_water() {
    for units in [Units::Metric, Units::Us] {
        let text = table::fault_matrix(&TWO_TANKS, units);
        let water = units.volume(97.2);
        assert!(text.contains("Tanks past") && text.contains("2 of 2,"), "{text}");
        assert!(text.contains(&format!("of {water}")), "{text}");
        for line in text.lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
    }
    let text = table::fault_matrix(&TWO_TANKS, Units::Metric);
    let plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        plain.contains("past the dose: 1 of 2 tanks, 48.6 L of 97.2 L at risk"),
        "{text}"
    );
    let csv = csv_text::fault_matrix(&TWO_TANKS).expect("csv");
    assert!(
        csv.lines()
            .next()
            .expect("a head")
            .contains("tanks_past_dose,water_past_dose_l")
    );
}
