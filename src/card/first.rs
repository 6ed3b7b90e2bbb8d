//! What to do first when the water is too hot or too cold. Common practice, no source; cautions stand beside it.

use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{ContactKind, Cover, Scenario, Store};

/// How fast water is brought back where the livestock's own bound is not stated, K/h. Common practice, no source.
const USUAL_K_PER_H: f64 = 1.0;

/// Too hot.
pub(super) fn too_hot(scenario: &Scenario) -> Vec<String> {
    let mut steps = vec![
        "Look at a second thermometer before believing the first; no hands in the water yet.".to_owned(),
        "Pull the plugs of all heaters, with dry hands. \"Off\" on a screen is not enough: a welded contact ignores it."
            .to_owned(),
        "Keep pumps and air running: warm water holds less oxygen.".to_owned(),
    ];
    let lids = scenario.tanks.iter().any(|tank| tank.cover != Cover::Open);
    let fan = if scenario.fans.is_empty() {
        "a fan across the water"
    } else {
        "the fans on"
    };
    steps.push(if lids {
        format!("Lids off, lamps off, {fan}, windows open if it is cooler outside.")
    } else {
        format!("Lamps off, {fan}, windows open if it is cooler outside.")
    });
    steps.push(format!(
        "Cool by no more than {} an hour, down to {}: sealed bottles of ice one at a time, water taken out first.",
        fastest(scenario),
        print(Kind::Temperature, scenario.water.band_c.1, System::Metric)
    ));
    steps.push(
        "Find what stuck before any heater gets power again, and replace it: knocked loose, it sticks again."
            .to_owned(),
    );
    steps
}

/// Too cold.
pub(super) fn too_cold(scenario: &Scenario) -> Vec<String> {
    let mut steps = vec!["Look at a second thermometer before believing the first.".to_owned()];
    let guards = scenario
        .contacts
        .iter()
        .any(|contact| matches!(contact.kind, ContactKind::ResidualCurrent | ContactKind::Breaker))
        || !scenario.circuits.is_empty();
    steps.push(if guards {
        "Is there power? A residual-current device that tripped found a fault: unplug everything on it, and do not reset it again and again."
            .to_owned()
    } else {
        "Is there power at the heaters' sockets, and is every plug in?".to_owned()
    });
    steps.push("Do pumps run and is the water at its level? A heater in still or low water does not help, and dry it cracks.".to_owned());
    let battery = scenario
        .backups
        .iter()
        .any(|backup| matches!(backup.store, Store::Battery { .. }))
        || scenario.air_pumps.iter().any(|pump| pump.battery_ms.is_some());
    steps.push(if battery {
        "No power: air first, on its battery. Then wrap the sides; the top stays open. Heat from a battery late, not at once.".to_owned()
    } else {
        "No power: move the water by hand or by an air pump with a battery. Then wrap the sides; the top stays open.".to_owned()
    });
    steps.push(format!(
        "Warm by no more than {} an hour, up to {}: the other heater, a spare one, never boiling water into the tank.",
        fastest(scenario),
        print(Kind::Temperature, scenario.water.band_c.0, System::Metric)
    ));
    steps
}

fn fastest(scenario: &Scenario) -> String {
    let k = scenario.livestock.fastest_per_hour_k;
    let text = print(
        Kind::TemperatureDifference,
        k.unwrap_or(USUAL_K_PER_H),
        System::Metric,
    );
    if k.is_some() {
        text
    } else {
        format!("{text} (common practice, no source)")
    }
}
