//! `[top_off]` and `[automatic_change]`.

use tepid_sim::ids::TankId;
use tepid_sim::physics::water::density_kg_per_m3;
use tepid_sim::scenario::{AutomaticChange, Flow, Tank, TopOff, TopOffTemperature, Water};
use tepid_sim::time::{HOUR, seconds};

use super::equipment::tank_of;
use super::{Assumptions, Index};
use crate::fields::make_up::{AUTOMATIC_CHANGE, TOP_OFF};
use crate::node::{Node, Table, Value};
use crate::problem::{Problems, Reported};
use crate::reader::Reader;

/// Share of all water that the pump of a top-off moves in an hour where no rate is stated, unitless. Common practice, no source: far more than
/// evaporates, little enough that it does not flood while nobody looks.
const USUAL_FRAC: f64 = 0.1;

pub(super) fn top_off(
    root: &Reader<'_>,
    flows: Option<&[Flow]>,
    tanks: Option<&[Tank]>,
    water: Option<&Water>,
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
    let (rate, reservoir) = (
        reader.optional_quantity("rate"),
        reader.optional_quantity("reservoir"),
    );
    let (temperature, tank, rate, reservoir) = (temperature?, tank?, rate?, reservoir?);
    let sump = || Some(sump(flows?, tanks?).unwrap_or(TankId(0)));
    let tank = tank.map(TankId).or_else(sump).ok_or(Reported)?;
    // Evaporated water is replaced by fresh water.
    let density = density_kg_per_m3(0.0, water.ok_or(Reported)?.target_c);
    let volume_m3: f64 = tanks.ok_or(Reported)?.iter().map(Tank::water_volume_m3).sum();
    let usual_m3_per_s = USUAL_FRAC * volume_m3 / seconds(HOUR);
    Ok(Some(TopOff {
        tank,
        temperature,
        rate_kg_per_s: density * rate.unwrap_or(usual_m3_per_s),
        reservoir_kg: reservoir.map(|reservoir_m3| density * reservoir_m3),
    }))
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
