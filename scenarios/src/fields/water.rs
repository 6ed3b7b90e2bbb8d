//! `[water]` and `[cost]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Section};

pub(crate) static WATER: Section = Section {
    name: "water",
    doc: "the water and what its keeper wants of it",
    fields: &[
        Field::default(
            "salinity",
            FieldKind::Quantity(Kind::Salinity),
            "0 g/kg",
            "\"35 g/kg\"",
            "absolute salinity; also ppt, or \"sg 1.025 at 25/25 °C\"; 0 = fresh",
        )
        .least("0 g/kg")
        .most("60 g/kg"),
        Field::required(
            "target",
            FieldKind::Quantity(Kind::Temperature),
            "\"25.5 °C\"",
            "the temperature wanted",
        )
        .least("4 °C")
        .most("40 °C"),
        Field::optional(
            "band",
            FieldKind::Quantities(Kind::Temperature, 2),
            "0.5 K either side of the target",
            "[\"25.0 °C\", \"26.0 °C\"]",
            "the band wanted, both ends inside it",
        )
        .least("0 °C")
        .most("45 °C"),
        Field::optional(
            "salinity_range",
            FieldKind::Quantities(Kind::Salinity, 2),
            "not judged",
            "[\"34 g/kg\", \"36 g/kg\"]",
            "lowest and highest salinity wanted",
        )
        .least("0 g/kg")
        .most("60 g/kg"),
        Field::default(
            "pressure",
            FieldKind::Quantity(Kind::Pressure),
            "1013.25 hPa",
            "\"1013.25 hPa\"",
            "air pressure; lower in the mountains",
        )
        .least("500 hPa")
        .most("1100 hPa"),
        Field::default(
            "evaporation",
            FieldKind::Choice(&["shah", "ashrae pool", "vdi 2089"]),
            "shah",
            "\"shah\"",
            "published relation for evaporation into still air: shah undisturbed water of any size, \
             ashrae pool a pool with an activity factor, vdi 2089 a pool not in use",
        ),
        Field::optional(
            "activity",
            FieldKind::Number,
            "must be stated with \"ashrae pool\"",
            "0.5",
            "activity factor of \"ashrae pool\": 0.5 quiet, 1 a public pool in use; it stands in place of `agitation`",
        )
        .least("0.1")
        .most("5"),
    ],
};

pub(crate) static COST: Section = Section {
    name: "cost",
    doc: "what electricity costs",
    fields: &[
        Field::required(
            "electricity",
            FieldKind::Quantity(Kind::PricePerKwh),
            "\"0.32 per kWh\"",
            "price of electricity, in any currency",
        )
        .least("0 per kWh"),
        Field::optional(
            "currency",
            FieldKind::Text,
            "amounts stand without one",
            "\"EUR\"",
            "currency of the prices, as it stands behind amounts",
        ),
        Field::optional(
            "hours",
            FieldKind::TableOrTables(&PRICED_HOURS),
            "the same price at all hours",
            "{ from = \"22:00\", to = \"06:00\", electricity = \"0.20 per kWh\" }",
            "hours of every day at another price; where two overlap, the first holds",
        ),
    ],
};

pub(crate) static PRICED_HOURS: Section = Section {
    name: "hours",
    doc: "hours of every day at another price",
    fields: &[
        Field::required("from", FieldKind::TimeOfDay, "\"22:00\"", "from this time of day"),
        Field::required("to", FieldKind::TimeOfDay, "\"06:00\"", "to this time of day"),
        Field::required(
            "electricity",
            FieldKind::Quantity(Kind::PricePerKwh),
            "\"0.20 per kWh\"",
            "price of electricity in these hours",
        )
        .least("0 per kWh"),
    ],
};
