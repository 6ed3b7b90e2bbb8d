//! Water systems: which tanks of a scenario belong together, and each system as a scenario of its own.
//!
//! Tanks belong together that a flow joins, whose equipment hangs on one pump, or that one contact acts on which decides or obeys. Contacts
//! that do neither (a breaker, a residual-current device) stand in the chains of every system that names them. Room, circuits and livestock are
//! shared. Each system is topped off like the one the file states, into its own last tank.

mod members;
mod part;

pub use members::{BetweenSystems, Members};

use crate::ids::{ContactId, PumpId, TankId};
use crate::scenario::{HeaterKind, Load, Scenario, SensedAt};

/// One water system of several.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterSystem {
    /// It alone, its ids counted anew.
    pub scenario: Scenario,
    /// What of the whole scenario it holds, in the order of its own ids.
    pub members: Members,
}

impl Scenario {
    /// The tanks of each water system, in the order of their first tanks.
    #[must_use]
    pub fn system_tanks(&self) -> Vec<Vec<TankId>> {
        let mut first_of: Vec<usize> = (0..self.tanks.len()).collect();
        for together in joined(self) {
            let mut firsts = together.iter().map(|tank| first_of[tank.0]);
            let Some(mut first) = firsts.next() else { continue };
            let others: Vec<usize> = firsts.collect();
            first = others.iter().copied().fold(first, usize::min);
            let merged: Vec<usize> = together.iter().map(|tank| first_of[tank.0]).collect();
            for known in &mut first_of {
                if merged.contains(known) {
                    *known = first;
                }
            }
        }
        let firsts = (0..self.tanks.len()).filter(|tank| first_of[*tank] == *tank);
        firsts
            .map(|first| {
                let own = (0..self.tanks.len()).filter(|tank| first_of[*tank] == first);
                own.map(TankId).collect()
            })
            .collect()
    }

    /// Its water systems, each as a scenario of its own; a single one is the scenario itself and gives none.
    ///
    /// # Errors
    /// [`BetweenSystems`] names a happening that belongs to two of them at once.
    pub fn systems(&self) -> Result<Vec<WaterSystem>, BetweenSystems> {
        let groups = self.system_tanks();
        if groups.len() < 2 {
            return Ok(Vec::new());
        }
        let stocked_m3 = part::stocked_m3(self);
        groups
            .into_iter()
            .map(|tanks| {
                let members = Members::of(self, tanks);
                Ok(WaterSystem {
                    scenario: part::part(self, &members, stocked_m3)?,
                    members,
                })
            })
            .collect()
    }
}

/// Sets of tanks that belong together.
fn joined(scenario: &Scenario) -> Vec<Vec<TankId>> {
    let of_pump = |pump: PumpId| scenario.pumps[pump.0].tank;
    let flows = scenario.flows.iter().map(|flow| {
        let pump = flow.pump.map(of_pump);
        [flow.from, flow.to].into_iter().chain(pump).collect()
    });
    let heaters = scenario.heaters.iter().map(|heater| {
        let in_pipe = match heater.kind {
            HeaterKind::FlowThrough { pump } => Some(pump),
            _ => None,
        };
        let pumps = in_pipe.into_iter().chain(heater.body.speed_pump);
        std::iter::once(heater.tank).chain(pumps.map(of_pump)).collect()
    });
    let chillers = scenario.chillers.iter().map(|chiller| {
        let pump = chiller.pump.map(of_pump);
        std::iter::once(chiller.tank).chain(pump).collect()
    });
    let contacts = (0..scenario.contacts.len()).map(ContactId);
    let contacts = contacts.filter(|contact| !is_passive(scenario, *contact));
    let contacts = contacts.map(|contact| acts_on(scenario, contact));
    flows.chain(heaters).chain(chillers).chain(contacts).collect()
}

/// A contact neither decides nor obeys.
fn is_passive(scenario: &Scenario, contact: ContactId) -> bool {
    let contact = &scenario.contacts[contact.0];
    contact.role.is_none() && contact.own_sensing.is_none()
}

/// The tanks of everything in whose chain a contact stands, and of its bulb.
fn acts_on(scenario: &Scenario, contact: ContactId) -> Vec<TankId> {
    let switched = scenario.behind(contact).filter_map(|load| match load {
        Load::Heater(heater) => Some(scenario.heaters[heater.0].tank),
        Load::Fan(fan) => Some(scenario.fans[fan.0].tank),
        Load::Chiller(chiller) => Some(scenario.chillers[chiller.0].tank),
        _ => None,
    });
    let bulb = match scenario.contacts[contact.0].own_sensing.map(|own| own.sensed_at) {
        Some(SensedAt::Bulb { tank, .. }) => Some(tank),
        _ => None,
    };
    switched.chain(bulb).collect()
}
