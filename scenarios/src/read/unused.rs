//! Fields that say nothing beside the others of their table: they are told, so that nobody believes in them.

use tepid_sim::scenario::{Cover, Scenario};

use super::{Assumptions, EquipmentTables};
use crate::node::Table;

/// Adds a line for each field of tanks, heaters and room that changes nothing.
pub(super) fn tell(
    root: &Table,
    tables: &EquipmentTables<'_>,
    scenario: &Scenario,
    assumptions: &mut Assumptions,
) {
    for (tank, table) in scenario.tanks.iter().zip(tables.tanks) {
        if table.get("lid").is_some() && !matches!(tank.cover, Cover::Lid { .. }) {
            assumptions.push(format!(
                "tank {}: `lid` does nothing unless the cover is \"lid\"",
                tank.name
            ));
        }
    }
    for (heater, table) in scenario.heaters.iter().zip(tables.heaters) {
        if table.get("speed_by").is_some() && heater.body.water_speed_m_per_s == 0.0 {
            assumptions.push(format!(
                "heater {}: `speed_by` does nothing without `water_speed`",
                heater.name
            ));
        }
    }
    for (load, chain) in scenario.chains() {
        if chain.is_empty() {
            assumptions.push(format!(
                "{}: `chain = []`: nothing switches it, it has power all the time",
                scenario.load_name(load)
            ));
        }
    }
    let room = root.table("room");
    let Some(temperature) = room.and_then(|room| room.table("temperature")) else {
        return;
    };
    let course = &scenario.room.temperature;
    for (field, needs, size_k) in [
        ("warmest", "swing", course.swing_k),
        ("warmest_day", "season_swing", course.season_swing_k),
        ("drift_time", "drift", course.drift_k),
    ] {
        if temperature.get(field).is_some() && size_k == 0.0 {
            assumptions.push(format!("room: `{field}` does nothing without `{needs}`"));
        }
    }
}
