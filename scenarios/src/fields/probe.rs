//! `[[probe]]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

pub(crate) static PROBE: Section = Section {
    name: "probe",
    doc: "a temperature probe",
    fields: &[
        Field::required("name", FieldKind::Text, "\"main\"", "its name"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"sump\"",
            "where it hangs, unless it is for the room",
        ),
        Field::default(
            "for",
            FieldKind::Choice(&["control", "monitor", "room"]),
            "control",
            "\"control\"",
            "a strategy controls by it, it is only watched, or it hangs in the room's air and tells of the room",
        ),
        Field::default(
            "lag",
            FieldKind::Quantity(Kind::Time),
            "30 s",
            "\"30 s\"",
            "time constant in the water",
        )
        .least("0 s")
        .most("1 d"),
        Field::default(
            "noise",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "0.02 K",
            "\"0.02 K\"",
            "standard deviation of a reading",
        )
        .least("0 K")
        .most("5 K"),
        Field::default(
            "step",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "0.1 K",
            "\"0.1 K\"",
            "resolution; 0 K = none",
        )
        .least("0 K")
        .most("5 K"),
        Field::default(
            "offset",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "0 K",
            "\"0.2 K\"",
            "constant error: reads too high by",
        )
        .least("-20 K")
        .most("20 K"),
        Field::default(
            "drift",
            FieldKind::Quantity(Kind::TemperatureRate),
            "0 K/d",
            "\"0.01 K/d\"",
            "growing error",
        )
        .least("-10 K/d")
        .most("10 K/d"),
    ],
};
