//! Heaters that share a circuit, shared out between it and another one like it.

use tepid_sim::ids::{CircuitId, HeaterId, TankId};
use tepid_sim::scenario::{Circuit, Load, Scenario};

use super::unused;

/// Half of the heaters of every circuit that feeds two or more hang on a circuit of their own, of the same rating. What else a circuit feeds
/// stays on it.
pub(super) fn another_circuit(scenario: &mut Scenario) {
    for circuit in 0..scenario.circuits.len() {
        let moved = moved(scenario, CircuitId(circuit));
        if moved.is_empty() {
            continue;
        }
        let names = scenario.circuits.iter().map(|circuit| circuit.name.as_str());
        let shared = &scenario.circuits[circuit];
        let other = Circuit {
            name: unused(&shared.name, names),
            feeds: moved.clone(),
            ..shared.clone()
        };
        scenario.circuits[circuit]
            .feeds
            .retain(|load| !moved.contains(load));
        scenario.circuits.push(other);
    }
}

/// The names of the circuits that are shared out.
pub(super) fn shared(scenario: &Scenario) -> Vec<&str> {
    let circuits = scenario.circuits.iter().enumerate();
    circuits
        .filter(|(at, _)| !moved(scenario, CircuitId(*at)).is_empty())
        .map(|(_, circuit)| circuit.name.as_str())
        .collect()
}

/// The heaters that leave a circuit: half of those of each tank that has several on it, so that the tank keeps some on each; and half of those
/// that are their tank's only one on it.
fn moved(scenario: &Scenario, circuit: CircuitId) -> Vec<Load> {
    let mut of_tanks: Vec<(TankId, Vec<HeaterId>)> = Vec::new();
    for load in &scenario.circuits[circuit.0].feeds {
        let Load::Heater(heater) = load else {
            continue;
        };
        let tank = scenario.heaters[heater.0].tank;
        match of_tanks.iter_mut().find(|(known, _)| *known == tank) {
            Some((_, heaters)) => heaters.push(*heater),
            None => of_tanks.push((tank, vec![*heater])),
        }
    }
    let (several, only): (Vec<_>, Vec<_>) = of_tanks
        .into_iter()
        .map(|(_, heaters)| heaters)
        .partition(|heaters| heaters.len() > 1);
    let mut groups = several;
    groups.push(only.concat());
    groups
        .iter()
        .flat_map(|group| group[group.len().div_ceil(2)..].iter().copied())
        .map(Load::Heater)
        .collect()
}
