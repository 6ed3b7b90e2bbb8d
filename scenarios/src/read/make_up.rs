//! `[top_off]` and `[automatic_change]`.

use tepid_sim::ids::TankId;
use tepid_sim::scenario::{AutomaticChange, Flow, Tank, TopOff, TopOffTemperature, Water};

use super::equipment::tank_of;
use super::{Assumptions, Index};
use crate::fields::make_up::{AUTOMATIC_CHANGE, TOP_OFF};
use crate::node::{Node, Table, Value};
use crate::problem::{Problems, Reported};
use crate::reader::Reader;

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
    let temperature = temperature(&reader);
    let (temperature, tank) = (temperature?, tank?);
    let sump = || Some(sump(flows?, tanks?).unwrap_or(TankId(0)));
    let tank = tank.map(TankId).or_else(sump).ok_or(Reported)?;
    Ok(Some(TopOff { tank, temperature }))
}

/// "room", "tank", or a temperature.
fn temperature(reader: &Reader<'_>) -> Result<TopOffTemperature, Reported> {
    match reader.node("temperature").map(|node| &node.value) {
        Some(Value::Text { text, .. }) if text.starts_with(|c: char| c.is_ascii_digit() || c == '-') => {
            reader
                .quantity("temperature")
                .map(|temp_c| TopOffTemperature::Fixed { temp_c })
        }
        _ => reader.choice("temperature").map(|word| match word {
            "tank" => TopOffTemperature::Tank,
            _ => TopOffTemperature::Room,
        }),
    }
}

pub(super) fn automatic_change(
    root: &Reader<'_>,
    water: Option<&Water>,
    index: &Index,
    problems: &Problems,
) -> Result<Option<AutomaticChange>, Reported> {
    let Some(table) = root.optional_table("automatic_change")? else {
        return Ok(None);
    };
    let reader = Reader::open(table, &AUTOMATIC_CHANGE, problems);
    let (tank, rate) = (tank_of(&reader, index), reader.quantity("rate"));
    let temperature = temperature(&reader);
    let salinity = reader.optional_quantity("salinity");
    // Water that could not be read is reported by its own section.
    let water = water.ok_or(Reported);
    Ok(Some(AutomaticChange {
        tank: tank?,
        rate_m3_per_s: rate?,
        temperature: temperature?,
        salinity_g_per_kg: salinity?.unwrap_or(water?.salinity_g_per_kg),
    }))
}

/// A tank without livestock that a flow feeds.
fn sump(flows: &[Flow], tanks: &[Tank]) -> Option<TankId> {
    flows
        .iter()
        .map(|flow| flow.to)
        .find(|to| tanks.get(to.0).is_some_and(|tank| !tank.livestock))
}
