//! `[[person]]`.

use tepid_sim::quantity::Kind;

use super::act::DOES;
use super::{Field, FieldKind, Section};

pub(crate) static PERSON: Section = Section {
    name: "person",
    doc: "somebody whom alerts reach",
    fields: &[
        Field::required("name", FieldKind::Text, "\"keeper\"", "their name"),
        Field::optional(
            "at_home",
            FieldKind::Table(&HOURS),
            "at any hour",
            "{ from = \"17:30\", to = \"08:00\" }",
            "when they can be at the tank",
        ),
        Field::optional(
            "away",
            FieldKind::TableOrTables(&AWAY),
            "never",
            "{ from = \"day 3 08:00\", to = \"day 5 20:00\" }",
            "when they are away for days; several as [[person.away]]",
        ),
        Field::optional(
            "quiet",
            FieldKind::Table(&HOURS),
            "never",
            "{ from = \"23:00\", to = \"07:00\" }",
            "when they hear no alert: it waits until then",
        ),
        Field::optional(
            "response",
            FieldKind::TableOrTables(&RESPONSE),
            "a median of 10 min and a spread of 2: an assumption, no source",
            "{ median = \"10 min\", spread = 2 }",
            "how long they take from hearing it to setting to work; by hours as [[person.response]]",
        ),
        Field::optional(
            "can",
            FieldKind::Choices(DOES),
            "everything",
            "[\"unplug heaters\", \"lift the lid\"]",
            "what they can do",
        ),
    ],
};

pub(crate) static HOURS: Section = Section {
    name: "hours",
    doc: "hours of every day",
    fields: &[
        Field::required("from", FieldKind::TimeOfDay, "\"23:00\"", "from this time of day"),
        Field::required("to", FieldKind::TimeOfDay, "\"07:00\"", "to this time of day"),
    ],
};

pub(crate) static AWAY: Section = Section {
    name: "away",
    doc: "days away",
    fields: &[
        Field::required("from", FieldKind::Moment, "\"day 3 08:00\"", "leaves"),
        Field::required("to", FieldKind::Moment, "\"day 5 20:00\"", "is back"),
    ],
};

pub(crate) static RESPONSE: Section = Section {
    name: "response",
    doc: "how long somebody takes; the first whose hours hold counts",
    fields: &[
        Field::optional(
            "from",
            FieldKind::TimeOfDay,
            "at any hour",
            "\"23:00\"",
            "holds from this time of day",
        ),
        Field::optional(
            "to",
            FieldKind::TimeOfDay,
            "at any hour",
            "\"07:00\"",
            "to this time of day",
        ),
        Field::optional(
            "median",
            FieldKind::Quantity(Kind::Time),
            "give `never`",
            "\"10 min\"",
            "half of all responses are shorter",
        )
        .least("0 s")
        .most("365 d"),
        Field::default(
            "spread",
            FieldKind::Number,
            "2",
            "2",
            "68 % of all responses lie within this factor of the median (lognormal); 1 = always the median",
        )
        .least("1")
        .most("100"),
        Field::default(
            "never",
            FieldKind::Flag,
            "false",
            "true",
            "they do not answer at these hours",
        ),
    ],
};
