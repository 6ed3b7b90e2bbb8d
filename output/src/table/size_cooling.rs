//! The hottest day, and whether a fan holds it.

use super::{Column, WIDTH, facts, grid};
use crate::records::{CoolingLine, SizeCooling, Tariff};
use crate::wording::{Units, energy, enumerated, money, or_missing, power, share, wrapped};

/// Where the water ends, which lines a fan holds up to which humidity, what it takes.
pub(super) fn cooling(record: &SizeCooling, tariff: Option<&Tariff>, units: Units) -> String {
    let head = format!(
        "The hottest day, every heater off; room {}: {}, {} humidity",
        record.room,
        units.line(record.room_c),
        share(record.relative_humidity_frac)
    );
    let end = |water_c: Option<f64>, litres: Option<f64>| {
        format!(
            "{}, evaporating {} a day",
            or_missing(water_c, |water_c| units.temperature(water_c)),
            or_missing(litres, |litres| units.volume(litres))
        )
    };
    let cost = record.cost_per_30_days.map_or_else(String::new, |cost| {
        format!(" and costs {} in 30 days", money(cost, tariff))
    });
    let mut text = wrapped("", &head, WIDTH);
    text += &facts(vec![
        (
            "Wet bulb of that air".to_owned(),
            units.temperature(record.wet_bulb_c),
        ),
        (
            "Water without a fan".to_owned(),
            end(record.without.water_c, record.without.make_up_l_per_day),
        ),
        (
            "Water under a fan all day".to_owned(),
            end(record.with.water_c, record.with.make_up_l_per_day),
        ),
        ("Fan".to_owned(), fans(record)),
        (
            "What the fan takes".to_owned(),
            format!("{} a day if it never stops{cost}", energy(record.kwh_per_day)),
        ),
    ]);
    text += &grid(
        &[
            Column::words("Stays below", 44),
            Column::words("Without", 12),
            Column::words("Under fan", 14),
            Column::words("The fan is enough up to a humidity of", 30),
        ],
        record.lines.iter().map(|line| line_cells(line, units)).collect(),
    );
    text + &wrapped("", &verdict(record, units), WIDTH)
}

fn fans(record: &SizeCooling) -> String {
    let each = record.fans.iter().map(|fan| {
        format!(
            "{} over {}: {}, {} m/s over {} of the surface",
            fan.fan,
            fan.tank,
            power(fan.power_w),
            fan.speed_m_per_s,
            share(fan.share_frac)
        )
    });
    let mut told = if record.stated {
        each.collect::<Vec<_>>().join("; ")
    } else {
        let each = record.fans.iter().map(|fan| {
            format!(
                "none is stated; assumed over {}: {}, {} m/s over {} of the surface (common practice, no source)",
                fan.tank,
                power(fan.power_w),
                fan.speed_m_per_s,
                share(fan.share_frac)
            )
        });
        each.collect::<Vec<_>>().join("; ")
    };
    if !record.opened.is_empty() {
        told += &format!("; without the lid of {}", enumerated(&record.opened));
    }
    told
}

fn line_cells(line: &CoolingLine, units: Units) -> Vec<String> {
    let held = |held: bool| if held { "yes" } else { "no" }.to_owned();
    vec![
        format!("{}, {}", units.line(line.temp_c), line.line),
        held(line.without_fan),
        held(line.with_fan),
        match line.humidity_limit_frac {
            None => "none: it is never enough there".to_owned(),
            Some(1.0) => "any".to_owned(),
            Some(limit_frac) => share(limit_frac),
        },
    ]
}

fn verdict(record: &SizeCooling, units: Units) -> String {
    let Some(band) = record.lines.first() else {
        return String::new();
    };
    let here = share(record.relative_humidity_frac);
    let told = if band.without_fan {
        "The room needs no fan: the water stays in its band by itself.".to_owned()
    } else if band.with_fan {
        format!(
            "A fan is enough at {here} humidity. It cools by evaporation alone: a damper room takes that away, and what evaporates has to be topped off."
        )
    } else if record.wet_bulb_c >= band.temp_c {
        format!(
            "No fan holds {}: the wet bulb is above it. That takes a chiller, a cooler or a drier room.",
            units.line(band.temp_c)
        )
    } else if record.lines.iter().skip(1).any(|line| line.with_fan) {
        format!(
            "A fan does not hold the band, but keeps the water below the danger line. For {} it takes a stronger fan, a drier or cooler room, or a chiller.",
            units.line(band.temp_c)
        )
    } else {
        "A fan is not enough: a chiller, or a cooler or drier room.".to_owned()
    };
    told + " Lamps switched off cool for nothing. Pumps and air go on: warm water holds less oxygen."
}
