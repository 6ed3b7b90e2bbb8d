//! What would have to be there to bear a kind of failure. Common practice, no source.

use crate::records::FaultKind;

/// What decides how a failure of this kind ends, where the strategy does not.
pub(super) fn decides(kind: FaultKind) -> &'static str {
    match kind {
        FaultKind::HeaterWelded | FaultKind::DialOff => "the circuit, the heaters' size and the room",
        FaultKind::CoolingWelded => "the cooling's size, the heating behind it and the room",
        FaultKind::HeatingLost => "how many heaters there are and the room",
        FaultKind::CoolingLost => "what else cools and the room",
        FaultKind::Outage => "insulation, the mass of water and the room",
        FaultKind::PumpStopped => "where the heaters hang and what else moves the water",
        FaultKind::ProbeWrong | FaultKind::ProbeSilent => {
            "where the probe hangs and what stands between a false reading and the heaters"
        }
        FaultKind::Leak | FaultKind::TopOff => "who notices the water level",
        FaultKind::WaterChange => "how much water is changed, and how warm it is",
        FaultKind::Room => "the heaters' and the cooling's size against that room",
        FaultKind::Cover => "how much the tank loses through its cover",
        FaultKind::Light => "how much of the tank's heat its lights are",
        FaultKind::CircuitTripped => "what hangs together on a circuit",
        FaultKind::MainsOff => "the heaters' size and the room",
        FaultKind::ContactChatters => "how long a contact stands it and what else stands in the chain",
        FaultKind::ControllerHung => "what its contacts do meanwhile and what stands beside it in the chain",
        FaultKind::AlertsLost => "what else goes wrong while nobody hears of it",
    }
}

/// What to give it.
pub(super) fn remedy(kind: FaultKind) -> &'static str {
    match kind {
        FaultKind::HeaterWelded => {
            "give the chain a second contact or an independent cut-out, or take smaller heaters"
        }
        FaultKind::DialOff => "give the chain an independent cut-out, or take smaller heaters",
        FaultKind::CoolingWelded => {
            "give the cooling a second contact or an independent low-limit switch, or take less of it"
        }
        FaultKind::HeatingLost => {
            "split the heating over two heaters of which one alone holds the tank, and have an alert for cold water"
        }
        FaultKind::CoolingLost => "have a second way to cool, and an alert for warm water",
        FaultKind::Outage => {
            "have backup power, covers and blankets, and an alert that works without the mains"
        }
        FaultKind::PumpStopped => {
            "have a second pump, heaters where water moves without the first, and an alert when it stops"
        }
        FaultKind::ProbeWrong => {
            "have a second probe that must agree, a limit to how long heaters may stay on, and a cut-out"
        }
        FaultKind::ProbeSilent => "have a second probe, and an alert when the first is silent",
        FaultKind::Leak => "have a level switch that cuts the heaters' power, and an alert for low water",
        FaultKind::TopOff => "limit what the top-off can deliver, and have an alert for the water level",
        FaultKind::WaterChange => "change less at a time, with water at the tank's temperature",
        FaultKind::Room => "size heaters and cooling for that room, and have an alert",
        FaultKind::Cover => "size heaters and cooling for that cover",
        FaultKind::Light => {
            "size heaters and cooling for the tank with and without its lights, and have an alert"
        }
        FaultKind::CircuitTripped => {
            "hang half of the heaters and pumps on another circuit, and have an alert that works without this one"
        }
        FaultKind::MainsOff => "size heaters and cooling for it",
        FaultKind::ContactChatters => {
            "replace the contact at the first sign, and have a second one in the chain"
        }
        FaultKind::ControllerHung => {
            "have something that starts it again by itself, contacts that open without it, and a cut-out outside its box"
        }
        FaultKind::AlertsLost => {
            "have something outside the house that tells when the box no longer reports, and test the alert"
        }
    }
}
