//! Built-in faults of contacts and heaters.

use tepid_sim::ids::{BoxId, ContactId, HeaterId};
use tepid_sim::scenario::{Contact, Effect, FaultCase, Happening, Scenario};
use tepid_sim::time::{Millis, SECOND};

use super::{alone, can_weld, fault};

/// One opening and closing of a contact that chatters. An assumption, no source.
const CHATTER_MS: Millis = 2 * SECOND;

pub(super) fn contacts(
    scenario: &Scenario,
    wanted: impl Fn(ContactId, &Contact) -> bool,
) -> impl Iterator<Item = (ContactId, &Contact)> {
    let numbered = scenario.contacts.iter().enumerate();
    numbered
        .map(|(at, contact)| (ContactId(at), contact))
        .filter(move |(id, contact)| wanted(*id, contact))
}

pub(super) fn welded(scenario: &Scenario) -> Vec<FaultCase> {
    alone(
        contacts(scenario, |_, contact| can_weld(contact))
            .map(|(id, contact)| fault(closed_for_good(contact), &contact.name, Effect::ContactWelded(id))),
    )
}

/// How a contact of this kind fails closed, in words.
pub(super) fn closed_for_good(contact: &Contact) -> &'static str {
    if contact.kind.parts() {
        "contact welded"
    } else {
        "contact shorted"
    }
}

/// A contact of a heater's chain that never closes again: worn, tripped, or its coil dead.
pub(super) fn stuck_open(scenario: &Scenario) -> Vec<FaultCase> {
    let heats = |id: ContactId| scenario.heaters.iter().any(|heater| heater.chain.contains(&id));
    alone(
        contacts(scenario, |id, _| heats(id))
            .map(|(id, contact)| fault("contact stuck open", &contact.name, Effect::ContactStuckOpen(id))),
    )
}

pub(super) fn chattering(scenario: &Scenario) -> Vec<FaultCase> {
    let chatters = |contact| Effect::ContactChatters {
        contact,
        period_ms: CHATTER_MS,
    };
    alone(
        contacts(scenario, |_, contact| {
            contact.role.is_some() && contact.kind.parts()
        })
        .map(|(id, contact)| fault("contact chatters", &contact.name, chatters(id))),
    )
}

/// What shares a box shares what happens to it: water, heat, a surge. A box of one contact is that contact, which fails in the other sets.
pub(super) fn box_failed(scenario: &Scenario) -> Vec<FaultCase> {
    let boxes = scenario.boxes.iter().enumerate();
    let shared = boxes.filter(|(at, _)| scenario.in_box(BoxId(*at)).count() > 1);
    alone(shared.flat_map(|(at, name)| {
        [
            fault("box welded", name, Effect::BoxWelded(BoxId(at))),
            fault("box stuck open", name, Effect::BoxStuckOpen(BoxId(at))),
        ]
    }))
}

pub(super) fn heater_dead(scenario: &Scenario) -> Vec<FaultCase> {
    let heaters = scenario.heaters.iter().enumerate();
    alone(heaters.map(|(at, heater)| fault("heater dead", &heater.name, Effect::HeaterDead(HeaterId(at)))))
}

pub(super) fn left_unplugged(scenario: &Scenario) -> Vec<FaultCase> {
    let any = !scenario.heaters.is_empty();
    alone(any.then(|| Happening {
        name: "heaters left unplugged".to_owned(),
        ..fault("heaters unplugged", "", Effect::HeatersUnplugged)
    }))
}
