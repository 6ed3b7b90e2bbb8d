//! `[[heater]]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

/// Words for kinds of heater.
pub(crate) const HEATER_KINDS: &[&str] = &["immersed", "flow-through", "self-limiting", "mat"];

pub(crate) static HEATER: Section = Section {
    name: "heater",
    doc: "a heater",
    fields: &[
        Field::required("name", FieldKind::Text, "\"left\"", "its name"),
        Field::required(
            "power",
            FieldKind::Quantity(Kind::Power),
            "\"150 W\"",
            "rated power",
        )
        .above("0 W")
        .most("20 kW"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"sump\"",
            "the tank it hangs in",
        ),
        Field::default(
            "kind",
            FieldKind::Choice(HEATER_KINDS),
            "immersed",
            "\"immersed\"",
            "a tube in the water, in a pipe, self-limiting, or a mat under the bottom",
        ),
        Field::optional(
            "flow_by",
            FieldKind::Reference(Of::Pump),
            "must be stated for flow-through",
            "\"return\"",
            "flow-through: the pump that sends the tank's water past it; without flow it is computed as if dry at once (the water in the pipe, which boils away first, is left out)",
        ),
        Field::optional(
            "full_to",
            FieldKind::Quantity(Kind::Temperature),
            "must be stated for self-limiting",
            "\"60 °C\"",
            "self-limiting: full power up to this temperature of its own body",
        )
        .least("0 °C")
        .most("300 °C"),
        Field::optional(
            "none_from",
            FieldKind::Quantity(Kind::Temperature),
            "must be stated for self-limiting",
            "\"120 °C\"",
            "self-limiting: no power from this temperature of its own body on",
        )
        .least("0 °C")
        .most("400 °C"),
        Field::optional(
            "share_to_water",
            FieldKind::Quantity(Kind::Share),
            "must be stated for a mat",
            "\"60 %\"",
            "mat: share of its heat that goes into the water; the rest warms the room",
        )
        .least("0 %")
        .most("100 %"),
        Field::optional(
            "exposed_below",
            FieldKind::Quantity(Kind::Length),
            "60 % of its tank's water height (an assumption, no source); flow-through and mat: never",
            "\"15 cm\"",
            "hangs in air while its tank's water is lower than this (an assumption where not stated)",
        )
        .least("0 cm")
        .most("20 m"),
        Field::required(
            "chain",
            FieldKind::References(Of::Contact),
            "[\"residual-current\", \"relay left\", \"dial left\"]",
            "contacts in series, mains first; [] = always on",
        ),
        Field::optional(
            "body",
            FieldKind::Table(&BODY),
            "by the rated power",
            "{ diameter = \"26 mm\" }",
            "its tube",
        ),
        Field::default(
            "water_speed",
            FieldKind::Quantity(Kind::Speed),
            "0 m/s",
            "\"0.05 m/s\"",
            "speed of the water along it; 0 = still",
        )
        .least("0 m/s")
        .most("5 m/s"),
        Field::optional(
            "speed_by",
            FieldKind::Reference(Of::Pump),
            "the speed always holds",
            "\"return\"",
            "the pump that makes that speed",
        ),
    ],
};

pub(crate) static BODY: Section = Section {
    name: "body",
    doc: "the tube of a heater",
    fields: &[
        Field::optional(
            "heat_capacity",
            FieldKind::Quantity(Kind::HeatCapacity),
            "1 J/K per watt of rated power",
            "\"300 J/K\"",
            "heat capacity of tube and filling",
        )
        .above("0 J/K")
        .most("1000 kJ/K"),
        Field::optional(
            "length",
            FieldKind::Quantity(Kind::Length),
            "such that 300 W have 0.027 m² of tube",
            "\"33 cm\"",
            "length of the heated tube",
        )
        .above("0 mm")
        .most("5 m"),
        Field::default(
            "diameter",
            FieldKind::Quantity(Kind::Length),
            "26 mm",
            "\"26 mm\"",
            "diameter of the tube",
        )
        .above("0 mm")
        .most("50 cm"),
    ],
};
