//! `[[watch]]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

pub(crate) static WATCH: Section = Section {
    name: "watch",
    doc: "an alert rule on a reading, and what people do about it",
    fields: &[
        Field::optional(
            "name",
            FieldKind::Text,
            "made from its rule",
            "\"too warm\"",
            "its name",
        ),
        Field::required(
            "probe",
            FieldKind::Reference(Of::Probe),
            "\"main\"",
            "the probe it reads",
        ),
        Field::optional(
            "above",
            FieldKind::Quantity(Kind::Temperature),
            "give one of `above`, `below`, `no_reading`",
            "\"27 °C\"",
            "alerts above this reading",
        )
        .least("-20 °C")
        .most("100 °C"),
        Field::optional(
            "below",
            FieldKind::Quantity(Kind::Temperature),
            "give one of `above`, `below`, `no_reading`",
            "\"24 °C\"",
            "alerts below this reading",
        )
        .least("-20 °C")
        .most("100 °C"),
        Field::default(
            "no_reading",
            FieldKind::Flag,
            "false",
            "true",
            "alerts without a reading",
        ),
        Field::default(
            "lasting",
            FieldKind::Quantity(Kind::Time),
            "5 min",
            "\"5 min\"",
            "it must hold for this long first",
        )
        .least("0 s")
        .most("30 d"),
        Field::optional(
            "reaches",
            FieldKind::Texts,
            "the keeper",
            "[\"keeper\", \"sitter\"]",
            "whom the alert reaches",
        ),
        Field::optional(
            "needs",
            FieldKind::Choices(&["power"]),
            "nothing: it gets out without power too",
            "[\"power\"]",
            "what must be alive for the alert to get out",
        ),
        Field::optional(
            "acts",
            FieldKind::Table(&ACTS),
            "nobody acts",
            "{ after = \"2 h\", does = \"unplug heaters\" }",
            "what somebody does about it",
        ),
    ],
};

pub(crate) static ACTS: Section = Section {
    name: "acts",
    doc: "what somebody does about an alert",
    fields: &[
        Field::required(
            "after",
            FieldKind::Quantity(Kind::Time),
            "\"2 h\"",
            "this long after the alert got out",
        )
        .least("0 s")
        .most("365 d"),
        Field::required(
            "does",
            FieldKind::Choice(&["unplug heaters"]),
            "\"unplug heaters\"",
            "what is done",
        ),
    ],
};
