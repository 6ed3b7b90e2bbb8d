//! `[[event]]` and `[[fault]]`: what happens, planned or not.

use tepid_sim::quantity::Kind;

use super::tank::COVERS;
use super::{Field, FieldKind, Of, Section};

/// What can happen. Planned and unplanned happenings share the words.
pub(crate) const WHAT: &[&str] = &[
    "feeding pause",
    "pump stopped",
    "cover",
    "heaters unplugged",
    "room shift",
    "outage",
    "contact welded",
    "contact stuck open",
    "heater dead",
    "dial off",
    "probe out of the water",
    "probe silent",
    "water change",
    "leak",
    "top-off stopped",
    "top-off stuck on",
    "room heating off",
    "room heating stuck on",
    "room cooling off",
    "room cooling stuck on",
];

const WHAT_FIELD: Field = Field::required(
    "what",
    FieldKind::Choice(WHAT),
    "\"feeding pause\"",
    "what happens",
);
const NAME: Field = Field::optional(
    "name",
    FieldKind::Text,
    "made from `what`",
    "\"evening feed\"",
    "its name",
);
const LASTS: Field = Field::optional(
    "lasts",
    FieldKind::Quantity(Kind::Time),
    "to the end of the run",
    "\"12 min\"",
    "how long it lasts",
)
.above("0 s");
const PUMP: Field = Field::optional(
    "pump",
    FieldKind::Reference(Of::Pump),
    "feeding pause: the pumps of all flows; pump stopped: the only pump",
    "\"return\"",
    "feeding pause, pump stopped: the pump that stands still",
);
const CONTACT: Field = Field::optional(
    "contact",
    FieldKind::Reference(Of::Contact),
    "the only contact; in a fault set one case for each",
    "\"relay left\"",
    "contact welded, contact stuck open, dial off: the contact",
);
const HEATER: Field = Field::optional(
    "heater",
    FieldKind::Reference(Of::Heater),
    "the only heater; in a fault set one case for each",
    "\"left\"",
    "heater dead: the heater",
);
const PROBE: Field = Field::optional(
    "probe",
    FieldKind::Reference(Of::Probe),
    "the only probe; in a fault set one case for each",
    "\"main\"",
    "probe out of the water, probe silent: the probe",
);
const TANK: Field = Field::optional(
    "tank",
    FieldKind::Reference(Of::Tank),
    "the only tank",
    "\"display\"",
    "cover, water change, leak: the tank",
);
const COVER: Field = Field::optional(
    "cover",
    FieldKind::Choice(COVERS),
    "must be stated for a cover",
    "\"lid\"",
    "cover: what covers it meanwhile",
);
const BY: Field = Field::optional(
    "by",
    FieldKind::Quantity(Kind::TemperatureDifference),
    "must be stated for a room shift or a dial",
    "\"-3 K\"",
    "room shift: warmer by this (negative = colder); dial off: switches too high by this",
)
.least("-40 K")
.most("40 K");

const SHARE: Field = Field::optional(
    "share",
    FieldKind::Quantity(Kind::Share),
    "must be stated for a water change",
    "\"20 %\"",
    "water change: share of the tank's water that is let out and replaced while it lasts",
)
.above("0 %")
.most("95 %");
const TEMPERATURE: Field = Field::optional(
    "temperature",
    FieldKind::Quantity(Kind::Temperature),
    "the water's target",
    "\"18 °C\"",
    "water change: temperature of the new water",
)
.least("0 °C")
.most("60 °C");
const SALINITY: Field = Field::optional(
    "salinity",
    FieldKind::Quantity(Kind::Salinity),
    "the water's",
    "\"35 g/kg\"",
    "water change: salinity of the new water",
)
.least("0 g/kg")
.most("60 g/kg");
const RATE: Field = Field::optional(
    "rate",
    FieldKind::Quantity(Kind::VolumeFlow),
    "must be stated for a leak or a top-off",
    "\"5 L/h\"",
    "leak: what runs out; top-off stuck on: what runs in",
)
.above("0 L/h")
.most("1000 m³/h");
const HEIGHT: Field = Field::optional(
    "height",
    FieldKind::Quantity(Kind::Length),
    "0 cm",
    "\"10 cm\"",
    "leak: height of the hole over the bottom; it runs until the water is that low",
)
.least("0 cm")
.most("20 m");

pub(crate) static EVENT: Section = Section {
    name: "event",
    doc: "something planned that happens; a strategy may know of it beforehand",
    fields: &[
        WHAT_FIELD,
        NAME,
        Field::optional(
            "daily",
            FieldKind::TimeOfDay,
            "give `at`",
            "\"18:30\"",
            "every day at this time",
        ),
        Field::optional(
            "at",
            FieldKind::Moment,
            "give `daily`",
            "\"day 2 18:00\"",
            "once, at this moment",
        ),
        LASTS,
        PUMP,
        CONTACT,
        HEATER,
        PROBE,
        TANK,
        COVER,
        BY,
        SHARE,
        TEMPERATURE,
        SALINITY,
        RATE,
        HEIGHT,
    ],
};

pub(crate) static FAULT: Section = Section {
    name: "fault",
    doc: "a failure; with `set` it is a case of that fault set, without it belongs to the scenario",
    fields: &[
        Field::optional(
            "set",
            FieldKind::Text,
            "it always happens in this scenario",
            "\"night outage\"",
            "the fault set it is a case of",
        ),
        Field::required("what", FieldKind::Choice(WHAT), "\"outage\"", "what happens"),
        Field::optional(
            "name",
            FieldKind::Text,
            "made from `what`",
            "\"a night without electricity\"",
            "its name",
        ),
        Field::optional(
            "when",
            FieldKind::FaultTime,
            "in a set: worst phase; else 24 h",
            "\"day 2 22:00\"",
            "when it strikes",
        ),
        Field::optional(
            "lasts",
            FieldKind::Quantity(Kind::Time),
            "to the end of the run",
            "\"12 h\"",
            "how long it lasts",
        )
        .above("0 s"),
        PUMP,
        CONTACT,
        HEATER,
        PROBE,
        TANK,
        COVER,
        BY,
        SHARE,
        TEMPERATURE,
        SALINITY,
        RATE,
        HEIGHT,
    ],
};
