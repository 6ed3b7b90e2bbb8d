//! New water: `[top_off]` and `[automatic_change]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

pub(crate) static TOP_OFF: Section = Section {
    name: "top_off",
    doc: "fresh water that holds the level, by a float switch and a pump; top_off = \"none\" where nobody tops off",
    fields: &[
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the sump (a tank without livestock that a flow feeds), else the first tank",
            "\"sump\"",
            "where it enters",
        ),
        Field::default(
            "temperature",
            FieldKind::ChoiceOrQuantity(&["room", "tank"], Kind::Temperature),
            "room",
            "\"room\"",
            "as warm as the room, as the tank, or a fixed temperature",
        )
        .least("0 °C")
        .most("60 °C"),
        Field::optional(
            "rate",
            FieldKind::Quantity(Kind::VolumeFlow),
            "10 % of all water an hour",
            "\"20 L/h\"",
            "the most its pump moves: a float switch runs it until the level is as built, whatever lowered it",
        )
        .above("0 L/h")
        .most("1000 m³/h"),
        Field::optional(
            "reservoir",
            FieldKind::Quantity(Kind::Volume),
            "does not run out",
            "\"25 L\"",
            "what its reservoir holds on day 1; once empty it stays so, and the level falls",
        )
        .above("0 L")
        .most("100 m³"),
    ],
};

pub(crate) static AUTOMATIC_CHANGE: Section = Section {
    name: "automatic_change",
    doc: "water exchanged a little at a time, day and night",
    fields: &[
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"sump\"",
            "the tank it goes through",
        ),
        Field::required(
            "rate",
            FieldKind::Quantity(Kind::VolumeFlow),
            "\"5 L/d\"",
            "how much new water; as much goes out",
        )
        .above("0 L/d")
        .most("1000 m³/h"),
        Field::default(
            "temperature",
            FieldKind::ChoiceOrQuantity(&["room", "tank"], Kind::Temperature),
            "room",
            "\"room\"",
            "new water as warm as the room, as the tank, or of a fixed temperature",
        )
        .least("0 °C")
        .most("60 °C"),
        Field::optional(
            "salinity",
            FieldKind::Quantity(Kind::Salinity),
            "the water's",
            "\"35 g/kg\"",
            "salinity of the new water",
        )
        .least("0 g/kg")
        .most("60 g/kg"),
    ],
};
