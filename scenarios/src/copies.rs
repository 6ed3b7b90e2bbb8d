//! Tanks with `copies`: so many tanks like one, each with its own copy of all that belongs to it.
//!
//! The tree is written out before it is read: "rack" with 3 copies becomes "rack 1", "rack 2" and "rack 3". What hangs in or over a copied
//! tank is copied with it, so are contacts on which nothing else hangs, flows from or to it, and watches and events that name any of these.
//! Faults are not: they name the copy they strike. A circuit or backup that feeds "heater" feeds all its copies.

use std::borrow::Cow;

use crate::fields::scenario::SCENARIO;
use crate::fields::tank::MOST_COPIES;
use crate::fields::{Field, FieldKind, Of};
use crate::names::name_of;
use crate::node::{Entry, Node, Table, Value};
use crate::problem::Problems;

/// Lists whose tables stand in or over a tank.
const OF_A_TANK: [&str; 8] = [
    "pump", "heater", "fan", "chiller", "light", "air_pump", "sun", "probe",
];

/// Lists whose tables have a chain of contacts.
const WITH_CHAINS: [&str; 3] = ["heater", "fan", "chiller"];

/// Lists whose tables are copied where they name something that is.
const THAT_FOLLOW: [&str; 3] = ["flow", "watch", "event"];

/// What of a scenario is copied, and how often.
pub(crate) struct Copies<'t> {
    root: &'t Table,
    copied: Vec<Copied>,
}

/// Something with a name that is copied.
struct Copied {
    list: &'static str,
    name: String,
    count: u64,
}

impl<'t> Copies<'t> {
    /// What the `copies` of a tree's tanks make.
    pub fn of(root: &'t Table) -> Self {
        let mut all = Self {
            root,
            copied: Vec::new(),
        };
        for table in tables(root, "tank") {
            let count = match table.get("copies").map(|node| &node.value) {
                Some(Value::Integer(Some(count))) => u64::try_from(*count).unwrap_or(0),
                _ => 1,
            };
            // What is out of range is reported by whoever reads the tank.
            if (2..=MOST_COPIES).contains(&count) {
                all.add("tank", table, count);
            }
        }
        if all.copied.is_empty() {
            return all;
        }
        for list in OF_A_TANK {
            for table in tables(root, list) {
                if let Some(count) = all.tank_of(list, table).and_then(|tank| all.count("tank", tank)) {
                    all.add(list, table, count);
                }
            }
        }
        for table in tables(root, "contact") {
            if let Some(count) = all.count_of_contact(table) {
                all.add("contact", table, count);
            }
        }
        all
    }

