//! `[[flow]]`, `[[pump]]`, `[[heater]]`, `[[fan]]`, `[[light]]` and `[top_off]`.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

pub(crate) static FLOW: Section = Section {
    name: "flow",
    doc: "water pumped from one tank to another and running back",
    fields: &[
        Field::optional(
            "name",
            FieldKind::Text,
            "none",
            "\"return line\"",
            "its name, to address it in `set`",
        ),
        Field::required(
            "from",
            FieldKind::Reference(Of::Tank),
            "\"display\"",
            "from this tank",
        ),
        Field::required(
            "to",
            FieldKind::Reference(Of::Tank),
            "\"sump\"",
            "to this one, and back",
        ),
        Field::required(
            "rate",
            FieldKind::Quantity(Kind::VolumeFlow),
            "\"1500 L/h\"",
            "how much each way",
        )
        .above("0 L/h")
        .most("1000 m³/h"),
        Field::optional(
            "pump",
            FieldKind::Reference(Of::Pump),
            "it never stops",
            "\"return\"",
            "the pump that makes it: without power it stops",
        ),
    ],
};

pub(crate) static PUMP: Section = Section {
    name: "pump",
    doc: "a pump: its power warms the water",
    fields: &[
        Field::required("name", FieldKind::Text, "\"return\"", "its name"),
        Field::required(
            "power",
            FieldKind::Quantity(Kind::Power),
            "\"25 W\"",
            "electrical power",
        )
        .least("0 W")
        .most("10 kW"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the tank its flow goes to, else the only tank",
            "\"sump\"",
            "the tank that takes its heat",
        ),
        Field::default(
            "placed",
            FieldKind::Choice(&["submerged", "external"]),
            "submerged",
            "\"submerged\"",
            "submerged pumps give all their power to the water",
        ),
        Field::optional(
            "share_to_water",
            FieldKind::Quantity(Kind::Share),
            "100 % submerged, 50 % external",
            "\"50 %\"",
            "share of the power that ends in the water",
        )
        .least("0 %")
        .most("100 %"),
    ],
};

pub(crate) static HEATER: Section = Section {
    name: "heater",
    doc: "a heater",
    fields: &[
        Field::required("name", FieldKind::Text, "\"left\"", "its name"),
        Field::required(
            "power",
            FieldKind::Quantity(Kind::Power),
            "\"150 W\"",
            "rated power",
        )
        .above("0 W")
        .most("20 kW"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"sump\"",
            "the tank it hangs in",
        ),
        Field::required(
            "chain",
            FieldKind::References(Of::Contact),
            "[\"residual-current\", \"relay left\", \"dial left\"]",
            "contacts in series, mains first; [] = always on",
        ),
        Field::optional(
            "body",
            FieldKind::Table(&BODY),
            "by the rated power",
            "{ diameter = \"26 mm\" }",
            "its tube",
        ),
        Field::default(
            "water_speed",
            FieldKind::Quantity(Kind::Speed),
            "0 m/s",
            "\"0.05 m/s\"",
            "speed of the water along it; 0 = still",
        )
        .least("0 m/s")
        .most("5 m/s"),
        Field::optional(
            "speed_by",
            FieldKind::Reference(Of::Pump),
            "the speed always holds",
            "\"return\"",
            "the pump that makes that speed",
        ),
    ],
};

pub(crate) static BODY: Section = Section {
    name: "body",
    doc: "the tube of a heater",
    fields: &[
        Field::optional(
            "heat_capacity",
            FieldKind::Quantity(Kind::HeatCapacity),
            "1 J/K per watt of rated power",
            "\"300 J/K\"",
            "heat capacity of tube and filling",
        )
        .above("0 J/K")
        .most("1000 kJ/K"),
        Field::optional(
            "length",
            FieldKind::Quantity(Kind::Length),
            "such that 300 W have 0.027 m² of tube",
            "\"33 cm\"",
            "length of the heated tube",
        )
        .above("0 mm")
        .most("5 m"),
        Field::default(
            "diameter",
            FieldKind::Quantity(Kind::Length),
            "26 mm",
            "\"26 mm\"",
            "diameter of the tube",
        )
        .above("0 mm")
        .most("50 cm"),
    ],
};

pub(crate) static FAN: Section = Section {
    name: "fan",
    doc: "a fan over the water: it cools by evaporation",
    fields: &[
        Field::required("name", FieldKind::Text, "\"clip fan\"", "its name"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"display\"",
            "the tank it blows over",
        ),
        Field::required(
            "power",
            FieldKind::Quantity(Kind::Power),
            "\"5 W\"",
            "electrical power; it warms the room",
        )
        .least("0 W")
        .most("1 kW"),
        Field::required(
            "speed",
            FieldKind::Quantity(Kind::Speed),
            "\"2 m/s\"",
            "air speed over the water",
        )
        .above("0 m/s")
        .most("20 m/s"),
        Field::optional(
            "length",
            FieldKind::Quantity(Kind::Length),
            "the shorter side of the tank",
            "\"50 cm\"",
            "length of the water along the air's way",
        )
        .above("0 cm")
        .most("20 m"),
        Field::default(
            "reaches",
            FieldKind::Quantity(Kind::Share),
            "100 %",
            "\"100 %\"",
            "share of the open surface that it reaches",
        )
        .least("0 %")
        .most("100 %"),
        Field::required(
            "chain",
            FieldKind::References(Of::Contact),
            "[\"plug fan\"]",
            "contacts in series, mains first; [] = always on",
        ),
    ],
};

pub(crate) static LIGHT: Section = Section {
    name: "light",
    doc: "a lamp",
    fields: &[
        Field::required("name", FieldKind::Text, "\"lamp\"", "its name"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"display\"",
            "the tank it shines on",
        ),
        Field::required(
            "power",
            FieldKind::Quantity(Kind::Power),
            "\"120 W\"",
            "electrical power",
        )
        .least("0 W")
        .most("10 kW"),
        Field::default(
            "share_to_water",
            FieldKind::Quantity(Kind::Share),
            "40 %",
            "\"40 %\"",
            "share of the power that ends in the water (an assumption, no source)",
        )
        .least("0 %")
        .most("100 %"),
        Field::required("on", FieldKind::TimeOfDay, "\"10:00\"", "on at this time of day"),
        Field::required(
            "off",
            FieldKind::TimeOfDay,
            "\"20:00\"",
            "off at this time of day; the same as `on` = always on",
        ),
    ],
};

pub(crate) static TOP_OFF: Section = Section {
    name: "top_off",
    doc: "make-up of evaporated water; top_off = \"none\" where nobody tops off",
    fields: &[
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the sump (a tank without livestock that a flow feeds), else the first tank",
            "\"sump\"",
            "where it enters",
        ),
        Field::default(
            "temperature",
            FieldKind::ChoiceOrQuantity(&["room", "tank"], Kind::Temperature),
            "room",
            "\"room\"",
            "as warm as the room, as the tank, or a fixed temperature",
        )
        .least("0 °C")
        .most("60 °C"),
    ],
};
