//! `[fitted]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Section};

pub(crate) static FITTED: Section = Section {
    name: "fitted",
    doc: "what a log of the real tank said of the model",
    fields: &[
        Field::default(
            "losses",
            FieldKind::Quantity(Kind::Share),
            "100 %",
            "\"112 %\"",
            "real losses, of those computed from dimensions, cover and room",
        )
        .least("10 %")
        .most("1000 %"),
        Field::default(
            "capacity",
            FieldKind::Quantity(Kind::Share),
            "100 %",
            "\"97 %\"",
            "real heat capacity of water and panes, of the computed one",
        )
        .least("30 %")
        .most("300 %"),
        Field::default(
            "room_offset",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "0 K",
            "\"0.4 K\"",
            "how much warmer the air around the tanks is than [room] says",
        )
        .least("-10 K")
        .most("10 K"),
    ],
};
