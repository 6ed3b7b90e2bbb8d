//! A scenario in a few plain lines: whoever wrote the file sees whether it was understood as it was meant.

mod alerts;
mod supply;

use tepid_sim::ids::ContactId;
use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{ContactKind, Cover, ProbePurpose, Reset, Room, Scenario, Tank};

/// Tanks, room, chains in words, the probes that control, and what happens, one line each; metric, US customary in brackets.
#[must_use]
pub fn outline(scenario: &Scenario) -> Vec<String> {
    let water = &scenario.water;
    let mut lines = vec![format!(
        "water wanted at {}, between {} and {}",
        both(Kind::Temperature, water.target_c),
        both(Kind::Temperature, water.band_c.0),
        both(Kind::Temperature, water.band_c.1)
    )];
    lines.extend(scenario.tanks.iter().map(|tank| tank_line(scenario, tank)));
    lines.push(room_line(&scenario.room));
    let tank_name = |tank: tepid_sim::ids::TankId| scenario.tanks[tank.0].name.as_str();
    for heater in &scenario.heaters {
        let what = format!(
            "heater {}, {} in {}",
            heater.name,
            power(heater.power_w),
            tank_name(heater.tank)
        );
        lines.push(format!("{what}: {}", chain(scenario, &heater.chain)));
    }
    if scenario.heaters.is_empty() {
        lines.push("no heaters".to_owned());
    }
    for fan in &scenario.fans {
        let what = format!(
            "fan {}, {} over {}",
            fan.name,
            power(fan.power_w),
            tank_name(fan.tank)
        );
        lines.push(format!("{what}: {}", chain(scenario, &fan.chain)));
    }
    let control: Vec<String> = scenario
        .probes
        .iter()
        .filter(|probe| probe.purpose == ProbePurpose::Control)
        .map(|probe| match probe.tank {
            Some(tank) => format!("{} in {}", probe.name, tank_name(tank)),
            None => format!("{} in the room's air", probe.name),
        })
        .collect();
    lines.push(match control.as_slice() {
        [] => "no probe to control by".to_owned(),
        names => format!("controlled by probe {}", names.join(", probe ")),
    });
    lines.extend(supply::lines(scenario));
    lines.extend(alerts::lines(scenario));
    lines.extend(happenings(scenario));
    lines
}

fn tank_line(scenario: &Scenario, tank: &Tank) -> String {
    let cover = match tank.cover {
        Cover::Open => "open",
        Cover::Mesh => "under a mesh",
        Cover::Lid { .. } => "under a lid",
    };
    let full_m3 = tank.surface_m2() * tank.height_m;
    let mut line = format!(
        "tank {}: {} full, {} of water, {cover}",
        tank.name,
        both(Kind::Volume, full_m3),
        both(Kind::Volume, tank.water_volume_m3())
    );
    if tank.cabinet.is_some() {
        line.push_str(", in a cabinet");
    }
    if scenario.tanks.len() > 1 && tank.livestock {
        line.push_str(", livestock in it");
    }
    line
}

/// "mains, then relay left (relay), then dial left (thermostat, opens above 27.5 °C (81.5 °F))".
fn chain(scenario: &Scenario, contacts: &[ContactId]) -> String {
    if contacts.is_empty() {
        return "always on, nothing switches it".to_owned();
    }
    let words: Vec<String> = contacts
        .iter()
        .map(|contact| contact_words(scenario, *contact))
        .collect();
    format!("mains, then {}", words.join(", then "))
}

fn contact_words(scenario: &Scenario, contact: ContactId) -> String {
    let contact = &scenario.contacts[contact.0];
    let mut words = match contact.kind {
        ContactKind::Relay => "relay",
        ContactKind::SolidState => "solid-state switch",
        ContactKind::Thermostat => "thermostat",
        ContactKind::CutOut => "cut-out",
        ContactKind::ResidualCurrent => "residual-current device",
        ContactKind::Breaker => "breaker",
        _ => "contact",
    }
    .to_owned();
    if let Some(sensing) = contact.own_sensing {
        words.push_str(&format!(
            ", opens above {}",
            both(Kind::Temperature, sensing.opens_above_c)
        ));
        if sensing.reset == Reset::Manual {
            words.push_str(" until reset by hand");
        }
    }
    if let Some(in_box) = contact.in_box {
        words.push_str(&format!(", box {}", scenario.boxes[in_box.0]));
    }
    if words == contact.name {
        words
    } else {
        format!("{} ({words})", contact.name)
    }
}

/// What happens by itself, and the fault sets of the file.
fn happenings(scenario: &Scenario) -> Vec<String> {
    let mut lines = Vec::new();
    let names: Vec<&str> = scenario
        .happenings
        .iter()
        .map(|happening| happening.name.as_str())
        .collect();
    if !names.is_empty() {
        lines.push(format!("happens: {}", names.join(", ")));
    }
    let sets: Vec<&str> = scenario.fault_sets.iter().map(|set| set.name.as_str()).collect();
    if !sets.is_empty() {
        lines.push(format!("fault sets of its own: {}", sets.join(", ")));
    }
    lines
}

/// Metric, and US customary in brackets.
/// The room as stated, part by part, so that a temperature given where a difference belongs shows.
fn room_line(room: &Room) -> String {
    let temperature = &room.temperature;
    let points = || temperature.course.iter().map(|(_, temp_c)| *temp_c);
    let (lowest_c, highest_c) = (
        points().fold(f64::INFINITY, f64::min),
        points().fold(f64::NEG_INFINITY, f64::max),
    );
    let mut parts = vec![if lowest_c == highest_c {
        both(Kind::Temperature, lowest_c)
    } else {
        format!(
            "{} to {}",
            both(Kind::Temperature, lowest_c),
            both(Kind::Temperature, highest_c)
        )
    }];
    for (size_k, what) in [
        (temperature.swing_k, "from coldest to warmest within a day"),
        (
            temperature.season_swing_k,
            "from the coldest to the warmest season",
        ),
        (temperature.drift_k, "of random drift"),
    ] {
        if size_k > 0.0 {
            parts.push(format!("{} {what}", both(Kind::TemperatureDifference, size_k)));
        }
    }
    let year = if room.coldest.stated || room.warmest.stated {
        format!(
            "constant at {} and {} for the year's coldest and warmest",
            both(Kind::Temperature, room.coldest.temp_c),
            both(Kind::Temperature, room.warmest.temp_c)
        )
    } else {
        "the year's coldest and warmest are not stated".to_owned()
    };
    let place = if room.lumped.is_some() { "outdoors" } else { "room" };
    format!("{place}: {}; {year}", parts.join(", "))
}

fn both(kind: Kind, inside: f64) -> String {
    format!(
        "{} ({})",
        print(kind, inside, System::Metric),
        print(kind, inside, System::UsCustomary)
    )
}

fn power(power_w: f64) -> String {
    print(Kind::Power, power_w, System::Metric)
}
