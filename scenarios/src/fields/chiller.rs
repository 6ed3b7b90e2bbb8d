//! `[[chiller]]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

pub(crate) static CHILLER: Section = Section {
    name: "chiller",
    doc: "a chiller in line with the water",
    fields: &[
        Field::required("name", FieldKind::Text, "\"chiller\"", "its name"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"sump\"",
            "the tank it cools",
        ),
        Field::required(
            "capacity",
            FieldKind::Quantity(Kind::Power),
            "\"300 W\"",
            "heat it takes from the water while it runs",
        )
        .above("0 W")
        .most("50 kW"),
        Field::default(
            "performance",
            FieldKind::Number,
            "3",
            "3.0",
            "heat taken per electricity used, the coefficient of performance (3: from memory)",
        )
        .least("0.1")
        .most("20"),
        Field::default(
            "shortest_off",
            FieldKind::Quantity(Kind::Time),
            "3 min",
            "\"3 min\"",
            "shortest time off between two runs (common practice, no source)",
        )
        .least("0 s")
        .most("1 d"),
        Field::default(
            "stops_below",
            FieldKind::Quantity(Kind::Temperature),
            "4 °C",
            "\"4 °C\"",
            "its freeze protection stops it while the water is colder than this, until it is 2 K warmer (common practice, no source)",
        )
        .least("-5 °C")
        .most("40 °C"),
        Field::optional(
            "pump",
            FieldKind::Reference(Of::Pump),
            "a pump of its own",
            "\"return\"",
            "the pump whose flow it needs",
        ),
        Field::default(
            "heat_goes",
            FieldKind::Choice(&["room", "outdoors"]),
            "room",
            "\"room\"",
            "where the heat goes, with that of its electricity",
        ),
        Field::required(
            "chain",
            FieldKind::References(Of::Contact),
            "[\"relay chiller\"]",
            "contacts in series, mains first; [] = always on",
        ),
    ],
};
