//! `building` of `[room]`: a room that answers to what stands in it.

use tepid_sim::quantity::Kind;

use super::sun::WINDOW_SUN;
use super::{Field, FieldKind, Of, Section};

pub(crate) static BUILDING: Section = Section {
    name: "building",
    doc: "a room that warms and cools with what is in it; `temperature`, `humidity` and `weather` are then the air OUTDOORS",
    fields: &[
        Field::required(
            "volume",
            FieldKind::Quantity(Kind::Volume),
            "\"45 m³\"",
            "volume of its air",
        )
        .least("1 m³")
        .most("100000 m³"),
        Field::optional(
            "heat_capacity",
            FieldKind::Quantity(Kind::HeatCapacity),
            "10 times that of its air (an assumption, no source)",
            "\"500 kJ/K\"",
            "heat capacity of the air and what warms with it: furniture, the skin of the walls",
        )
        .above("0 J/K"),
        Field::required(
            "envelope",
            FieldKind::Quantity(Kind::Conductance),
            "\"60 W/K\"",
            "heat lost through walls and windows per kelvin, without ventilation",
        )
        .least("0 W/K")
        .most("100000 W/K"),
        Field::default(
            "air_changes",
            FieldKind::Quantity(Kind::ExchangeRate),
            "0.5 per hour",
            "\"0.5 per hour\"",
            "how often the air is exchanged with outdoors (0.5 per hour: common practice, no source)",
        )
        .least("0 per hour")
        .most("60 per hour"),
        Field::default(
            "people",
            FieldKind::Quantity(Kind::Power),
            "0 W",
            "\"100 W\"",
            "heat of people and appliances, day and night",
        )
        .least("0 W")
        .most("100 kW"),
        Field::default(
            "moisture",
            FieldKind::Quantity(Kind::MassFlow),
            "0 g/h",
            "\"60 g/h\"",
            "water vapour of people, kitchen and plants, without the tanks'",
        )
        .least("0 g/h")
        .most("100 kg/h"),
        Field::optional(
            "sun",
            FieldKind::Table(&WINDOW_SUN),
            "none",
            "{ peak = \"500 W\", from = \"09:00\", until = \"17:00\" }",
            "sun through the windows",
        ),
        Field::optional(
            "heating",
            FieldKind::Table(&HEATING),
            "none",
            "{ setpoint = \"20 °C\", power = \"1500 W\" }",
            "heating by its own thermostat",
        ),
        Field::optional(
            "cooling",
            FieldKind::Table(&COOLING),
            "none",
            "{ setpoint = \"26 °C\", power = \"2000 W\" }",
            "cooling by its own thermostat",
        ),
    ],
};

const POWER: Field = Field::required(
    "power",
    FieldKind::Quantity(Kind::Power),
    "\"1500 W\"",
    "heat it gives or takes while it works",
)
.above("0 W")
.most("1000 kW");
const DEADBAND: Field = Field::default(
    "deadband",
    FieldKind::Quantity(Kind::TemperatureDifference),
    "1 K",
    "\"1 K\"",
    "full width, centred on the setpoint (1 K: common practice, no source)",
)
.least("0.01 K")
.most("10 K");

const RUNS_WITHOUT_POWER: Field = Field::default(
    "runs_without_power",
    FieldKind::Flag,
    "false",
    "true",
    "it goes on in an outage (boilers and heat pumps do not: common practice, no source)",
);

const CHAIN: Field = Field::optional(
    "chain",
    FieldKind::References(Of::Contact),
    "none: by its own thermostat alone",
    "[\"relay room\"]",
    "relays or solid state switches that a controller may keep it off by; they rest closed, and then its own thermostat decides",
);

pub(crate) static HEATING: Section = Section {
    name: "heating",
    doc: "the room's heating",
    fields: &[setpoint("\"20 °C\""), POWER, DEADBAND, RUNS_WITHOUT_POWER, CHAIN],
};

pub(crate) static COOLING: Section = Section {
    name: "cooling",
    doc: "the room's cooling",
    fields: &[setpoint("\"26 °C\""), POWER, DEADBAND, RUNS_WITHOUT_POWER, CHAIN],
};

const fn setpoint(example: &'static str) -> Field {
    Field::required(
        "setpoint",
        FieldKind::Quantity(Kind::Temperature),
        example,
        "the room temperature it holds",
    )
    .least("-20 °C")
    .most("50 °C")
}
