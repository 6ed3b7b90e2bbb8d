//! `[[flow]]`, `[[pump]]`, `[[heater]]`, `[[fan]]`, `[[light]]` and `[top_off]`.

use tepid_sim::ids::{ContactId, PumpId, TankId};
use tepid_sim::scenario::{Fan, Flow, Heater, HeaterBody, Light, Pump, Tank, TopOff, TopOffTemperature};

use super::{Assumptions, Index, the_only};
use crate::fields::equipment::{BODY, FAN, FLOW, HEATER, LIGHT, PUMP, TOP_OFF};
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// Heat capacity of a heater's body per watt rated, J/(K W). From memory.
const BODY_J_PER_K_PER_W: f64 = 1.0;
/// Area of a heater's tube per watt rated, m²/W: 0.027 m² at 300 W. From memory.
const BODY_M2_PER_W: f64 = 0.027 / 300.0;
/// Share of an external pump's power that ends in the water. From memory.
const EXTERNAL_PUMP_FRAC: f64 = 0.5;

pub(super) fn flows(tables: &[&Table], index: &Index, problems: &Problems) -> Result<Vec<Flow>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &FLOW, problems);
        let name = reader.optional_text("name");
        let (from, to) = (
            reader.reference("from", &index.tanks),
            reader.reference("to", &index.tanks),
        );
        let rate = reader.quantity("rate");
        let pump = reader.optional_reference("pump", &index.pumps);
        let (from, to) = (from?, to?);
        if from == to {
            let problem = Problem::new(
                "flow-to-itself",
                reader.place_of("to"),
                "a flow joins two different tanks",
            )
            .expected("another tank than `from`");
            return Err(reader.report(problem));
        }
        name?;
        Ok(Flow {
            from: TankId(from),
            to: TankId(to),
            rate_m3_per_s: rate?,
            pump: pump?.map(PumpId),
        })
    })
}

pub(super) fn pumps(
    tables: &[&Table],
    flow_tables: &[&Table],
    index: &Index,
    problems: &Problems,
) -> Result<Vec<Pump>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &PUMP, problems);
        let (name, power) = (reader.text("name"), reader.quantity("power"));
        let tank = reader.optional_reference("tank", &index.tanks);
        let placed = reader.choice("placed");
        let share = reader.optional_quantity("share_to_water");
        let name = name?;
        let fed = || {
            flow_tables
                .iter()
                .find(|flow| names(flow, "pump") == Some(&name))
                .and_then(|flow| names(flow, "to"))
        };
        let tank = match tank? {
            Some(tank) => tank,
            None => match fed()
                .and_then(|to| index.tanks.find(to))
                .or_else(|| the_only(&index.tanks))
            {
                Some(tank) => tank,
                None => return Err(reader.missing("tank")),
            },
        };
        let placed_share = if placed? == "external" {
            EXTERNAL_PUMP_FRAC
        } else {
            1.0
        };
        Ok(Pump {
            name,
            power_w: power?,
            tank: TankId(tank),
            share_to_water_frac: share?.unwrap_or(placed_share),
            hours: None,
            starves_below_m: 0.0,
        })
    })
}

/// The text of a field, unchecked: its own section reports what is wrong with it.
pub(super) fn names<'t>(table: &'t Table, field: &str) -> Option<&'t str> {
    match table.get(field).map(|node| &node.value) {
        Some(Value::Text { text, .. }) => Some(text),
        _ => None,
    }
}

/// The tank a field names, else the only one, else the field is missing.
pub(super) fn tank_of(reader: &Reader<'_>, index: &Index) -> Result<TankId, Reported> {
    match reader
        .optional_reference("tank", &index.tanks)?
        .or_else(|| the_only(&index.tanks))
    {
        Some(tank) => Ok(TankId(tank)),
        None => Err(reader.missing("tank")),
    }
}

pub(super) fn heaters(
    tables: &[&Table],
    index: &Index,
    problems: &Problems,
) -> Result<Vec<Heater>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &HEATER, problems);
        let (name, power, tank) = (
            reader.text("name"),
            reader.quantity("power"),
            tank_of(&reader, index),
        );
        let chain = reader.references("chain", &index.contacts);
        let speed = reader.quantity("water_speed");
        let speed_pump = reader.optional_reference("speed_by", &index.pumps);
        let body_table = reader.optional_table("body");
        let power_w = power.unwrap_or(1.0);
        let body = body_table.and_then(|table| body(table, reader.place(), power_w, problems));
        let (speed, speed_pump) = (speed?, speed_pump?.map(PumpId));
        let body = HeaterBody {
            water_speed_m_per_s: speed,
            speed_pump,
            ..body?
        };
        Ok(Heater {
            name: name?,
            power_w: power?,
            tank: tank?,
            chain: chain?.into_iter().map(ContactId).collect(),
            body,
            kind: tepid_sim::scenario::HeaterKind::Immersed,
            exposed_below_m: 0.0,
        })
    })
}

