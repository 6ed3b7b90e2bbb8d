//! `[water]`.

use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{Evaporation, Water};

use super::Assumptions;
use crate::fields::water::WATER;
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// Half of the band around the target where a file states none, K. Common practice, no source.
const HALF_BAND_K: f64 = 0.5;

pub(super) fn read(
    root: &Reader<'_>,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Water, Reported> {
    let Some(table) = root.optional_table("water")? else {
        return Err(root.missing("water"));
    };
    let reader = Reader::open(table, &WATER, problems);
    let salinity = reader.quantity("salinity");
    let target = reader.quantity("target");
    let band = reader.optional_quantities("band");
    let salinity_range = reader.optional_quantities("salinity_range");
    let pressure = reader.quantity("pressure");
    let evaporation = evaporation(&reader);
    let (target_c, band) = (target?, band?);
    let band_c = match band.as_deref() {
        Some([low, high]) => (*low, *high),
        _ => {
            let (low, high) = (target_c - HALF_BAND_K, target_c + HALF_BAND_K);
            let shown = |temp_c| print(Kind::Temperature, temp_c, System::Metric);
            assumptions.push(format!("band assumed: {} to {}", shown(low), shown(high)));
            (low, high)
        }
    };
    if band_c.0 >= band_c.1 || target_c < band_c.0 || target_c > band_c.1 {
        let shown = print(Kind::Temperature, target_c, System::Metric);
        let problem = Problem::new(
            "band",
            reader.place_of("band"),
            format!("the target {shown} is not inside the band"),
        )
        .label("from the colder to the warmer end")
        .expected("a colder and a warmer temperature with the target between them");
        return Err(problems.add(problem));
    }
    let salinity_g_per_kg = salinity?;
    let salinity_range = match salinity_range?.as_deref() {
        Some([low, high]) => Some((*low, *high)),
        _ => None,
    };
    if let Some((low, high)) = salinity_range
        && !(low < high && (low..=high).contains(&salinity_g_per_kg))
    {
        let shown = print(Kind::Salinity, salinity_g_per_kg, System::Metric);
        let problem = Problem::new(
            "salinity-range",
            reader.place_of("salinity_range"),
            format!("the salinity {shown} is not inside its range"),
        )
        .label("from the lower to the higher end")
        .expected("a lower and a higher salinity with the water's between them");
        return Err(problems.add(problem));
    }
    Ok(Water {
        salinity_g_per_kg,
        target_c,
        band_c,
        salinity_range_g_per_kg: salinity_range,
        pressure_pa: pressure?,
        evaporation: evaporation?,
    })
}

/// The named correlation; its activity factor belongs to one of them and to no other.
fn evaporation(reader: &Reader<'_>) -> Result<Evaporation, Reported> {
    let named = reader.choice("evaporation");
    let activity = reader.optional_number("activity");
    match (named?, activity?) {
        ("ashrae pool", Some(activity)) => Ok(Evaporation::AshraePool { activity }),
        ("ashrae pool", None) => Err(reader.missing("activity")),
        (named, Some(_)) => {
            let problem = Problem::new(
                "activity-without-pool",
                reader.place_of("activity"),
                format!("`{named}` has no activity factor"),
            )
            .label("belongs to \"ashrae pool\"")
            .expected("no `activity`; what stirs a tank is its `agitation`");
            Err(reader.report(problem))
        }
        ("vdi 2089", None) => Ok(Evaporation::Vdi2089),
        (_, None) => Ok(Evaporation::Shah),
    }
}

/// An activity factor holds what stirs the surface: a tank's agitation beside it would count that twice.
pub(super) fn check_agitation(tables: &[&Table], water: Option<&Water>, problems: &Problems) {
    if !matches!(
        water.map(|water| water.evaporation),
        Some(Evaporation::AshraePool { .. })
    ) {
        return;
    }
    for table in tables {
        if let Some(agitation) = table.get("agitation") {
            let problem = Problem::new(
                "agitation-and-activity",
                &agitation.place,
                "`agitation` beside the activity factor of \"ashrae pool\"",
            )
            .label("counts the stirring twice")
            .expected("one of the two: `activity` under [water], or another `evaporation`");
            problems.add(problem);
        }
    }
}
