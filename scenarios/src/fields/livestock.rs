//! `[livestock]`.

use tepid_sim::quantity::Kind;

use super::oxygen::OXYGEN;
use super::{Field, FieldKind, Section};

pub(crate) static LIVESTOCK: Section = Section {
    name: "livestock",
    doc: "what lives in the water and what it bears",
    fields: &[
        Field::required(
            "kind",
            FieldKind::Text,
            "\"tropical reef\"",
            "what lives there, in your own words",
        ),
        Field::required(
            "source",
            FieldKind::Text,
            "\"common practice, no source\"",
            "where the danger lines come from; \"common practice, no source\" if nowhere",
        ),
        Field::optional(
            "used_to",
            FieldKind::Quantity(Kind::Temperature),
            "the target",
            "\"25.5 °C\"",
            "the temperature it is used to",
        )
        .least("0 °C")
        .most("45 °C"),
        Field::optional(
            "danger_hot",
            FieldKind::DangerLines,
            "no danger upwards is judged",
            "[[\"28.5 °C\", \"3 d\"], [\"30 °C\", \"12 h\"], [\"32 °C\", \"1 h\"]]",
            "longest time at a temperature, mildest first; a temperature alone = at once",
        )
        .least("0 °C")
        .most("60 °C"),
        Field::optional(
            "danger_cold",
            FieldKind::DangerLines,
            "no danger downwards is judged",
            "[[\"22 °C\", \"2 d\"], [\"20 °C\", \"12 h\"], [\"18 °C\", \"2 h\"]]",
            "the same downwards, mildest first",
        )
        .least("-5 °C")
        .most("45 °C"),
        Field::optional(
            "fastest",
            FieldKind::Table(&FASTEST),
            "no limit",
            "{ per_hour = \"1 K\", per_day = \"2 K\" }",
            "fastest change it bears",
        ),
        Field::optional(
            "oxygen",
            FieldKind::Table(&OXYGEN),
            "no oxygen is computed",
            "{ fish = \"400 g\" }",
            "the stock and the oxygen it needs",
        ),
    ],
};

pub(crate) static FASTEST: Section = Section {
    name: "fastest",
    doc: "fastest change that livestock bears",
    fields: &[
        Field::optional(
            "per_hour",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "no limit",
            "\"1 K\"",
            "largest change within an hour",
        )
        .above("0 K")
        .most("20 K"),
        Field::optional(
            "per_day",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "no limit",
            "\"2 K\"",
            "largest change within a day",
        )
        .above("0 K")
        .most("20 K"),
    ],
};
