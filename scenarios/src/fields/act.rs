//! `acts` of a watch.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

/// What can be done about an alert.
pub(crate) const DOES: &[&str] = &[
    "unplug heaters",
    "unplug heater",
    "sealed ice",
    "wrap the sides",
    "lift the lid",
    "cool the room",
    "start a generator",
];

/// Fields whose meaning depends on what is done.
pub(crate) const PARTICULAR: &[&str] = &["heater", "tank", "per_hour", "by", "wrap", "backup"];

/// The fields that mean something for what is done.
pub(crate) fn used_by(does: &str) -> &'static [&'static str] {
    match does {
        "unplug heater" => &["heater"],
        "sealed ice" => &["tank", "per_hour"],
        "wrap the sides" => &["tank", "wrap"],
        "lift the lid" => &["tank"],
        "cool the room" => &["by", "per_hour"],
        "start a generator" => &["backup"],
        _ => &[],
    }
}

pub(crate) static ACTS: Section = Section {
    name: "acts",
    doc: "what is done about an alert",
    fields: &[
        Field::required(
            "does",
            FieldKind::Choice(DOES),
            "\"unplug heaters\"",
            "what is done",
        ),
        Field::default(
            "who",
            FieldKind::Choice(&["people", "itself"]),
            "people",
            "\"itself\"",
            "the first who comes, or the watch itself through a contact of its own",
        ),
        Field::optional(
            "after",
            FieldKind::Quantity(Kind::Time),
            "0 s; must be stated for people without a [[person]]",
            "\"2 h\"",
            "this long after somebody is at the tank, or the watch is sure",
        )
        .least("0 s")
        .most("365 d"),
        Field::optional(
            "lasts",
            FieldKind::Quantity(Kind::Time),
            "to the end of the run",
            "\"6 h\"",
            "how long it stays so",
        )
        .above("0 s"),
        Field::optional(
            "heater",
            FieldKind::Reference(Of::Heater),
            "the only heater",
            "\"left\"",
            "unplug heater: which",
        ),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"display\"",
            "sealed ice, wrap the sides, lift the lid: the tank",
        ),
        Field::optional(
            "per_hour",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "0.5 K for ice, 2 K for the room",
            "\"0.5 K\"",
            "sealed ice: cools the tank by no more than this an hour; cool the room: the room",
        )
        .above("0 K")
        .most("20 K"),
        Field::optional(
            "by",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "must be stated to cool the room",
            "\"3 K\"",
            "cool the room: by no more than this",
        )
        .above("0 K")
        .most("40 K"),
        Field::optional(
            "wrap",
            FieldKind::Quantity(Kind::ThermalResistance),
            "0.3 m² K/W, a blanket",
            "\"0.3 m² K/W\"",
            "wrap the sides: what it adds",
        )
        .above("0 m² K/W")
        .most("20 m² K/W"),
        Field::optional(
            "backup",
            FieldKind::Reference(Of::Backup),
            "the only backup",
            "\"generator\"",
            "start a generator: which",
        ),
    ],
};