/// The tube by what is stated and the rated power, in still water.
fn body(
    table: Option<&Table>,
    place: &crate::source::Place,
    power_w: f64,
    problems: &Problems,
) -> Result<HeaterBody, Reported> {
    let empty = Table {
        place: place.clone(),
        entries: Vec::new(),
    };
    let reader = Reader::open(table.unwrap_or(&empty), &BODY, problems);
    let capacity = reader.optional_quantity("heat_capacity");
    let length = reader.optional_quantity("length");
    let diameter_m = reader.quantity("diameter")?;
    let usual_length_m = BODY_M2_PER_W * power_w / (std::f64::consts::PI * diameter_m);
    Ok(HeaterBody {
        heat_capacity_j_per_k: capacity?.unwrap_or(BODY_J_PER_K_PER_W * power_w),
        length_m: length?.unwrap_or(usual_length_m),
        diameter_m,
        water_speed_m_per_s: 0.0,
        speed_pump: None,
    })
}

pub(super) fn fans(
    tables: &[&Table],
    tank_tables: &[&Table],
    index: &Index,
    tanks: Option<&[Tank]>,
    problems: &Problems,
) -> Result<Vec<Fan>, Reported> {
    debug_assert!(tanks.is_none_or(|tanks| tanks.len() == tank_tables.len()));
    collect(tables, |table| {
        let reader = Reader::open(table, &FAN, problems);
        let (name, power, speed) = (
            reader.text("name"),
            reader.quantity("power"),
            reader.quantity("speed"),
        );
        let tank = tank_of(&reader, index);
        let length = reader.optional_quantity("length");
        let reaches = reader.quantity("reaches");
        let chain = reader.references("chain", &index.contacts);
        let tank = tank?;
        let shorter_side = || {
            tanks
                .and_then(|tanks| tanks.get(tank.0))
                .map(|tank| tank.length_m.min(tank.width_m))
        };
        Ok(Fan {
            name: name?,
            tank,
            power_w: power?,
            speed_m_per_s: speed?,
            // A tank that could not be read is reported by its own section.
            length_m: length?.or_else(shorter_side).ok_or(Reported)?,
            share_frac: reaches?,
            chain: chain?.into_iter().map(ContactId).collect(),
        })
    })
}

pub(super) fn lights(tables: &[&Table], index: &Index, problems: &Problems) -> Result<Vec<Light>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &LIGHT, problems);
        let (name, power, tank) = (
            reader.text("name"),
            reader.quantity("power"),
            tank_of(&reader, index),
        );
        let share = reader.quantity("share_to_water");
        let (on, off) = (reader.time_of_day("on"), reader.time_of_day("off"));
        Ok(Light {
            name: name?,
            tank: tank?,
            power_w: power?,
            share_to_water_frac: share?,
            on_ms: on?,
            off_ms: off?,
        })
    })
}

pub(super) fn top_off(
    root: &Reader<'_>,
    flows: Option<&[Flow]>,
    tanks: Option<&[Tank]>,
    index: &Index,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Option<TopOff>, Reported> {
    let place = root.place_of("top_off").clone();
    let empty = Table {
        place,
        entries: Vec::new(),
    };
    let table = match root.node("top_off") {
        None => {
            assumptions.push("evaporated water assumed to be replaced at room temperature".to_owned());
            &empty
        }
        Some(Node {
            value: Value::Table(table),
            ..
        }) => table,
        Some(Node {
            value: Value::Text { text, .. },
            ..
        }) if text == "none" => return Ok(None),
        Some(node) => return Err(root.wrong("top_off", node)),
    };
    let reader = Reader::open(table, &TOP_OFF, problems);
    let tank = reader.optional_reference("tank", &index.tanks);
    let temperature = match reader.node("temperature").map(|node| &node.value) {
        Some(Value::Text { text, .. }) if text.starts_with(|c: char| c.is_ascii_digit() || c == '-') => {
            reader
                .quantity("temperature")
                .map(|temp_c| TopOffTemperature::Fixed { temp_c })
        }
        _ => reader.choice("temperature").map(|word| match word {
            "tank" => TopOffTemperature::Tank,
            _ => TopOffTemperature::Room,
        }),
    };
    let (temperature, tank) = (temperature?, tank?);
    let sump = || Some(sump(flows?, tanks?).unwrap_or(TankId(0)));
    let tank = tank.map(TankId).or_else(sump).ok_or(Reported)?;
    Ok(Some(TopOff { tank, temperature }))
}

/// A tank without livestock that a flow feeds.
fn sump(flows: &[Flow], tanks: &[Tank]) -> Option<TankId> {
    flows
        .iter()
        .map(|flow| flow.to)
        .find(|to| tanks.get(to.0).is_some_and(|tank| !tank.livestock))
}

/// Reads every table, so that each reports its mistakes.
pub(super) fn collect<T>(
    tables: &[&Table],
    read: impl Fn(&Table) -> Result<T, Reported>,
) -> Result<Vec<T>, Reported> {
    let read: Vec<_> = tables.iter().map(|table| read(table)).collect();
    read.into_iter().collect()
}
