//! `[[contact]]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

/// Words for kinds of contact.
pub(crate) const CONTACT_KINDS: &[&str] = &[
    "relay",
    "solid state",
    "thermostat",
    "cut-out",
    "residual-current",
    "breaker",
];

pub(crate) static CONTACT: Section = Section {
    name: "contact",
    doc: "a switch in the chain of a heater, fan or chiller",
    fields: &[
        Field::required(
            "name",
            FieldKind::Text,
            "\"relay left\"",
            "its name; in two chains it is one shared contact",
        ),
        Field::required(
            "kind",
            FieldKind::Choice(CONTACT_KINDS),
            "\"relay\"",
            "what it is",
        ),
        Field::optional(
            "box",
            FieldKind::Text,
            "a box of its own",
            "\"controller\"",
            "what shares a box fails together",
        ),
        Field::optional(
            "role",
            FieldKind::Choice(&["heat", "cool"]),
            "heat in chains of heaters, cool in chains of fans and chillers",
            "\"heat\"",
            "what a strategy uses it for (relay, solid state)",
        ),
        Field::optional(
            "rating",
            FieldKind::Table(&RATING),
            "not known",
            "{ life = \"100000 closings\" }",
            "what it is rated for (not solid state, which does not wear by closing)",
        ),
        Field::optional(
            "opens_above",
            FieldKind::Quantity(Kind::Temperature),
            "must be stated for a thermostat or cut-out",
            "\"27.5 °C\"",
            "thermostat, cut-out: opens when warmer (the dial)",
        )
        .least("0 °C")
        .most("100 °C"),
        Field::optional(
            "closes_below",
            FieldKind::Quantity(Kind::Temperature),
            "1 K below `opens_above` (common practice, no source)",
            "\"26.5 °C\"",
            "thermostat, cut-out: closes again when colder",
        )
        .least("-20 °C")
        .most("100 °C"),
        Field::optional(
            "bulb",
            FieldKind::Reference(Of::Tank),
            "thermostat: in the heater's own body; cut-out: in the heater's tank",
            "\"sump\"",
            "the tank its own bulb hangs in",
        ),
        Field::default(
            "lag",
            FieldKind::Quantity(Kind::Time),
            "30 s",
            "\"30 s\"",
            "lag of its bulb",
        )
        .least("0 s")
        .most("1 d"),
        Field::default(
            "body_share",
            FieldKind::Quantity(Kind::Share),
            "5 %",
            "\"5 %\"",
            "how much of the heater's own warmth a thermostat in its body feels",
        )
        .least("0 %")
        .most("100 %"),
        Field::optional(
            "reset",
            FieldKind::Choice(&["automatic", "by hand"]),
            "thermostat: automatic; cut-out: by hand",
            "\"by hand\"",
            "how it comes back after opening",
        ),
        Field::default(
            "dial_error",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "0 K",
            "\"1 K\"",
            "its scale may be wrong by up to this, either way; drawn once per run",
        )
        .least("0 K")
        .most("10 K"),
    ],
};

pub(crate) static RATING: Section = Section {
    name: "rating",
    doc: "what a contact is rated for",
    fields: &[Field::required(
        "life",
        FieldKind::Quantity(Kind::Closings),
        "\"100000 closings\"",
        "closings at its load",
    )
    .above("0 closings")],
};
