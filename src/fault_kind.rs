//! What kind of failure an effect is on a given circuit: what would have to be there to bear it.

use tepid_output::records::FaultKind;
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{Effect, Scenario};

/// The kind.
#[must_use]
pub fn fault_kind(scenario: &Scenario, effect: &Effect) -> FaultKind {
    match effect {
        Effect::ContactWelded(contact) if heats(scenario, *contact) => FaultKind::HeaterWelded,
        Effect::BoxWelded(of) if scenario.in_box(*of).any(|contact| heats(scenario, contact)) => {
            FaultKind::HeaterWelded
        }
        Effect::ContactWelded(_) | Effect::BoxWelded(_) => FaultKind::CoolingWelded,
        Effect::ContactStuckOpen(contact) if heats(scenario, *contact) => FaultKind::HeatingLost,
        Effect::BoxStuckOpen(of) if scenario.in_box(*of).any(|contact| heats(scenario, contact)) => {
            FaultKind::HeatingLost
        }
        Effect::ContactStuckOpen(_) | Effect::BoxStuckOpen(_) => FaultKind::CoolingLost,
        Effect::ContactChatters { .. } => FaultKind::ContactChatters,
        Effect::HeaterDead(_)
        | Effect::HeatersUnplugged
        | Effect::HeaterUnplugged(_)
        | Effect::HeatersHeldOff => FaultKind::HeatingLost,
        Effect::FanStopped(_) | Effect::ChillerDead(_) | Effect::ChillerBlocked { .. } => {
            FaultKind::CoolingLost
        }
        Effect::DialOff { .. } | Effect::DialDrifts { .. } | Effect::DialSet { .. } => FaultKind::DialOff,
        Effect::ControllerHung { .. } => FaultKind::ControllerHung,
        Effect::PowerOut | Effect::BackupDead(_) | Effect::BackupStarted(_) => FaultKind::Outage,
        Effect::CircuitTripped(_) => FaultKind::CircuitTripped,
        Effect::MainsVoltage { .. } => FaultKind::MainsOff,
        Effect::LightOut(_) | Effect::LightLeftOn(_) => FaultKind::Light,
        Effect::PumpStopped(_) => FaultKind::PumpStopped,
        Effect::ProbeOutOfWater(_)
        | Effect::ProbeInTank { .. }
        | Effect::ProbeStuck(_)
        | Effect::ProbeOffset { .. }
        | Effect::ProbeDrifts { .. }
        | Effect::ProbeNoisy { .. }
        | Effect::ProbeReads { .. } => FaultKind::ProbeWrong,
        Effect::ProbeSilent(_) => FaultKind::ProbeSilent,
        Effect::Leak { .. } => FaultKind::Leak,
        Effect::TopOffStopped | Effect::TopOffStuckOn { .. } => FaultKind::TopOff,
        Effect::WaterChange { .. } => FaultKind::WaterChange,
        Effect::RoomDeviceOff(_)
        | Effect::RoomDeviceStuckOn(_)
        | Effect::RoomShift { .. }
        | Effect::RoomCooled { .. } => FaultKind::Room,
        // Ice and wraps are what people do; as failures they would be ones of what the tank loses.
        Effect::Covered { .. } | Effect::SealedIce { .. } | Effect::SidesWrapped { .. } => FaultKind::Cover,
        Effect::NetworkDown | Effect::AlertsMuted => FaultKind::AlertsLost,
    }
}

/// Whether a contact stands in the chain of a heater.
fn heats(scenario: &Scenario, contact: ContactId) -> bool {
    scenario
        .heaters
        .iter()
        .any(|heater| heater.chain.contains(&contact))
}
