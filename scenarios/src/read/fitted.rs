//! `[fitted]`.

use tepid_sim::scenario::{Fitted, Room};

use super::Assumptions;
use crate::fields::fitted::FITTED;
use crate::problem::{Problems, Reported};
use crate::reader::Reader;

/// What a log said of the model and of the room's thermometer.
pub(super) fn read(
    root: &Reader<'_>,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Fitted, Reported> {
    let Some(table) = root.optional_table("fitted")? else {
        return Ok(Fitted::default());
    };
    let reader = Reader::open(table, &FITTED, problems);
    let (losses, capacity, room) = (
        reader.quantity("losses"),
        reader.quantity("capacity"),
        reader.quantity("room_offset"),
    );
    let fitted = Fitted {
        losses_frac: losses?,
        capacity_frac: capacity?,
        room_offset_k: room?,
    };
    let percent = |frac: f64| format!("{:.0} %", 100.0 * frac);
    let offset = match fitted.room_offset_k {
        0.0 => String::new(),
        off_k => format!(
            ", the air around the tanks {:.2} K {} than the room's thermometer reads",
            off_k.abs(),
            if off_k > 0.0 { "warmer" } else { "colder" }
        ),
    };
    assumptions.push(format!(
        "fitted to a log: losses {} and heat capacity {} of those computed{offset}",
        percent(fitted.losses_frac),
        percent(fitted.capacity_frac)
    ));
    Ok(fitted)
}

/// The room as it is around the tanks.
pub(super) fn moved(mut room: Room, fitted: &Fitted) -> Room {
    for (_, temp_c) in &mut room.temperature.course {
        *temp_c += fitted.room_offset_k;
    }
    room.coldest.temp_c += fitted.room_offset_k;
    room.warmest.temp_c += fitted.room_offset_k;
    room
}
