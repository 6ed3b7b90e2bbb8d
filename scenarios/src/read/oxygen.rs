//! `[livestock.oxygen]` and `[[air_pump]]`.

use tepid_sim::scenario::{AirPump, Oxygen};

use super::assumed::default_of;
use super::equipment::tank_of;
use super::{Assumptions, Index};
use crate::fields::oxygen::{AIR_PUMP, OXYGEN};
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// mg in a kg.
const MG_PER_KG: f64 = 1e6;

/// Fields whose default is an assumption about stock and surface, with what to say of it.
const ASSUMED: [(&str, &str); 5] = [
    ("per_kg", "for a kilogram of fish"),
    ("q10", "times as much per 10 K"),
    ("moved", "into moved water"),
    ("still", "into still water"),
    ("under_lid", "of that under a lid"),
];

pub(super) fn oxygen(
    livestock: &Reader<'_>,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Option<Oxygen>, Reported> {
    let Some(table) = livestock.optional_table("oxygen")? else {
        return Ok(None);
    };
    let reader = Reader::open(table, &OXYGEN, problems);
    let (fish, per_kg) = (reader.optional_quantity("fish"), reader.quantity("per_kg"));
    let (demand, demand_at) = (reader.optional_quantity("demand"), reader.quantity("demand_at"));
    let q10 = reader.number("q10");
    let (moved, still) = (reader.quantity("moved"), reader.quantity("still"));
    let under_lid = reader.quantity("under_lid");
    let demand_kg_per_s = match (fish?, demand?) {
        (Some(fish_kg), None) => fish_kg * per_kg?,
        (None, Some(demand)) => demand,
        (Some(_), Some(_)) => {
            let problem = Problem::new(
                "stock-twice",
                reader.place_of("demand"),
                "the stock is stated twice",
            )
            .label("both `fish` and `demand`")
            .expected("either the mass of the fish or the oxygen they need");
            return Err(reader.report(problem));
        }
        (None, None) => {
            let problem = Problem::new("no-stock", livestock.place_of("oxygen"), "no stock is stated")
                .label("neither `fish` nor `demand`")
                .expected("the mass of the fish or the oxygen they need")
                .fix("oxygen = { fish = \"400 g\" }");
            return Err(reader.report(problem));
        }
    };
    let applies = |field: &str| field != "per_kg" || reader.given("fish");
    let parts: Vec<String> = ASSUMED
        .iter()
        .filter(|(field, _)| !reader.given(field) && applies(field))
        .map(|(field, words)| format!("{} {words}", default_of(&OXYGEN, field)))
        .collect();
    if !parts.is_empty() {
        assumptions.push(format!("oxygen: {} assumed", parts.join(", ")));
    }
    Ok(Some(Oxygen {
        demand_mg_per_s: demand_kg_per_s * MG_PER_KG,
        demand_at_c: demand_at?,
        q10: q10?,
        moved_m_per_s: moved?,
        still_m_per_s: still?,
        under_lid_frac: under_lid?,
    }))
}

pub(super) fn air_pumps(
    tables: &[&Table],
    index: &Index,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Vec<AirPump>, Reported> {
    let mut pumps = Vec::new();
    for table in tables {
        let reader = Reader::open(table, &AIR_PUMP, problems);
        let (name, tank) = (reader.text("name"), tank_of(&reader, index));
        let (transfer, power) = (reader.quantity("transfer"), reader.quantity("power"));
        let battery = reader.optional_millis("battery");
        let parts: Vec<String> = [("transfer", " of water brought to saturation"), ("power", "")]
            .into_iter()
            .filter(|(field, _)| !reader.given(field))
            .map(|(field, words)| format!("{}{words}", default_of(&AIR_PUMP, field)))
            .collect();
        if let (Ok(name), false) = (&name, parts.is_empty()) {
            assumptions.push(format!("air pump {name}: {} assumed", parts.join(", ")));
        }
        let pump = || {
            Ok(AirPump {
                name: name?,
                tank: tank?,
                transfer_m3_per_s: transfer?,
                power_w: power?,
                battery_ms: battery?,
            })
        };
        pumps.push(pump());
    }
    pumps.into_iter().collect()
}
