//! `[livestock.oxygen]` and `[[air_pump]]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

pub(crate) static OXYGEN: Section = Section {
    name: "oxygen",
    doc: "the stock and the oxygen it needs; without it no oxygen is computed",
    fields: &[
        Field::optional(
            "fish",
            FieldKind::Quantity(Kind::Mass),
            "`demand` says it",
            "\"400 g\"",
            "mass of all fish together; either this or `demand`",
        )
        .above("0 g")
        .most("1 t"),
        Field::default(
            "per_kg",
            FieldKind::Quantity(Kind::MassFlow),
            "250 mg/h",
            "\"250 mg/h\"",
            "oxygen that a kilogram of fish needs at `demand_at` (250: routine need of fish of 10 g, see docs/model.md)",
        )
        .above("0 mg/h")
        .most("5 g/h"),
        Field::optional(
            "demand",
            FieldKind::Quantity(Kind::MassFlow),
            "`fish` times `per_kg`",
            "\"100 mg/h\"",
            "oxygen that all livestock and filter bacteria together need at `demand_at`",
        )
        .above("0 mg/h")
        .most("5 kg/h"),
        Field::default(
            "demand_at",
            FieldKind::Quantity(Kind::Temperature),
            "25 °C",
            "\"25 °C\"",
            "the temperature of that demand",
        )
        .least("0 °C")
        .most("40 °C"),
        Field::default(
            "q10",
            FieldKind::Number,
            "2",
            "2.0",
            "the demand rises so many times per 10 K (2: between published 1.7 and 2.1)",
        )
        .least("1")
        .most("5"),
        Field::default(
            "moved",
            FieldKind::Quantity(Kind::Speed),
            "7 cm/h",
            "\"7 cm/h\"",
            "transfer coefficient of the surface at 20 °C while a pump or flow moves the water (7: an assumption)",
        )
        .above("0 cm/h")
        .most("2 m/h"),
        Field::default(
            "still",
            FieldKind::Quantity(Kind::Speed),
            "2 cm/h",
            "\"2 cm/h\"",
            "the same while nothing moves it (2: small lakes in little wind, 1.5 to 3.1)",
        )
        .above("0 cm/h")
        .most("2 m/h"),
        Field::default(
            "under_lid",
            FieldKind::Quantity(Kind::Share),
            "50 %",
            "\"50 %\"",
            "share of the transfer that a lid leaves (50: an assumption)",
        )
        .above("0 %")
        .most("100 %"),
    ],
};

pub(crate) static AIR_PUMP: Section = Section {
    name: "air_pump",
    doc: "an air pump with its stone: it bears on oxygen and draws power, it moves no heat",
    fields: &[
        Field::required("name", FieldKind::Text, "\"air\"", "its name"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"display\"",
            "the tank it bubbles through",
        ),
        Field::default(
            "transfer",
            FieldKind::Quantity(Kind::VolumeFlow),
            "60 L/h",
            "\"60 L/h\"",
            "water it would bring to saturation per time at 20 °C (60: 100 L/h of air giving up 2 % of its oxygen, an assumption)",
        )
        .above("0 L/h")
        .most("100 m³/h"),
        Field::default(
            "power",
            FieldKind::Quantity(Kind::Power),
            "3 W",
            "\"3 W\"",
            "electrical power from the mains (3: an assumption)",
        )
        .least("0 W")
        .most("1 kW"),
        Field::optional(
            "battery",
            FieldKind::Quantity(Kind::Time),
            "an outage stops it",
            "\"8 h\"",
            "how long a battery keeps it going in an outage",
        )
        .above("0 s")
        .most("366 d"),
    ],
};
