//! What equipment is assumed to be where its file does not say: told like every other assumption, equal ones in one line.

use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{ContactKind, Scenario, SensedAt};

use super::{Assumptions, EquipmentTables};
use crate::fields::contact::CONTACT;
use crate::fields::equipment::{FAN, LIGHT};
use crate::fields::probe::PROBE;
use crate::fields::room::ROOM;
use crate::fields::tank::{CABINET, TANK};
use crate::fields::water::WATER;
use crate::fields::{Presence, Section};
use crate::node::Table;

/// Adds what is assumed of a scenario's water, room and equipment.
pub(super) fn tell(
    root: &Table,
    tables: &EquipmentTables<'_>,
    scenario: &Scenario,
    assumptions: &mut Assumptions,
) {
    if let Some(table) = root.table("water")
        && table.get("salinity").is_none()
    {
        assumptions.push(format!(
            "fresh water assumed ({})",
            default_of(&WATER, "salinity")
        ));
    }
    if let Some(table) = root.table("room")
        && table.get("humidity").is_none()
        && table.get("weather").is_none()
    {
        assumptions.push(format!(
            "room: {} humidity assumed",
            default_of(&ROOM, "humidity")
        ));
    }
    assumptions.extend(tanks(tables.tanks, scenario));
    let names: Vec<&str> = scenario.pumps.iter().map(|pump| pump.name.as_str()).collect();
    let shares = scenario.pumps.iter().zip(tables.pumps).map(|(pump, table)| {
        let share = print(Kind::Share, pump.share_to_water_frac, System::Metric);
        let unsaid = table.get("share_to_water").is_none();
        Vec::from_iter(unsaid.then(|| format!("{share} of the power into the water")))
    });
    assumptions.extend(lines("pump", &names, shares));
    let names: Vec<&str> = scenario.lights.iter().map(|light| light.name.as_str()).collect();
    let shares = tables.lights.iter().map(|table| {
        usual(
            &LIGHT,
            table,
            &[("share_to_water", &|value| {
                format!("{value} of the power into the water")
            })],
        )
    });
    assumptions.extend(lines("light", &names, shares));
    let names: Vec<&str> = scenario.fans.iter().map(|fan| fan.name.as_str()).collect();
    let ways = scenario.fans.iter().zip(tables.fans).map(|(fan, table)| {
        let length = print(Kind::Length, fan.length_m, System::Metric);
        let mut parts = Vec::from_iter(
            table
                .get("length")
                .is_none()
                .then(|| format!("air along {length} of water")),
        );
        parts.extend(usual(
            &FAN,
            table,
            &[("reaches", &|value| format!("{value} of the open surface reached"))],
        ));
        parts.push("its own power into the room and not the water".to_owned());
        parts
    });
    assumptions.extend(lines("fan", &names, ways));
    let names: Vec<&str> = scenario
        .contacts
        .iter()
        .map(|contact| contact.name.as_str())
        .collect();
    assumptions.extend(lines("contact", &names, contacts(tables.contacts, scenario)));
    let names: Vec<&str> = scenario.probes.iter().map(|probe| probe.name.as_str()).collect();
    let readings = tables.probes.iter().map(|table| {
        usual(
            &PROBE,
            table,
            &[
                ("step", &|value| format!("{value} steps")),
                ("noise", &|value| format!("{value} noise")),
                ("lag", &|value| format!("{value} lag")),
            ],
        )
    });
    assumptions.extend(lines("probe", &names, readings));
}

fn tanks(tables: &[&Table], scenario: &Scenario) -> Vec<String> {
    let names: Vec<&str> = scenario.tanks.iter().map(|tank| tank.name.as_str()).collect();
    let parts = scenario.tanks.iter().zip(tables).map(|(tank, table)| {
        let mut parts = usual(&TANK, table, &[("cover", &|_| "no cover".to_owned())]);
        if tank.cabinet.is_some() {
            let empty = Table {
                place: table.place.clone(),
                entries: Vec::new(),
            };
            let cabinet = table.table("in_cabinet").unwrap_or(&empty);
            parts.extend(usual(
                &CABINET,
                cabinet,
                &[
                    ("warmer", &|value| format!("cabinet {value} warmer than the room")),
                    ("more_humid", &|value| {
                        format!("cabinet {value} damper than the room")
                    }),
                ],
            ));
        }
        parts
    });
    lines("tank", &names, parts)
}

/// What thermostats and cut-outs are assumed to feel.
fn contacts<'a>(tables: &'a [&'a Table], scenario: &'a Scenario) -> impl Iterator<Item = Vec<String>> + 'a {
    scenario.contacts.iter().zip(tables).map(|(contact, table)| {
        let Some(own) = contact.own_sensing else {
            return Vec::new();
        };
        let mut parts = Vec::new();
        if table.get("closes_below").is_none() && contact.kind == ContactKind::Thermostat {
            let below_k = own.opens_above_c - own.closes_below_c;
            let below = print(Kind::TemperatureDifference, below_k, System::Metric);
            parts.push(format!("closing {below} below opening"));
        }
        match own.sensed_at {
            SensedAt::HeaterBody { .. } => parts.extend(usual(
                &CONTACT,
                table,
                &[("body_share", &|value| {
                    format!("{value} of the heater's own warmth felt")
                })],
            )),
            SensedAt::Bulb { .. } => {
                parts.extend(usual(
                    &CONTACT,
                    table,
                    &[("lag", &|value| format!("{value} lag"))],
                ));
            }
        }
        parts
    })
}

/// A field and the words for its default.
type Usual<'a> = (&'a str, &'a dyn Fn(&str) -> String);

/// The words for those fields that a table leaves to their defaults.
fn usual(section: &Section, table: &Table, fields: &[Usual<'_>]) -> Vec<String> {
    fields
        .iter()
        .filter(|(field, _)| table.get(field).is_none())
        .map(|(field, words)| words(&default_of(section, field)))
        .collect()
}

pub(super) fn default_of(section: &Section, name: &str) -> String {
    let field = section.fields.iter().find(|field| field.name == name);
    match field.map(|field| &field.presence) {
        Some(Presence::Default(text) | Presence::Otherwise(text)) => text.to_string(),
        _ => String::new(),
    }
}

/// "probes a, b and c: 0.1 K steps, 30 s lag assumed": one line for all of which the same is assumed.
fn lines(what: &str, names: &[&str], parts: impl Iterator<Item = Vec<String>>) -> Vec<String> {
    let told = names.iter().zip(parts).filter(|(_, parts)| !parts.is_empty());
    let folded = folded(told.map(|(name, parts)| ((*name).to_owned(), parts.join(", "))));
    folded
        .into_iter()
        .map(|(names, text)| {
            let plural = if names.len() > 1 { "s" } else { "" };
            format!("{what}{plural} {}: {text} assumed", row(&names))
        })
        .collect()
}

/// What is said of several things alike, once, with all their names; in the order of the first of each.
pub(super) fn folded(said: impl Iterator<Item = (String, String)>) -> Vec<(Vec<String>, String)> {
    let mut found: Vec<(Vec<String>, String)> = Vec::new();
    for (name, text) in said {
        match found.iter_mut().find(|(_, known)| *known == text) {
            Some((names, _)) => names.push(name),
            None => found.push((vec![name], text)),
        }
    }
    found
}

/// "a, b and c".
pub(super) fn row(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