    /// The tree with all copies written out.
    pub fn written_out(&self) -> Cow<'t, Table> {
        if self.copied.is_empty() {
            return Cow::Borrowed(self.root);
        }
        let mut whole = self.root.clone();
        for entry in &mut whole.entries {
            let Some(field) = SCENARIO.fields.iter().find(|field| field.name == entry.key) else {
                continue;
            };
            let Some(section) = field.kind.section() else {
                continue;
            };
            match &mut entry.node.value {
                Value::List(items) => {
                    let before = std::mem::take(items);
                    items.extend(before.into_iter().flat_map(|item| self.copies_of(field, item)));
                }
                // Each system is topped off like the first.
                Value::Table(table) => self.rename(table, section.fields, 1),
                _ => {}
            }
        }
        Cow::Owned(whole)
    }

    /// Tells a mistake of something copied once, not once for each copy.
    pub fn tell_once(&self, problems: &Problems) {
        if self.copied.is_empty() {
            return;
        }
        let mut told = Vec::new();
        problems.retain(|problem| {
            let mut message = problem.message.clone();
            for copied in &self.copied {
                for number in 1..=copied.count {
                    message = message.replace(&numbered(&copied.name, number), &copied.name);
                }
            }
            let this = (problem.code, problem.place.clone(), message);
            let new = !told.contains(&this);
            if new {
                told.push(this);
            }
            new
        });
    }

    fn add(&mut self, list: &'static str, table: &Table, count: u64) {
        if let Some(name) = name_of(table) {
            let name = name.to_owned();
            self.copied.push(Copied { list, name, count });
        }
    }

    fn count(&self, list: &str, name: &str) -> Option<u64> {
        let mut of_list = self.copied.iter().filter(|copied| copied.list == list);
        of_list
            .find(|copied| copied.name == name)
            .map(|copied| copied.count)
    }

    /// The tank in or over which something stands: as stated, as its flow says, else the only one.
    fn tank_of(&self, list: &str, table: &'t Table) -> Option<&'t str> {
        let fed = || {
            let pump = name_of(table).filter(|_| list == "pump")?;
            let mut flows = tables(self.root, "flow");
            flows
                .find(|flow| text(flow, "pump") == Some(pump))
                .and_then(|flow| text(flow, "to"))
        };
        if hangs_in_the_room(list, table) {
            return None;
        }
        text(table, "tank").or_else(fed).or_else(|| self.only_tank())
    }

    fn only_tank(&self) -> Option<&'t str> {
        let mut tanks = tables(self.root, "tank");
        let only = tanks.next()?;
        tanks.next().is_none().then(|| name_of(only)).flatten()
    }

    /// How often a contact is copied: as often as all that hangs on it.
    fn count_of_contact(&self, contact: &Table) -> Option<u64> {
        let name = name_of(contact)?;
        let mut counts: Vec<Option<u64>> = Vec::new();
        for list in WITH_CHAINS {
            for table in tables(self.root, list) {
                let Some(Value::List(chain)) = table.get("chain").map(|node| &node.value) else {
                    continue;
                };
                if chain.iter().any(|node| is_text(node, name)) {
                    counts.push(name_of(table).and_then(|name| self.count(list, name)));
                }
            }
        }
        let first = counts.first().copied().flatten()?;
        counts.iter().all(|count| *count == Some(first)).then_some(first)
    }

    /// A table of a list, as often as it is copied.
    fn copies_of(&self, field: &Field, item: Node) -> Vec<Node> {
        let (Value::Table(table), Some(section)) = (&item.value, field.kind.section()) else {
            return vec![item];
        };
        let own = name_of(table).and_then(|name| self.count(field.name, name));
        let follows = THAT_FOLLOW.contains(&field.name);
        let Some(count) = own.or_else(|| follows.then(|| self.named_in(table, section.fields)).flatten())
        else {
            let mut table = table.clone();
            self.name_all(&mut table, section.fields);
            return vec![Node {
                value: Value::Table(table),
                ..item
            }];
        };
        let numbers = 1..=count;
        numbers
            .map(|number| {
                let mut copy = table.clone();
                self.say_what_is_meant(field.name, &mut copy);
                if let Some(node) = copy.get_mut("name") {
                    rename_to(node, |name| Some(numbered(name, number)));
                }
                self.rename(&mut copy, section.fields, number);
                Node {
                    place: item.place.clone(),
                    value: Value::Table(copy),
                }
            })
            .collect()
    }

    /// Writes down what holds for the only tank and for none of several.
    fn say_what_is_meant(&self, list: &str, table: &mut Table) {
        let Some(only) = self.only_tank() else { return };
        let in_the_room = hangs_in_the_room(list, table);
        let place = table.place.clone();
        let mut say = |key: &str, value: Value| {
            if table.get(key).is_none() {
                let key_place = place.clone();
                table.entries.push(Entry {
                    key: key.to_owned(),
                    key_place: key_place.clone(),
                    node: Node {
                        place: key_place,
                        value,
                    },
                });
            }
        };
        if list == "tank" {
            say("livestock", Value::Flag(true));
        } else if OF_A_TANK.contains(&list) && !in_the_room {
            let name = Value::Text {
                text: only.to_owned(),
                content_start: None,
            };
            say("tank", name);
        }
    }

    /// How often something is copied that a table names, if anything is.
    fn named_in(&self, table: &Table, fields: &[Field]) -> Option<u64> {
        let named = |field: &Field| {
            let node = table.get(field.name)?;
            let list = list_of(field)?;
            match &node.value {
                Value::Text { text, .. } => self.count(list, text),
                Value::List(items) => items.iter().find_map(|item| match &item.value {
                    Value::Text { text, .. } => self.count(list, text),
                    _ => None,
                }),
                _ => None,
            }
        };
        fields.iter().find_map(named)
    }

    /// Lets every name in a table be that of the copy of this number.
    fn rename(&self, table: &mut Table, fields: &[Field], number: u64) {
        for field in fields {
            let Some(node) = table.get_mut(field.name) else {
                continue;
            };
            if let (Some(section), Value::Table(inner)) = (field.kind.section(), &mut node.value) {
                self.rename(inner, section.fields, number);
            } else if let (Some(section), Value::List(items)) = (field.kind.section(), &mut node.value) {
                for item in items {
                    if let Value::Table(inner) = &mut item.value {
                        self.rename(inner, section.fields, number);
                    }
                }
            } else if let Some(list) = list_of(field) {
                let new = |name: &str| self.count(list, name).map(|_| numbered(name, number));
                match &mut node.value {
                    Value::List(items) => items.iter_mut().for_each(|item| rename_to(item, new)),
                    _ => rename_to(node, new),
                }
            }
        }
    }

    /// Lets every list of names in a table name all copies.
    fn name_all(&self, table: &mut Table, fields: &[Field]) {
        for field in fields {
            let feeds = field.name == "feeds";
            let list = list_of(field);
            let Some(Value::List(items)) = table.get_mut(field.name).map(|node| &mut node.value) else {
                continue;
            };
            if !feeds && list.is_none() {
                continue;
            }
            let before = std::mem::take(items);
            items.extend(before.into_iter().flat_map(|item| {
                let count = match &item.value {
                    Value::Text { text, .. } if feeds => self.count_of_load(text),
                    Value::Text { text, .. } => list.and_then(|list| self.count(list, text)),
                    _ => None,
                };
                let copies = (1..=count.unwrap_or(1)).map(move |number| {
                    let mut copy = item.clone();
                    if count.is_some() {
                        rename_to(&mut copy, |name| Some(numbered(name, number)));
                    }
                    copy
                });
                copies.collect::<Vec<_>>()
            }));
        }
    }

    /// How often something is copied that runs on electricity, named with or without its kind.
    fn count_of_load(&self, name: &str) -> Option<u64> {
        let with_kind =
            |copied: &&Copied| format!("{} {}", copied.list.replace('_', " "), copied.name) == name;
        let loads = || {
            let all = self.copied.iter();
            all.filter(|copied| !["tank", "contact", "probe", "sun"].contains(&copied.list))
        };
        let plain = loads().find(|copied| copied.name == name);
        plain
            .or_else(|| loads().find(with_kind))
            .map(|copied| copied.count)
    }
}

