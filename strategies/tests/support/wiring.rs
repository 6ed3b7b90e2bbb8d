//! What a keeper could see of invented tanks.

use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{ContactKind, ProbePurpose, Role};
use tepid_sim::strategy::{WiredContact, WiredHeater, WiredProbe, Wiring};

/// Target of all wirings, °C.
pub const TARGET_C: f64 = 25.5;

/// Contacts with these roles, named `contact 0` and so on, and a monitor and a control probe. A contact without a role is a
/// dial that all heaters hang behind; of several that cool the last is a chiller's.
pub fn wiring(roles: &[Option<Role>]) -> Wiring {
    let contact = |(index, role): (usize, &Option<Role>)| WiredContact {
        name: format!("contact {index}"),
        kind: if role.is_some() {
            ContactKind::Relay
        } else {
            ContactKind::Thermostat
        },
        role: *role,
        power_w: 100.0,
        only_chillers: roles.iter().filter(|other| **other == Some(Role::Cool)).count() > 1
            && roles.iter().rposition(|other| *other == Some(Role::Cool)) == Some(index),
    };
    Wiring {
        target_c: TARGET_C,
        band_c: (25.0, 26.0),
        probes: vec![
            probe("display", ProbePurpose::Monitor),
            probe("main", ProbePurpose::Control),
        ],
        contacts: roles.iter().enumerate().map(contact).collect(),
        heaters: (0..roles.len())
            .filter(|index| roles[*index] == Some(Role::Heat))
            .map(|index| WiredHeater {
                name: format!("heater {index}"),
                tank: "sump".to_owned(),
                power_w: 100.0,
                chain: (0..roles.len())
                    .filter(|other| *other == index || roles[*other].is_none())
                    .map(ContactId)
                    .collect(),
            })
            .collect(),
    }
}

/// The same with a probe in the room's air beside those in the water.
pub fn with_room_probe(mut wiring: Wiring) -> Wiring {
    wiring.probes.push(WiredProbe {
        tank: None,
        ..probe("room", ProbePurpose::Monitor)
    });
    wiring
}

fn probe(name: &str, purpose: ProbePurpose) -> WiredProbe {
    WiredProbe {
        name: name.to_owned(),
        tank: Some("sump".to_owned()),
        purpose,
    }
}
