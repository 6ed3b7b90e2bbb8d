//! `[fitted]`.

use tepid_sim::scenario::{Fitted, Room};

use super::Assumptions;
use crate::fields::fitted::FITTED;
use crate::problem::{Problems, Reported};
use crate::reader::Reader;

/// What a log said of the model and of the room's thermometer.
#[derive(Default)]
pub(super) struct Found {
    pub factors: Fitted,
    room_offset_k: f64,
}

pub(super) fn read(
    root: &Reader<'_>,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Found, Reported> {
    let Some(table) = root.optional_table("fitted")? else {
        return Ok(Found::default());
    };
    let reader = Reader::open(table, &FITTED, problems);
    let (losses, capacity, room) = (
        reader.quantity("losses"),
        reader.quantity("capacity"),
        reader.quantity("room_offset"),
    );
    let found = Found {
        factors: Fitted {
            losses_frac: losses?,
            capacity_frac: capacity?,
        },
        room_offset_k: room?,
    };
    let percent = |frac: f64| format!("{:.0} %", 100.0 * frac);
    assumptions.push(format!(
        "fitted to a log: losses {} and heat capacity {} of those computed",
        percent(found.factors.losses_frac),
        percent(found.factors.capacity_frac)
    ));
    Ok(found)
}

impl Found {
    /// The room as it is around the tanks.
    pub fn moved(&self, mut room: Room) -> Room {
        for (_, temp_c) in &mut room.temperature.course {
            *temp_c += self.room_offset_k;
        }
        room.coldest.temp_c += self.room_offset_k;
        room.warmest.temp_c += self.room_offset_k;
        room
    }
}
