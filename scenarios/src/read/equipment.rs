//! `[[flow]]`, `[[pump]]`, `[[fan]]` and `[[light]]`.

use tepid_sim::ids::{ContactId, PumpId, TankId};
use tepid_sim::plant::MAX_FANS_OF_TANK;
use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{DailyHours, Fan, Flow, Light, Pump, Tank};

use super::{Index, the_only};
use crate::fields::equipment::{FAN, FLOW, LIGHT, PUMP};
use crate::node::{Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// Share of an external pump's power that ends in the water. From memory.
const EXTERNAL_PUMP_FRAC: f64 = 0.5;
/// Share of its tank's water height below which a pump draws air, where none is stated. An assumption, no source.
const STARVES_FRAC: f64 = 0.3;

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
    tanks: Option<&[Tank]>,
    problems: &Problems,
) -> Result<Vec<Pump>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &PUMP, problems);
        let (name, power) = (reader.text("name"), reader.quantity("power"));
        let tank = reader.optional_reference("tank", &index.tanks);
        let placed = reader.choice("placed");
        let share = reader.optional_quantity("share_to_water");
        let hours = hours(&reader);
        let starves = reader.optional_quantity("starves_below");
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
                None => return Err(reader.missing_name("tank", &index.tanks)),
            },
        };
        let placed_share = if placed? == "external" {
            EXTERNAL_PUMP_FRAC
        } else {
            1.0
        };
        let tank = TankId(tank);
        let starves = water_mark(&reader, "starves_below", starves?, (STARVES_FRAC, tank), tanks);
        Ok(Pump {
            name,
            power_w: power?,
            tank,
            share_to_water_frac: share?.unwrap_or(placed_share),
            hours: hours?,
            starves_below_m: starves?,
        })
    })
}

/// `on` and `off`, both or neither.
fn hours(reader: &Reader<'_>) -> Result<Option<DailyHours>, Reported> {
    let (on, off) = (
        reader.optional_time_of_day("on"),
        reader.optional_time_of_day("off"),
    );
    match (on?, off?) {
        (Some(on_ms), Some(off_ms)) => Ok(Some(DailyHours { on_ms, off_ms })),
        (None, None) => Ok(None),
        (Some(_), None) => Err(reader.missing("off")),
        (None, Some(_)) => Err(reader.missing("on")),
    }
}

/// A height of the water in a tank below which something fails: as stated, else a share of the tank's water height.
pub(super) fn water_mark(
    reader: &Reader<'_>,
    field: &str,
    stated_m: Option<f64>,
    (usual_frac, tank): (f64, TankId),
    tanks: Option<&[Tank]>,
) -> Result<f64, Reported> {
    // A tank that could not be read is reported by its own section.
    let tank = tanks.and_then(|tanks| tanks.get(tank.0)).ok_or(Reported)?;
    let height_m = stated_m.unwrap_or(usual_frac * tank.water_height_m);
    if height_m >= tank.water_height_m {
        let water = print(Kind::Length, tank.water_height_m, System::Metric);
        let message = format!("`{field}` is not below the water of {}", tank.name);
        let problem = Problem::new("out-of-range", reader.place_of(field), message)
            .label("out of range")
            .expected(format!("less than the height of its water, {water}"));
        return Err(reader.report(problem));
    }
    Ok(height_m)
}

/// The pump that moves a tank's water: it drives one of its flows, or sits in it.
pub(super) fn pump_of_tank(
    reader: &Reader<'_>,
    field: &str,
    tank: TankId,
    around: &Pumped<'_>,
) -> Result<Option<PumpId>, Reported> {
    let Some(pump) = reader.optional_reference(field, &around.index.pumps)?.map(PumpId) else {
        return Ok(None);
    };
    // Flows and pumps that could not be read are reported by their own sections.
    let (flows, pumps) = (around.flows.ok_or(Reported)?, around.pumps.ok_or(Reported)?);
    let drives = flows
        .iter()
        .any(|flow| flow.pump == Some(pump) && (flow.from == tank || flow.to == tank));
    if drives || pumps.get(pump.0).is_some_and(|found| found.tank == tank) {
        return Ok(Some(pump));
    }
    let named = around.index.tanks.described(tank.0);
    let message = format!(
        "{} moves no water of {named}",
        around.index.pumps.described(pump.0)
    );
    let problem = Problem::new("pump-elsewhere", reader.place_of(field), message)
        .label("another tank's pump")
        .expected(format!(
            "a pump of a flow from or to {named}, or one that sits in it"
        ));
    Err(reader.report(problem))
}

/// What moves water, for devices that need a flow.
pub(super) struct Pumped<'a> {
    pub index: &'a Index,
    pub flows: Option<&'a [Flow]>,
    pub pumps: Option<&'a [Pump]>,
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
        None => Err(reader.missing_name("tank", &index.tanks)),
    }
}

pub(super) fn fans(
    tables: &[&Table],
    tank_tables: &[&Table],
    index: &Index,
    tanks: Option<&[Tank]>,
    problems: &Problems,
) -> Result<Vec<Fan>, Reported> {
    debug_assert!(tanks.is_none_or(|tanks| tanks.len() == tank_tables.len()));
    let mut over_tank = vec![0; index.tanks.len()];
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
        over_tank[tank.0] += 1;
        if over_tank[tank.0] == MAX_FANS_OF_TANK + 1 {
            let message = format!("more than {MAX_FANS_OF_TANK} fans blow over one tank");
            let problem = Problem::new("too-much", &table.place, message)
                .label("one too many")
                .expected("fewer: one fan with the speed and the share that several reach together");
            return Err(problems.add(problem));
        }
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

/// Reads every table, so that each reports its mistakes.
pub(super) fn collect<T>(
    tables: &[&Table],
    mut read: impl FnMut(&Table) -> Result<T, Reported>,
) -> Result<Vec<T>, Reported> {
    let read: Vec<_> = tables.iter().map(|table| read(table)).collect();
    read.into_iter().collect()
}
