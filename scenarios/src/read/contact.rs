//! `[[contact]]`.

use tepid_sim::ids::{BoxId, TankId};
use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{Contact, ContactKind, OwnSensing, Reset, Role, SensedAt};

use super::equipment::{collect, names};
use super::{Index, items, the_only};
use crate::fields::contact::{CONTACT, RATING};
use crate::names::name_of;
use crate::node::{Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// Full hysteresis of a thermostat or cut-out where none is stated, K. Common practice, no source.
const HYSTERESIS_K: f64 = 1.0;
/// Fields that only contacts with their own sensing have.
const SENSING_FIELDS: [&str; 7] = [
    "opens_above",
    "closes_below",
    "bulb",
    "lag",
    "body_share",
    "reset",
    "dial_error",
];

/// Whose chains contacts stand in.
pub(super) struct Chains<'t> {
    pub heaters: &'t [&'t Table],
    /// Fans and chillers.
    pub coolers: &'t [&'t Table],
    /// The room's, with its heating and cooling.
    pub building: Option<&'t Table>,
}

pub(super) fn contacts(
    tables: &[&Table],
    chains: &Chains<'_>,
    index: &Index,
    problems: &Problems,
) -> Result<Vec<Contact>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &CONTACT, problems);
        let behind = Behind {
            heaters: chains
                .heaters
                .iter()
                .copied()
                .filter(|heater| in_chain(heater, table))
                .collect(),
            coolers: chains.coolers.iter().any(|cooler| in_chain(cooler, table)),
            of_room: chains.building.and_then(|building| of_room(building, table)),
            chains_known: chains.heaters.iter().all(|heater| chain_is_known(heater, index)),
        };
        contact(&reader, &behind, index, problems)
    })
}

/// What hangs behind a contact.
struct Behind<'t> {
    heaters: Vec<&'t Table>,
    /// Fans or chillers.
    coolers: bool,
    /// Heating or cooling of the room.
    of_room: Option<Role>,
    /// Every name in every heater's chain is a contact; otherwise nobody can tell what hangs behind what.
    chains_known: bool,
}

fn chain_is_known(heater: &Table, index: &Index) -> bool {
    let chain = heater.get("chain").and_then(items).unwrap_or(&[]);
    chain
        .iter()
        .all(|item| matches!(&item.value, Value::Text { text, .. } if index.contacts.find(text).is_some()))
}

/// Its role, if it stands in the chain of the room's heating or cooling.
fn of_room(building: &Table, contact: &Table) -> Option<Role> {
    [("heating", Role::HeatRoom), ("cooling", Role::CoolRoom)]
        .into_iter()
        .find(|(device, _)| {
            building
                .table(device)
                .is_some_and(|device| in_chain(device, contact))
        })
        .map(|(_, role)| role)
}

fn in_chain(device: &Table, contact: &Table) -> bool {
    let Some(name) = name_of(contact) else {
        return false;
    };
    let chain = device.get("chain").and_then(items).unwrap_or(&[]);
    chain
        .iter()
        .any(|item| matches!(&item.value, Value::Text { text, .. } if text == name))
}

fn contact(
    reader: &Reader<'_>,
    behind: &Behind<'_>,
    index: &Index,
    problems: &Problems,
) -> Result<Contact, Reported> {
    let (name, kind) = (reader.text("name"), reader.choice("kind").map(kind_of));
    let box_name = reader.optional_text("box");
    let role = reader.optional_choice("role");
    let life = reader.optional_table("rating").and_then(|table| match table {
        None => Ok(None),
        Some(table) => Reader::open(table, &RATING, problems).quantity("life").map(Some),
    });
    let kind = kind?;
    let commanded = matches!(kind, ContactKind::Relay | ContactKind::SolidState);
    let senses = matches!(kind, ContactKind::Thermostat | ContactKind::CutOut);
    if !kind.parts() && reader.given("rating") {
        let problem = Problem::new(
            "wears-not",
            reader.place_of("rating"),
            "a solid-state switch does not wear by closing, so no number of closings is its life",
        )
        .expected("no `rating` here; what chance does to it is stated by [[life]]");
        return Err(reader.report(problem));
    }
    if !commanded && reader.given("role") {
        let problem = Problem::new(
            "role-not-commanded",
            reader.place_of("role"),
            "only a relay or a solid state switch takes commands",
        )
        .expected("no `role` here");
        reader.report(problem);
        return Err(Reported);
    }
    if behind.of_room.is_some() {
        in_room_chain_alone(reader, commanded, behind)?;
    }
    if !senses && let Some(field) = SENSING_FIELDS.into_iter().find(|field| reader.given(field)) {
        let message = format!("`{field}` belongs to a thermostat or cut-out");
        let problem = Problem::new("senses-nothing", reader.place_of(field), message)
            .expected("kind = \"thermostat\" or \"cut-out\", or no such field");
        return Err(reader.report(problem));
    }
    let own_sensing = if senses {
        Some(own_sensing(reader, kind, behind, index))
    } else {
        None
    };
    let usual_role = if let Some(of_room) = behind.of_room {
        of_room
    } else if behind.coolers && behind.heaters.is_empty() {
        Role::Cool
    } else {
        Role::Heat
    };
    let role = match role? {
        Some("cool") => Some(Role::Cool),
        Some(_) => Some(Role::Heat),
        None => commanded.then_some(usual_role),
    };
    Ok(Contact {
        name: name?,
        kind,
        in_box: box_name?.and_then(|name| index.boxes.find(&name)).map(BoxId),
        role,
        life_closings: life?,
        own_sensing: own_sensing.transpose()?,
    })
}

