//! Happenings that move water: water changes, leaks, a top-off that fails.

use tepid_sim::ids::TankId;
use tepid_sim::physics::water::density_kg_per_m3;
use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{Effect, Tank};
use tepid_sim::time::MINUTE;

use super::Around;
use crate::problem::{Problem, Reported};
use crate::read::equipment::tank_of;
use crate::reader::Reader;

/// Part of a tank's water let out and replaced.
pub(super) fn change(reader: &Reader<'_>, around: &Around<'_>) -> Result<(String, Effect), Reported> {
    let tank = tank_of(reader, around.index);
    let (share, temp, salinity) = (
        reader.optional_quantity("share"),
        reader.optional_quantity("temperature"),
        reader.optional_quantity("salinity"),
    );
    let share = match share? {
        Some(share) => Ok(share),
        None => Err(reader.missing("share")),
    };
    let lasts = match reader.optional_millis("lasts") {
        Ok(None) => Err(reader.missing("lasts")),
        Ok(Some(lasts_ms)) if lasts_ms < MINUTE => Err(reader.report(
            Problem::new(
                "out-of-range",
                reader.place_of("lasts"),
                "a water change lasts at least a minute",
            )
            .label("too short")
            .expected("1 min or more"),
        )),
        Ok(Some(_)) => Ok(()),
        Err(reported) => Err(reported),
    };
    let (tank, share_frac) = (tank?, share?);
    lasts?;
    let water = around.water.ok_or(Reported)?;
    let effect = Effect::WaterChange {
        tank,
        share_frac,
        temp_c: temp?.unwrap_or(water.target_c),
        salinity_g_per_kg: salinity?.unwrap_or(water.salinity_g_per_kg),
    };
    Ok((found(around, tank)?.name.clone(), effect))
}

/// A hole in a tank.
pub(super) fn leak(reader: &Reader<'_>, around: &Around<'_>) -> Result<(String, Effect), Reported> {
    let tank = tank_of(reader, around.index);
    let (rate, height) = (rate_m3_per_s(reader), reader.optional_quantity("height"));
    let (tank, rate_m3_per_s, height_m) = (tank?, rate?, height?.unwrap_or(0.0));
    let found = found(around, tank)?;
    if height_m >= found.water_height_m {
        let water = print(Kind::Length, found.water_height_m, System::Metric);
        let problem = Problem::new(
            "out-of-range",
            reader.place_of("height"),
            "the hole is above the water",
        )
        .label("out of range")
        .expected(format!(
            "less than the height of the water of {}, {water}",
            found.name
        ));
        return Err(reader.report(problem));
    }
    let water = around.water.ok_or(Reported)?;
    let density = density_kg_per_m3(water.salinity_g_per_kg, water.target_c);
    let effect = Effect::Leak {
        tank,
        rate_kg_per_s: density * rate_m3_per_s,
        height_m,
    };
    Ok((found.name.clone(), effect))
}

/// A top-off that fails, where there is one.
pub(super) fn top_off(reader: &Reader<'_>, what: &str, around: &Around<'_>) -> Result<Effect, Reported> {
    let rate = if what == "top-off stuck on" {
        rate_m3_per_s(reader).map(Some)
    } else {
        Ok(None)
    };
    if !around.topped_off {
        let problem = Problem::new(
            "no-top-off",
            reader.place_of("what"),
            format!("`{what}`, but nobody tops off"),
        )
        .expected("a [top_off] that can fail");
        return Err(reader.report(problem));
    }
    let water = around.water.ok_or(Reported)?;
    Ok(match rate? {
        // Evaporated water is replaced by fresh water.
        Some(rate_m3_per_s) => Effect::TopOffStuckOn {
            rate_kg_per_s: density_kg_per_m3(0.0, water.target_c) * rate_m3_per_s,
        },
        None => Effect::TopOffStopped,
    })
}

fn rate_m3_per_s(reader: &Reader<'_>) -> Result<f64, Reported> {
    match reader.optional_quantity("rate")? {
        Some(rate) => Ok(rate),
        None => Err(reader.missing("rate")),
    }
}

/// A tank that could not be read is reported by its own section.
fn found<'a>(around: &Around<'a>, tank: TankId) -> Result<&'a Tank, Reported> {
    around.tanks.and_then(|tanks| tanks.get(tank.0)).ok_or(Reported)
}
