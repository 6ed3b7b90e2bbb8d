//! `[[circuit]]` and `[[backup]]`.

use std::cell::RefCell;

use tepid_sim::ids::{AirPumpId, ChillerId, FanId, HeaterId, LightId, PumpId};
use tepid_sim::scenario::{Backup, Circuit, Load, Store};

use super::equipment::collect;
use crate::fields::supply::{BACKUP, CIRCUIT};
use crate::names::name_of;
use crate::nearest::nearest;
use crate::node::{Node, Table};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// Everything that runs on electricity, by the names a file may call it.
pub(super) struct Loads {
    /// Kind, name and which.
    all: Vec<(&'static str, String, Load)>,
}

impl Loads {
    /// From the tables of a scenario, in the order of kind, name of the kind, tables.
    pub(super) fn gather(tables: &[(&'static str, &[&Table])]) -> Self {
        let mut all = Vec::new();
        for (kind, tables) in tables {
            for (at, table) in tables.iter().enumerate() {
                let load = match *kind {
                    "heater" => Load::Heater(HeaterId(at)),
                    "pump" => Load::Pump(PumpId(at)),
                    "fan" => Load::Fan(FanId(at)),
                    "chiller" => Load::Chiller(ChillerId(at)),
                    "light" => Load::Light(LightId(at)),
                    _ => Load::AirPump(AirPumpId(at)),
                };
                all.extend(name_of(table).map(|name| (*kind, name.to_owned(), load)));
            }
        }
        for (name, load) in [
            ("controller", Load::Controller),
            ("router", Load::Router),
            ("top-off", Load::TopOff),
        ] {
            all.push(("", name.to_owned(), load));
        }
        Self { all }
    }

    /// The load of a name, with or without its kind before it.
    fn find(&self, reader: &Reader<'_>, name: &str, node: &Node) -> Result<Load, Reported> {
        let with_kind = |(kind, own, _): &&(&str, String, Load)| format!("{kind} {own}") == name;
        let called: Vec<_> = self.all.iter().filter(|(_, own, _)| own == name).collect();
        match (called.as_slice(), self.all.iter().find(with_kind)) {
            ([(_, _, load)], _) | (_, Some((_, _, load))) => Ok(*load),
            ([], None) => {
                let known: Vec<&str> = self.all.iter().map(|(_, own, _)| own.as_str()).collect();
                let problem = Problem::new(
                    "unknown-name",
                    &node.place,
                    format!("nothing in this scenario that runs on electricity is named `{name}`"),
                )
                .label("no such thing")
                .found(name)
                .expected(format!("one of {}", known.join(", ")))
                .nearest(nearest(name, known.iter().copied()));
                Err(reader.report(problem))
            }
            (several, None) => {
                let full: Vec<String> = several
                    .iter()
                    .map(|(kind, own, _)| format!("{kind} {own}"))
                    .collect();
                let problem = Problem::new(
                    "ambiguous-name",
                    &node.place,
                    format!("`{name}` may be several things"),
                )
                .label("which?")
                .expected(format!("one of {}", full.join(", ")));
                Err(reader.report(problem))
            }
        }
    }

    /// What a circuit or backup feeds; nothing twice, nor what another one feeds already.
    fn fed(&self, reader: &Reader<'_>, taken: &mut Vec<Load>) -> Result<Vec<Load>, Reported> {
        let Some(names) = reader.optional_texts("feeds")? else {
            return Err(reader.missing("feeds"));
        };
        let mut loads = Vec::new();
        let mut all_read = Ok(());
        for (name, node) in names {
            match self.find(reader, &name, node) {
                Ok(load) if taken.contains(&load) => {
                    let problem = Problem::new("named-twice", &node.place, format!("`{name}` is fed twice"))
                        .label("stands elsewhere already")
                        .expected("each thing in one `feeds` only");
                    all_read = Err(reader.report(problem));
                }
                Ok(load) => {
                    taken.push(load);
                    loads.push(load);
                }
                Err(reported) => all_read = Err(reported),
            }
        }
        all_read.map(|()| loads)
    }
}

pub(super) fn circuits(
    tables: &[&Table],
    loads: &Loads,
    problems: &Problems,
) -> Result<Vec<Circuit>, Reported> {
    let taken = RefCell::new(Vec::new());
    collect(tables, |table| {
        let reader = Reader::open(table, &CIRCUIT, problems);
        let (name, voltage) = (reader.text("name"), reader.quantity("voltage"));
        let (breaker, residual) = (
            reader.optional_quantity("breaker"),
            reader.flag("residual_current"),
        );
        let feeds = loads.fed(&reader, &mut taken.borrow_mut());
        Ok(Circuit {
            name: name?,
            voltage_v: voltage?,
            breaker_a: breaker?,
            residual_current: residual?,
            feeds: feeds?,
        })
    })
}

pub(super) fn backups(
    tables: &[&Table],
    loads: &Loads,
    problems: &Problems,
) -> Result<Vec<Backup>, Reported> {
    let taken = RefCell::new(Vec::new());
    collect(tables, |table| {
        let reader = Reader::open(table, &BACKUP, problems);
        let name = reader.text("name");
        let (energy, fuel) = (reader.optional_quantity("energy"), reader.optional_millis("fuel"));
        let starts_after = reader.optional_millis("starts_after");
        let (limit, idle) = (reader.quantity("limit"), reader.quantity("idle"));
        let feeds = loads.fed(&reader, &mut taken.borrow_mut());
        let store = match (energy?, fuel?, starts_after?) {
            (Some(usable_j), None, None) => Store::Battery { usable_j },
            (None, Some(fuel_ms), starts_after_ms) => Store::Generator {
                fuel_ms,
                starts_after_ms,
            },
            (None, None, _) => return Err(reader.missing("energy")),
            (Some(_), _, _) => {
                let problem = Problem::new(
                    "battery-or-generator",
                    reader.place_of("energy"),
                    "a backup is a battery (`energy`) or a generator (`fuel`, `starts_after`), not both",
                )
                .label("leave one of the two out");
                return Err(reader.report(problem));
            }
        };
        Ok(Backup {
            name: name?,
            store,
            limit_w: limit?,
            idle_w: idle?,
            feeds: feeds?,
        })
    })
}
