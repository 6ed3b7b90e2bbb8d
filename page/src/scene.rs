//! What there is to draw: tanks, wires, air, and what livestock bears.

use serde::Serialize;
use tepid_sim::scenario::{Contact, ContactKind, Cover, DangerLine, ProbePurpose, Role, Scenario};
use tepid_sim::time::{Millis, hours};

/// A scenario, as a drawing needs it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Scene {
    /// One line.
    pub title: String,
    /// What it teaches.
    pub teaches: String,
    /// Length of the run, ms.
    pub duration_ms: Millis,
    /// What the keeper wants, °C.
    pub target_c: f64,
    /// Lowest and highest that the keeper wants, °C.
    pub band_c: (f64, f64),
    /// What livestock bears on the hot side: °C and hours, mildest first.
    pub hot: Vec<Line>,
    /// The same on the cold side.
    pub cold: Vec<Line>,
    /// Tanks.
    pub tanks: Vec<DrawnTank>,
    /// Heaters.
    pub heaters: Vec<Element>,
    /// Fans.
    pub fans: Vec<Element>,
    /// Chillers.
    pub chillers: Vec<Element>,
    /// Pumps: name, tank.
    pub pumps: Vec<Placed>,
    /// Lights: name, tank.
    pub lights: Vec<Placed>,
    /// Probes: name, tank.
    pub probes: Vec<DrawnProbe>,
    /// Flows between tanks, by position.
    pub flows: Vec<DrawnFlow>,
    /// Contacts.
    pub contacts: Vec<DrawnContact>,
    /// What was assumed for want of a statement.
    pub assumptions: Vec<String>,
}

/// A line of danger.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// °C.
    pub temp_c: f64,
    /// Longest time, h; absent: any time at all.
    pub allowed_h: Option<f64>,
}

/// A tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrawnTank {
    /// Name.
    pub name: String,
    /// Litres.
    pub litres: f64,
    /// Inner length, m.
    pub length_m: f64,
    /// Inner height, m.
    pub height_m: f64,
    /// "open", "mesh", "lid".
    pub cover: &'static str,
    /// Livestock is in it.
    pub livestock: bool,
    /// It stands in a cabinet.
    pub in_cabinet: bool,
}

/// Something that contacts switch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Element {
    /// Name.
    pub name: String,
    /// Position of its tank.
    pub tank: usize,
    /// Rated power, W.
    pub power_w: f64,
    /// Positions of its contacts, mains first.
    pub chain: Vec<usize>,
}

/// Something in or over a tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Placed {
    /// Name.
    pub name: String,
    /// Position of its tank.
    pub tank: usize,
}

/// A probe.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrawnProbe {
    /// Name.
    pub name: String,
    /// Position of its tank; absent: it hangs in the room.
    pub tank: Option<usize>,
    /// Whether a strategy steers by it.
    pub controls: bool,
}

/// Water from one tank to another and back.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrawnFlow {
    /// From.
    pub from: usize,
    /// To.
    pub to: usize,
    /// Position of its pump; absent: it never stops.
    pub pump: Option<usize>,
}

/// A contact.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrawnContact {
    /// Name.
    pub name: String,
    /// What it is: "relay".
    pub kind: &'static str,
    /// What one of that kind is for, a line.
    pub kind_words: &'static str,
    /// Who decides whether it is closed.
    pub decided_by: String,
}

