//! `building` of `[room]`.

use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{LumpedRoom, RoomThermostat};

use super::{Assumptions, Index, sun};
use crate::fields::Section;
use crate::fields::building::{BUILDING, COOLING, HEATING};
use crate::fields::sun::WINDOW_SUN;
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// Heat capacity of air at 20 °C and sea level, J/(m³ K): 1.2 kg/m³ × 1005 J/(kg K), rounded; `CoolProp` 8.0.0 has 1.2046 and 1006
/// (source).
const AIR_J_PER_M3_K: f64 = 1206.0;
/// Heat capacity of a room over that of its air, unitless, where none is stated. An assumption, no source.
const FURNISHED: f64 = 10.0;

pub(super) fn read(
    room: &Reader<'_>,
    index: &Index,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Option<LumpedRoom>, Reported> {
    let Some(table) = room.optional_table("building")? else {
        return Ok(None);
    };
    let reader = Reader::open(table, &BUILDING, problems);
    let (volume, capacity) = (
        reader.quantity("volume"),
        reader.optional_quantity("heat_capacity"),
    );
    let (envelope, air_changes) = (reader.quantity("envelope"), reader.quantity("air_changes"));
    let (people, moisture) = (reader.quantity("people"), reader.quantity("moisture"));
    let sun = reader.optional_table("sun").and_then(|table| {
        table
            .map(|table| sun::shine(&Reader::open(table, &WINDOW_SUN, problems)))
            .transpose()
    });
    let thermostat = |field: &str, section: &'static Section| {
        let table = reader.optional_table(field)?;
        table
            .map(|table| thermostat(table, section, index, problems))
            .transpose()
    };
    let (heating, cooling) = (thermostat("heating", &HEATING), thermostat("cooling", &COOLING));
    let (volume_m3, capacity, heating, cooling) = (volume?, capacity?, heating?, cooling?);
    check_apart(&reader, heating, cooling)?;
    let heat_capacity_j_per_k = capacity.unwrap_or_else(|| {
        let usual = FURNISHED * AIR_J_PER_M3_K * volume_m3;
        let shown = print(Kind::HeatCapacity, usual, System::Metric);
        assumptions.push(format!(
            "building: heat capacity assumed {FURNISHED} times its air's, {shown}"
        ));
        usual
    });
    Ok(Some(LumpedRoom {
        volume_m3,
        heat_capacity_j_per_k,
        envelope_w_per_k: envelope?,
        air_changes_per_s: air_changes?,
        internal_gain_w: people?,
        moisture_kg_per_s: moisture?,
        sun: sun?,
        heating,
        cooling,
    }))
}

fn thermostat(
    table: &Table,
    section: &'static Section,
    index: &Index,
    problems: &Problems,
) -> Result<RoomThermostat, Reported> {
    let reader = Reader::open(table, section, problems);
    let (setpoint, power, deadband) = (
        reader.quantity("setpoint"),
        reader.quantity("power"),
        reader.quantity("deadband"),
    );
    let runs_without_power = reader.flag("runs_without_power");
    // Which contacts these are stands in their roles.
    if reader.given("chain") {
        reader.references("chain", &index.contacts)?;
    }
    Ok(RoomThermostat {
        runs_without_power: runs_without_power?,
        setpoint_c: setpoint?,
        power_w: power?,
        deadband_k: deadband?,
    })
}

/// Heating that works while the cooling does heats the street.
fn check_apart(
    reader: &Reader<'_>,
    heating: Option<RoomThermostat>,
    cooling: Option<RoomThermostat>,
) -> Result<(), Reported> {
    let (Some(heating), Some(cooling)) = (heating, cooling) else {
        return Ok(());
    };
    if heating.setpoint_c + 0.5 * heating.deadband_k < cooling.setpoint_c - 0.5 * cooling.deadband_k {
        return Ok(());
    }
    let problem = Problem::new(
        "heating-and-cooling",
        reader.place_of("cooling"),
        "heating and cooling of the room work against each other",
    )
    .expected("a setpoint of the cooling above the heating's, with both deadbands between them");
    Err(reader.report(problem))
}
