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
    "cover: the tank",
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
            "contact welded: worst phase; else 24 h",
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
    ],
};
