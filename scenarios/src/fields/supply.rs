//! `[[circuit]]` and `[[backup]]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Section};

const FEEDS_CIRCUIT: Field = Field::required(
    "feeds",
    FieldKind::Texts,
    "[\"heater left\", \"return\", \"controller\", \"router\"]",
    "all it feeds: names of heaters, pumps, fans, chillers, lights, air pumps (with the kind before where a name stands twice), \
     \"controller\", \"router\", \"top-off\"",
);
const FEEDS_BACKUP: Field = Field::required(
    "feeds",
    FieldKind::Texts,
    "[\"air pump\", \"controller\", \"heater left\"]",
    "what it feeds, the most important first: each that by its rated power still fits under the limit",
);

pub(crate) static CIRCUIT: Section = Section {
    name: "circuit",
    doc: "a circuit of the house: whatever trips takes all it feeds",
    fields: &[
        Field::required("name", FieldKind::Text, "\"circuit A\"", "its name"),
        Field::default(
            "voltage",
            FieldKind::Quantity(Kind::Voltage),
            "230 V",
            "\"120 V\"",
            "nominal voltage; heaters are rated for it",
        )
        .least("12 V")
        .most("480 V"),
        Field::optional(
            "breaker",
            FieldKind::Quantity(Kind::Current),
            "none that matters",
            "\"16 A\"",
            "rating of its breaker, with a thermal release",
        )
        .above("0 A")
        .most("125 A"),
        Field::default(
            "residual_current",
            FieldKind::Flag,
            "false",
            "true",
            "a residual-current device (RCD/GFCI) guards it",
        ),
        FEEDS_CIRCUIT,
    ],
};

pub(crate) static BACKUP: Section = Section {
    name: "backup",
    doc: "what goes on without the mains: a battery with its inverter (`energy`), or a generator (`fuel`)",
    fields: &[
        Field::required("name", FieldKind::Text, "\"battery\"", "its name"),
        Field::optional(
            "energy",
            FieldKind::Quantity(Kind::Energy),
            "give `energy` or `fuel`",
            "\"500 Wh\"",
            "energy that can be taken out of the battery",
        )
        .above("0 Wh")
        .most("1000 kWh"),
        Field::optional(
            "fuel",
            FieldKind::Quantity(Kind::Time),
            "give `energy` or `fuel`",
            "\"8 h\"",
            "how long the generator's fuel lasts",
        )
        .above("0 s")
        .most("366 d"),
        Field::optional(
            "starts_after",
            FieldKind::Quantity(Kind::Time),
            "somebody must start it",
            "\"20 min\"",
            "generator: it runs this long after the mains went",
        )
        .least("0 s")
        .most("30 d"),
        Field::required(
            "limit",
            FieldKind::Quantity(Kind::Power),
            "\"300 W\"",
            "it feeds no more than this",
        )
        .above("0 W")
        .most("100 kW"),
        Field::default(
            "idle",
            FieldKind::Quantity(Kind::Power),
            "0 W",
            "\"8 W\"",
            "what its inverter draws itself while it feeds",
        )
        .least("0 W")
        .most("1 kW"),
        FEEDS_BACKUP,
    ],
};
