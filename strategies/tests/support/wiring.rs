//! What a keeper could see of invented tanks.

use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{ContactKind, ProbePurpose, Role};
use tepid_sim::strategy::{WiredContact, WiredHeater, WiredProbe, Wiring};

/// Target of all wirings, °C.
pub const TARGET_C: f64 = 25.5;

/// Contacts with these roles, named `contact 0` and so on, and a monitor and a control probe.
pub fn wiring(roles: &[Option<Role>]) -> Wiring {
    let contact = |(index, role): (usize, &Option<Role>)| WiredContact {
        name: format!("contact {index}"),
        kind: if role.is_some() {
            ContactKind::Relay
        } else {
            ContactKind::CutOut
        },
        role: *role,
        power_w: 100.0,
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
                chain: vec![ContactId(index)],
            })
            .collect(),
    }
}

fn probe(name: &str, purpose: ProbePurpose) -> WiredProbe {
    WiredProbe {
        name: name.to_owned(),
        tank: "sump".to_owned(),
        purpose,
    }
}