/// "rack 3".
/// Whether it is a probe for the room, which is of no tank.
fn hangs_in_the_room(list: &str, table: &Table) -> bool {
    list == "probe" && text(table, "for") == Some("room")
}

fn numbered(name: &str, number: u64) -> String {
    format!("{name} {number}")
}

/// The list in which a field's names stand.
fn list_of(field: &Field) -> Option<&'static str> {
    match field.kind {
        FieldKind::Reference(of) | FieldKind::References(of) => Some(Of::word(of)),
        _ => None,
    }
}

fn tables<'t>(root: &'t Table, list: &str) -> impl Iterator<Item = &'t Table> {
    let items: &[Node] = match root.get(list).map(|node| &node.value) {
        Some(Value::List(items)) => items,
        _ => &[],
    };
    items.iter().filter_map(|item| match &item.value {
        Value::Table(table) => Some(table),
        _ => None,
    })
}

fn text<'t>(table: &'t Table, key: &str) -> Option<&'t str> {
    match table.get(key).map(|node| &node.value) {
        Some(Value::Text { text, .. }) => Some(text),
        _ => None,
    }
}

fn is_text(node: &Node, wanted: &str) -> bool {
    matches!(&node.value, Value::Text { text, .. } if text == wanted)
}

/// Gives a text another content where there is one; mistakes then underline all of it.
fn rename_to(node: &mut Node, new: impl Fn(&str) -> Option<String>) {
    if let Value::Text { text, content_start } = &mut node.value
        && let Some(renamed) = new(text)
    {
        *text = renamed;
        *content_start = None;
    }
}
