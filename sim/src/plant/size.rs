//! How much of the network's room each thing of a scenario takes: nodes, and bits of the mode.

use crate::ids::{ContactId, HeaterId, ProbeId, PumpId, TankId};
use crate::network::MAX_NODES;
use crate::scenario::{Contact, Probe, Scenario, SensedAt, Tank};

/// Most bits a mode has: pumps that run, probes in the air, what meets each heater's body. A choice: far
/// more than the library's scenarios need.
pub const MAX_MODE_BITS: usize = 32;

/// Most nodes of a water system. By definition those of a network.
pub const MAX_PLANT_NODES: usize = MAX_NODES;

/// Most fans over one tank. A choice: its surface is kept ready under every set of them that may run.
pub const MAX_FANS_OF_TANK: usize = 6;

/// What takes nodes or bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlantPart {
    /// A tank: its water, and its rock if it has some.
    Tank(TankId),
    /// A pump: whether it runs.
    Pump(PumpId),
    /// A heater: its body, and what meets it.
    Heater(HeaterId),
    /// A probe: its lag, and whether it hangs in air.
    Probe(ProbeId),
    /// A contact: the lag of its own bulb.
    Contact(ContactId),
}

/// Nodes and mode bits, of one part or of several together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PlantSize {
    /// Nodes of the network.
    pub nodes: usize,
    /// Bits of its mode.
    pub mode_bits: usize,
}

/// Fans over the tank that has most; `None` without tanks.
pub(super) fn most_fans(scenario: &Scenario) -> Option<usize> {
    let over = |tank: usize| {
        let fans = scenario.fans.iter();
        fans.filter(|fan| fan.tank == TankId(tank)).count()
    };
    (0..scenario.tanks.len()).map(over).max()
}

impl PlantSize {
    /// The sum of a whole scenario.
    #[must_use]
    pub fn of(scenario: &Scenario) -> Self {
        parts(scenario)
            .into_iter()
            .fold(Self::default(), |sum, (_, size)| sum.plus(size))
    }

    /// Both counts added.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self {
            nodes: self.nodes + other.nodes,
            mode_bits: self.mode_bits + other.mode_bits,
        }
    }

    /// Whether the stepper takes it: at most [`MAX_PLANT_NODES`] and [`MAX_MODE_BITS`].
    #[must_use]
    pub fn fits(self) -> bool {
        self.nodes <= MAX_PLANT_NODES && self.mode_bits <= MAX_MODE_BITS
    }
}

/// Every part of a scenario's plant that takes nodes or bits, and how many.
#[must_use]
pub fn parts(scenario: &Scenario) -> Vec<(PlantPart, PlantSize)> {
    let size = |nodes, mode_bits| PlantSize { nodes, mode_bits };
    let tanks = scenario.tanks.iter().enumerate();
    let pumps = 0..scenario.pumps.len();
    let heaters = 0..scenario.heaters.len();
    let probes = scenario.probes.iter().enumerate();
    let contacts = scenario.contacts.iter().enumerate();
    tanks
        .map(|(at, tank)| (PlantPart::Tank(TankId(at)), size(tank_nodes(tank), 0)))
        .chain(pumps.map(|at| (PlantPart::Pump(PumpId(at)), size(0, 1))))
        .chain(heaters.map(|at| (PlantPart::Heater(HeaterId(at)), size(1, HEATER_BITS))))
        .chain(probes.map(|(at, probe)| (PlantPart::Probe(ProbeId(at)), size(probe_nodes(probe), 1))))
        .chain(
            contacts.map(|(at, contact)| (PlantPart::Contact(ContactId(at)), size(bulb_nodes(contact), 0))),
        )
        .filter(|(_, size)| *size != PlantSize::default())
        .collect()
}

/// Bits for what meets a heater's body, exact: water that moves past it, water that stands.
const HEATER_BITS: usize = 2;

fn tank_nodes(tank: &Tank) -> usize {
    1 + usize::from(tank.rock_kg > 0.0)
}

fn probe_nodes(probe: &Probe) -> usize {
    usize::from(probe.lag_ms > 0)
}

fn bulb_nodes(contact: &Contact) -> usize {
    let lags = matches!(
        contact.own_sensing.map(|own| own.sensed_at),
        Some(SensedAt::Bulb { lag_ms, .. }) if lag_ms > 0
    );
    usize::from(lags)
}