/// What stands in a chain of the room is a switch for a controller, says nothing of a role, and switches nothing else.
fn in_room_chain_alone(reader: &Reader<'_>, commanded: bool, behind: &Behind<'_>) -> Result<(), Reported> {
    let (field, wrong, expected) = if !commanded {
        (
            "kind",
            "the room's heating and cooling have a thermostat of their own",
            "kind = \"relay\" or \"solid state\" in their chain",
        )
    } else if reader.given("role") {
        (
            "role",
            "it stands in the chain of the room's heating or cooling, which says what it is for",
            "no `role` here",
        )
    } else if behind.coolers || !behind.heaters.is_empty() {
        (
            "name",
            "it stands in the chain of the room and in that of a heater, fan or chiller",
            "a contact of its own for the room",
        )
    } else {
        return Ok(());
    };
    let problem = Problem::new("room-chain", reader.place_of(field), wrong).expected(expected);
    Err(reader.report(problem))
}

fn kind_of(word: &str) -> ContactKind {
    match word {
        "solid state" => ContactKind::SolidState,
        "thermostat" => ContactKind::Thermostat,
        "cut-out" => ContactKind::CutOut,
        "residual-current" => ContactKind::ResidualCurrent,
        "breaker" => ContactKind::Breaker,
        _ => ContactKind::Relay,
    }
}

fn own_sensing(
    reader: &Reader<'_>,
    kind: ContactKind,
    behind: &Behind<'_>,
    index: &Index,
) -> Result<OwnSensing, Reported> {
    let opens = if reader.given("opens_above") {
        reader.quantity("opens_above")
    } else {
        Err(reader.missing("opens_above"))
    };
    let closes = reader.optional_quantity("closes_below");
    let bulb = reader.optional_reference("bulb", &index.tanks);
    let (lag, body_share) = (reader.millis("lag"), reader.quantity("body_share"));
    let (reset, dial_error) = (reader.optional_choice("reset"), reader.quantity("dial_error"));
    let bulb = bulb?;
    let sensed_at = match (bulb, kind) {
        (Some(tank), _) => SensedAt::Bulb {
            tank: TankId(tank),
            lag_ms: lag?,
        },
        (None, ContactKind::CutOut) => {
            let tank = behind
                .heaters
                .iter()
                .find_map(|heater| names(heater, "tank"))
                .and_then(|tank| index.tanks.find(tank));
            match tank.or_else(|| the_only(&index.tanks)) {
                Some(tank) => SensedAt::Bulb {
                    tank: TankId(tank),
                    lag_ms: lag?,
                },
                None => return Err(reader.missing_name("bulb", &index.tanks)),
            }
        }
        (None, _) if !behind.chains_known => return Err(Reported),
        (None, _) => {
            if behind.heaters.len() != 1 {
                let message = format!(
                    "this thermostat stands in the chains of {} heaters",
                    behind.heaters.len()
                );
                let problem = Problem::new("whose-thermostat", reader.place(), message)
                    .label("whose warmth does it feel?")
                    .expected(
                        "the chain of exactly one heater, or `bulb` with the tank its own bulb hangs in",
                    );
                return Err(reader.report(match index.tanks.known().next() {
                    Some(tank) => problem.fix(format!("bulb = \"{tank}\"")),
                    None => problem,
                }));
            }
            SensedAt::HeaterBody {
                body_share_frac: body_share?,
            }
        }
    };
    let (opens, closes) = (opens?, closes?);
    let closes_below_c = closes.unwrap_or(opens - HYSTERESIS_K);
    if closes_below_c >= opens {
        let opens = print(Kind::Temperature, opens, System::Metric);
        let problem = Problem::new(
            "no-hysteresis",
            reader.place_of("closes_below"),
            "it would close before it opens",
        )
        .label("too warm")
        .expected(format!("a temperature below `opens_above`, {opens}"));
        return Err(reader.report(problem));
    }
    let by_hand = match reset? {
        Some(word) => word == "by hand",
        None => kind == ContactKind::CutOut,
    };
    Ok(OwnSensing {
        opens_above_c: opens,
        closes_below_c,
        sensed_at,
        reset: if by_hand { Reset::Manual } else { Reset::Automatic },
        dial_error_k: dial_error?,
    })
}
