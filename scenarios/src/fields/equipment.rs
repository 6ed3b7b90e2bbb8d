//! `[[flow]]`, `[[pump]]`, `[[fan]]` and `[[light]]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

pub(crate) static FLOW: Section = Section {
    name: "flow",
    doc: "water pumped from one tank to another and running back",
    fields: &[
        Field::optional(
            "name",
            FieldKind::Text,
            "none",
            "\"return line\"",
            "its name, to address it in `set`",
        ),
        Field::required(
            "from",
            FieldKind::Reference(Of::Tank),
            "\"display\"",
            "from this tank",
        ),
        Field::required(
            "to",
            FieldKind::Reference(Of::Tank),
            "\"sump\"",
            "to this one, and back",
        ),
        Field::required(
            "rate",
            FieldKind::Quantity(Kind::VolumeFlow),
            "\"1500 L/h\"",
            "how much each way",
        )
        .above("0 L/h")
        .most("1000 m³/h"),
        Field::optional(
            "pump",
            FieldKind::Reference(Of::Pump),
            "it never stops",
            "\"return\"",
            "the pump that makes it: without power it stops",
        ),
    ],
};

pub(crate) static PUMP: Section = Section {
    name: "pump",
    doc: "a pump: its power warms the water",
    fields: &[
        Field::required("name", FieldKind::Text, "\"return\"", "its name"),
        Field::required(
            "power",
            FieldKind::Quantity(Kind::Power),
            "\"25 W\"",
            "electrical power",
        )
        .least("0 W")
        .most("10 kW"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the tank its flow goes to, else the only tank",
            "\"sump\"",
            "the tank that takes its heat",
        ),
        Field::default(
            "placed",
            FieldKind::Choice(&["submerged", "external"]),
            "submerged",
            "\"submerged\"",
            "submerged pumps give all their power to the water",
        ),
        Field::optional(
            "share_to_water",
            FieldKind::Quantity(Kind::Share),
            "100 % submerged, 50 % external",
            "\"50 %\"",
            "share of the power that ends in the water",
        )
        .least("0 %")
        .most("100 %"),
        Field::optional(
            "on",
            FieldKind::TimeOfDay,
            "it always runs",
            "\"08:00\"",
            "runs from this time of day; needs `off`",
        ),
        Field::optional(
            "off",
            FieldKind::TimeOfDay,
            "it always runs",
            "\"22:00\"",
            "runs until this time of day; needs `on`",
        ),
        Field::optional(
            "starves_below",
            FieldKind::Quantity(Kind::Length),
            "30 % of its tank's water height (an assumption, no source)",
            "\"8 cm\"",
            "moves nothing while its tank's water is lower than this (an assumption where not stated)",
        )
        .least("0 cm")
        .most("20 m"),
    ],
};

pub(crate) static FAN: Section = Section {
    name: "fan",
    doc: "a fan over the water: it cools by evaporation",
    fields: &[
        Field::required("name", FieldKind::Text, "\"clip fan\"", "its name"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"display\"",
            "the tank it blows over",
        ),
        Field::required(
            "power",
            FieldKind::Quantity(Kind::Power),
            "\"5 W\"",
            "electrical power; it warms the room",
        )
        .least("0 W")
        .most("1 kW"),
        Field::required(
            "speed",
            FieldKind::Quantity(Kind::Speed),
            "\"2 m/s\"",
            "air speed over the water",
        )
        .above("0 m/s")
        .most("20 m/s"),
        Field::optional(
            "length",
            FieldKind::Quantity(Kind::Length),
            "the shorter side of the tank",
            "\"50 cm\"",
            "length of the water along the air's way",
        )
        .above("0 cm")
        .most("20 m"),
        Field::default(
            "reaches",
            FieldKind::Quantity(Kind::Share),
            "100 %",
            "\"100 %\"",
            "share of the open surface that it reaches; shares of several fans add up, and past the whole surface the strongest have it",
        )
        .least("0 %")
        .most("100 %"),
        Field::required(
            "chain",
            FieldKind::References(Of::Contact),
            "[\"plug fan\"]",
            "contacts in series, mains first; [] = always on",
        ),
    ],
};

pub(crate) static LIGHT: Section = Section {
    name: "light",
    doc: "a lamp",
    fields: &[
        Field::required("name", FieldKind::Text, "\"lamp\"", "its name"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"display\"",
            "the tank it shines on",
        ),
        Field::required(
            "power",
            FieldKind::Quantity(Kind::Power),
            "\"120 W\"",
            "electrical power",
        )
        .least("0 W")
        .most("10 kW"),
        Field::default(
            "share_to_water",
            FieldKind::Quantity(Kind::Share),
            "40 %",
            "\"40 %\"",
            "share of the power that ends in the water (an assumption, no source)",
        )
        .least("0 %")
        .most("100 %"),
        Field::required("on", FieldKind::TimeOfDay, "\"10:00\"", "on at this time of day"),
        Field::required(
            "off",
            FieldKind::TimeOfDay,
            "\"20:00\"",
            "off at this time of day; the same as `on` = always on",
        ),
    ],
};
