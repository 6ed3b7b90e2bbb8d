//! `[[chiller]]`.

use tepid_sim::ids::ContactId;
use tepid_sim::scenario::Chiller;

use super::equipment::{Pumped, collect, pump_of_tank, tank_of};
use crate::fields::chiller::CHILLER;
use crate::node::Table;
use crate::problem::{Problems, Reported};
use crate::reader::Reader;

pub(super) fn read_all(
    tables: &[&Table],
    around: &Pumped<'_>,
    problems: &Problems,
) -> Result<Vec<Chiller>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &CHILLER, problems);
        let (name, tank) = (reader.text("name"), tank_of(&reader, around.index));
        let (capacity, performance) = (reader.quantity("capacity"), reader.number("performance"));
        let shortest_off = reader.millis("shortest_off");
        let stops_below = reader.quantity("stops_below");
        let heat_goes = reader.choice("heat_goes");
        let chain = reader.references("chain", &around.index.contacts);
        let tank = tank?;
        let pump = pump_of_tank(&reader, "pump", tank, around);
        Ok(Chiller {
            name: name?,
            tank,
            capacity_w: capacity?,
            performance_frac: performance?,
            shortest_off_ms: shortest_off?,
            stops_below_c: stops_below?,
            pump: pump?,
            rejects_outdoors: heat_goes? == "outdoors",
            chain: chain?.into_iter().map(ContactId).collect(),
        })
    })
}
