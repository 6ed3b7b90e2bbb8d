//! What kind of failure an effect is on a given circuit: what would have to be there to bear it.

use tepid_output::records::FaultKind;
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{Effect, Scenario};

/// The kind.
#[must_use]
pub fn fault_kind(scenario: &Scenario, effect: &Effect) -> FaultKind {
    match effect {
        Effect::ContactWelded(contact) if heats(scenario, *contact) => FaultKind::HeaterWelded,
        Effect::ContactWelded(_) => FaultKind::CoolingWelded,
        Effect::ContactStuckOpen(contact) if heats(scenario, *contact) => FaultKind::HeatingLost,
        Effect::ContactStuckOpen(_) => FaultKind::CoolingLost,
        Effect::HeaterDead(_) | Effect::HeatersUnplugged => FaultKind::HeatingLost,
        Effect::DialOff { .. } => FaultKind::DialOff,
        Effect::PowerOut => FaultKind::Outage,
        Effect::PumpStopped(_) => FaultKind::PumpStopped,
        Effect::ProbeOutOfWater(_) => FaultKind::ProbeWrong,
        Effect::ProbeSilent(_) => FaultKind::ProbeSilent,
        Effect::Leak { .. } => FaultKind::Leak,
        Effect::TopOffStopped | Effect::TopOffStuckOn { .. } => FaultKind::TopOff,
        Effect::WaterChange { .. } => FaultKind::WaterChange,
        Effect::RoomDeviceOff(_) | Effect::RoomDeviceStuckOn(_) | Effect::RoomShift { .. } => FaultKind::Room,
        Effect::Covered { .. } => FaultKind::Cover,
        _ => FaultKind::Other,
    }
}

/// Whether a contact stands in the chain of a heater.
fn heats(scenario: &Scenario, contact: ContactId) -> bool {
    scenario
        .heaters
        .iter()
        .any(|heater| heater.chain.contains(&contact))
}
