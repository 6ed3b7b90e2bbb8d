//! Built-in faults of the electricity supply.

use tepid_sim::ids::{BackupId, CircuitId};
use tepid_sim::scenario::{Effect, FaultCase, Happening, Lasts, Need, Scenario, Watch, When};
use tepid_sim::time::{HOUR, Millis};

use super::{alone, fault};

/// How long the built-in outage lasts. An assumption, no source.
const OUTAGE_MS: Millis = 12 * HOUR;

/// How far the mains may be off their nominal voltage: EN 50160, from memory.
const MAINS_OFF_FRAC: f64 = 0.1;

pub(super) fn tripped(scenario: &Scenario) -> Vec<FaultCase> {
    let circuits = scenario.circuits.iter().enumerate();
    alone(circuits.map(|(at, circuit)| {
        fault(
            "circuit tripped",
            &circuit.name,
            Effect::CircuitTripped(CircuitId(at)),
        )
    }))
}

pub(super) fn mains_off(_: &Scenario) -> Vec<FaultCase> {
    let levels = [
        ("mains 10 % low", 1.0 - MAINS_OFF_FRAC),
        ("mains 10 % high", 1.0 + MAINS_OFF_FRAC),
    ];
    alone(levels.map(|(name, of_nominal_frac)| Happening {
        name: name.to_owned(),
        ..fault("mains voltage", "", Effect::MainsVoltage { of_nominal_frac })
    }))
}

/// A backup that nobody tested fails when it is needed.
pub(super) fn outage_without_backup(scenario: &Scenario) -> Vec<FaultCase> {
    let backups = scenario.backups.iter().enumerate();
    backups
        .map(|(at, backup)| FaultCase {
            fault: Happening {
                name: format!("outage, {} dead long before", backup.name),
                lasts: Lasts::For(OUTAGE_MS),
                ..fault("outage", "", Effect::PowerOut)
            },
            already: vec![Happening {
                when: When::At(0),
                ..fault("backup dead", &backup.name, Effect::BackupDead(BackupId(at)))
            }],
        })
        .collect()
}

pub(super) fn outage(_: &Scenario) -> Vec<FaultCase> {
    alone([Happening {
        lasts: Lasts::For(OUTAGE_MS),
        ..fault("outage", "", Effect::PowerOut)
    }])
}

/// The line out of the house, where an alert needs it.
pub(super) fn network_down(scenario: &Scenario) -> Vec<FaultCase> {
    let needed = |watch: &Watch| watch.needs.contains(&Need::Network);
    if scenario.watches.iter().any(needed) {
        alone([fault("network down", "", Effect::NetworkDown)])
    } else {
        Vec::new()
    }
}