/// What to draw of a scenario.
#[must_use]
pub fn scene(scenario: &Scenario) -> Scene {
    let element = |name: &str, tank: usize, power_w: f64, chain: &[tepid_sim::ids::ContactId]| Element {
        name: name.to_owned(),
        tank,
        power_w,
        chain: chain.iter().map(|contact| contact.0).collect(),
    };
    let heaters = scenario.heaters.iter();
    let (fans, chillers) = (scenario.fans.iter(), scenario.chillers.iter());
    Scene {
        title: scenario.title.clone(),
        teaches: scenario.teaches.clone(),
        duration_ms: scenario.duration_ms,
        target_c: scenario.water.target_c,
        band_c: scenario.water.band_c,
        hot: lines(&scenario.livestock.danger_hot),
        cold: lines(&scenario.livestock.danger_cold),
        tanks: scenario
            .tanks
            .iter()
            .map(|tank| DrawnTank {
                name: tank.name.clone(),
                litres: tank.water_volume_m3() * 1000.0,
                length_m: tank.length_m,
                height_m: tank.height_m,
                cover: match tank.cover {
                    Cover::Open => "open",
                    Cover::Mesh => "mesh",
                    Cover::Lid { .. } => "lid",
                },
                livestock: tank.livestock,
                in_cabinet: tank.cabinet.is_some(),
            })
            .collect(),
        heaters: heaters
            .map(|one| element(&one.name, one.tank.0, one.power_w, &one.chain))
            .collect(),
        fans: fans
            .map(|one| element(&one.name, one.tank.0, one.power_w, &one.chain))
            .collect(),
        chillers: chillers
            .map(|one| element(&one.name, one.tank.0, one.capacity_w, &one.chain))
            .collect(),
        pumps: placed(scenario.pumps.iter().map(|pump| (&pump.name, pump.tank.0))),
        lights: placed(scenario.lights.iter().map(|light| (&light.name, light.tank.0))),
        probes: scenario
            .probes
            .iter()
            .map(|probe| DrawnProbe {
                name: probe.name.clone(),
                tank: probe.tank.map(|tank| tank.0),
                controls: probe.purpose == ProbePurpose::Control,
            })
            .collect(),
        flows: scenario
            .flows
            .iter()
            .map(|flow| DrawnFlow {
                from: flow.from.0,
                to: flow.to.0,
                pump: flow.pump.map(|pump| pump.0),
            })
            .collect(),
        contacts: scenario.contacts.iter().map(contact).collect(),
        assumptions: scenario.assumptions.clone(),
    }
}

fn placed<'a>(named: impl Iterator<Item = (&'a String, usize)>) -> Vec<Placed> {
    named
        .map(|(name, tank)| Placed {
            name: name.clone(),
            tank,
        })
        .collect()
}

fn lines(of: &[DangerLine]) -> Vec<Line> {
    of.iter()
        .map(|line| Line {
            temp_c: line.temp_c,
            allowed_h: line.allowed_ms.map(hours),
        })
        .collect()
}

fn contact(contact: &Contact) -> DrawnContact {
    let (kind, kind_words) = match contact.kind {
        ContactKind::Relay => (
            "relay",
            "a switch with contacts that part; the controller commands it, and it may weld shut",
        ),
        ContactKind::SolidState => (
            "solid-state switch",
            "a switch without contacts that part; the controller commands it, and when it fails it stays closed",
        ),
        ContactKind::Thermostat => (
            "dial",
            "a heater's own thermostat: it opens by itself when the water is warmer than it is set to",
        ),
        ContactKind::CutOut => (
            "cut-out",
            "a switch with a probe of its own that opens when the water is far too warm, whatever the controller says",
        ),
        ContactKind::ResidualCurrent => (
            "residual-current device",
            "RCD/GFCI: it opens when current leaks, and protects people, not the water's temperature",
        ),
        ContactKind::Breaker => ("breaker", "it opens when a circuit carries too much"),
        _ => ("contact", "a switch"),
    };
    let decided_by = match (contact.own_sensing, contact.role) {
        (Some(own), _) => format!("opens by itself above {} °C", own.opens_above_c),
        (None, Some(Role::Heat | Role::Cool)) => "the strategy decides".to_owned(),
        (None, Some(_)) => "the strategy may hold the room's device off".to_owned(),
        (None, None) => "closed unless tripped".to_owned(),
    };
    DrawnContact {
        name: contact.name.clone(),
        kind,
        kind_words,
        decided_by,
    }
}
