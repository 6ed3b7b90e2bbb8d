//! `[[probe]]`.

use tepid_sim::ids::TankId;
use tepid_sim::scenario::{Probe, ProbePurpose};
use tepid_sim::time::{DAY, seconds};

use super::Index;
use super::equipment::{collect, tank_of};
use crate::fields::probe::PROBE;
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

pub(super) fn read_all(
    tables: &[&Table],
    index: &Index,
    problems: &Problems,
) -> Result<Vec<Probe>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &PROBE, problems);
        let (name, what_for) = (reader.text("name"), reader.choice("for"));
        let in_a_tank = |purpose| tank_of(&reader, index).map(|tank| (Some(tank), purpose));
        let hangs = what_for.and_then(|what_for| match what_for {
            "room" => in_the_air(&reader),
            "monitor" => in_a_tank(ProbePurpose::Monitor),
            _ => in_a_tank(ProbePurpose::Control),
        });
        let (lag, noise, step) = (
            reader.millis("lag"),
            reader.quantity("noise"),
            reader.quantity("step"),
        );
        let (offset, drift) = (reader.quantity("offset"), reader.quantity("drift"));
        let (tank, purpose) = hangs?;
        Ok(Probe {
            name: name?,
            tank,
            purpose,
            lag_ms: lag?,
            noise_k: noise?,
            resolution_k: step?,
            offset_k: offset?,
            drift_k_per_day: drift? * seconds(DAY),
        })
    })
}

/// Of a probe for the room: it hangs in no tank.
fn in_the_air(reader: &Reader<'_>) -> Result<(Option<TankId>, ProbePurpose), Reported> {
    if reader.node("tank").is_some() {
        let problem = Problem::new(
            "room-probe-in-a-tank",
            reader.place_of("tank"),
            "a probe for the room hangs in its air, not in a tank",
        )
        .expected("no `tank`, or `for = \"monitor\"`");
        return Err(reader.report(problem));
    }
    Ok((None, ProbePurpose::Monitor))
}
