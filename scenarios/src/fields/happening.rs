//! `[[event]]` and `[[fault]]`: what happens, planned or not.

use tepid_sim::quantity::Kind;

use super::life::LIFE;
use super::tank::COVERS;
use super::{Field, FieldKind, Of, Section};

/// What can happen. Planned and unplanned happenings share the words.
pub(crate) const WHAT: &[&str] = &[
    "feeding pause",
    "pump stopped",
    "cover",
    "heaters unplugged",
    "heater unplugged",
    "room shift",
    "outage",
    "mains voltage",
    "circuit tripped",
    "backup dead",
    "contact welded",
    "contact stuck open",
    "contact chatters",
    "box welded",
    "box stuck open",
    "heater dead",
    "dial off",
    "dial drifts",
    "dial set",
    "controller hung",
    "probe out of the water",
    "probe in the wrong tank",
    "probe silent",
    "probe stuck",
    "probe off",
    "probe drifts",
    "probe noisy",
    "probe reads",
    "wild sample",
    "fan stopped",
    "chiller dead",
    "chiller blocked",
    "light out",
    "light left on",
    "water change",
    "leak",
    "top-off stopped",
    "top-off stuck on",
    "room heating off",
    "room heating stuck on",
    "room cooling off",
    "room cooling stuck on",
    "network down",
    "alerts muted",
];

/// The fields beside `what`, `name`, `lasts` and the time that mean something for what happens.
pub(crate) fn used_by(what: &str) -> &'static [&'static str] {
    match what {
        "feeding pause" => &["pump", "heaters"],
        "pump stopped" => &["pump"],
        "contact welded" | "contact stuck open" => &["contact"],
        "contact chatters" => &["contact", "every"],
        "box welded" | "box stuck open" => &["box"],
        "dial off" => &["contact", "by"],
        "dial drifts" => &["contact", "per_day"],
        "dial set" => &["contact", "to"],
        "controller hung" => &["contacts", "restart", "state_age"],
        "heater dead" | "heater unplugged" => &["heater"],
        "probe out of the water" | "probe silent" | "probe stuck" => &["probe"],
        "probe in the wrong tank" => &["probe", "tank"],
        "probe off" => &["probe", "by"],
        "probe drifts" => &["probe", "per_day"],
        "probe noisy" => &["probe", "noise"],
        "probe reads" | "wild sample" => &["probe", "to"],
        "fan stopped" => &["fan"],
        "chiller dead" => &["chiller"],
        "light out" | "light left on" => &["light"],
        "chiller blocked" => &["chiller", "left"],
        "mains voltage" => &["of_nominal"],
        "circuit tripped" => &["circuit"],
        "backup dead" => &["backup"],
        "cover" => &["tank", "cover"],
        "room shift" => &["by"],
        "water change" => &["tank", "share", "temperature", "salinity"],
        "leak" => &["tank", "rate", "height"],
        "top-off stuck on" => &["rate"],
        _ => &[],
    }
}

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
    "a contact or dial that fails: which (a solid-state switch that is welded is shorted; it does not chatter)",
);
const BOX: Field = Field::optional(
    "box",
    FieldKind::Reference(Of::Box),
    "the only box; in a fault set one case for each",
    "\"controller\"",
    "box welded, box stuck open: the `box` of contacts; all that share it fail at once",
);
const HEATER: Field = Field::optional(
    "heater",
    FieldKind::Reference(Of::Heater),
    "the only heater; in a fault set one case for each",
    "\"left\"",
    "heater dead, heater unplugged: the heater",
);
const PROBE: Field = Field::optional(
    "probe",
    FieldKind::Reference(Of::Probe),
    "the only probe; in a fault set one case for each",
    "\"main\"",
    "a probe that fails or is not where it should be: which",
);
const TANK: Field = Field::optional(
    "tank",
    FieldKind::Reference(Of::Tank),
    "the only tank",
    "\"display\"",
    "cover, water change, leak: the tank; probe in the wrong tank: where it hangs",
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
    "must be stated for a room shift, a dial or a probe",
    "\"-3 K\"",
    "room shift: warmer by this (negative = colder); dial off: switches too high by this; probe off: reads too high by this",
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

const FAN: Field = Field::optional(
    "fan",
    FieldKind::Reference(Of::Fan),
    "the only fan; in a fault set one case for each",
    "\"desk fan\"",
    "fan stopped: the fan",
);
const CHILLER: Field = Field::optional(
    "chiller",
    FieldKind::Reference(Of::Chiller),
    "the only chiller; in a fault set one case for each",
    "\"chiller\"",
    "chiller dead, chiller blocked: the chiller",
);
const LIGHT: Field = Field::optional(
    "light",
    FieldKind::Reference(Of::Light),
    "the only light; in a fault set one case for each",
    "\"light\"",
    "light out, light left on: the light",
);
const HEATERS: Field = Field::default(
    "heaters",
    FieldKind::Choice(&["running", "held off"]),
    "running",
    "\"held off\"",
    "feeding pause: what the heaters do while the pumps stand still",
);
const EVERY: Field = Field::default(
    "every",
    FieldKind::Quantity(Kind::Time),
    "2 s",
    "\"2 s\"",
    "contact chatters: one opening and closing",
)
.least("10 ms")
.most("1 h");
const PER_DAY: Field = Field::optional(
    "per_day",
    FieldKind::Quantity(Kind::TemperatureDifference),
    "must be stated for what drifts",
    "\"0.5 K\"",
    "dial drifts: switches higher by this every day; probe drifts: reads higher by this every day",
)
.least("-40 K")
.most("40 K");
const TO: Field = Field::optional(
    "to",
    FieldKind::Quantity(Kind::Temperature),
    "must be stated",
    "\"78 °C\"",
    "dial set: where the dial stands now; probe reads, wild sample: the reading",
)
.least("-273 °C")
.most("1000 °C");
const NOISE: Field = Field::optional(
    "noise",
    FieldKind::Quantity(Kind::TemperatureDifference),
    "must be stated for a noisy probe",
    "\"0.5 K\"",
    "probe noisy: standard deviation that joins its own",
)
.above("0 K")
.most("40 K");
const LEFT: Field = Field::default(
    "left",
    FieldKind::Quantity(Kind::Share),
    "30 %",
    "\"30 %\"",
    "chiller blocked: share of its capacity that is left",
)
.least("0 %")
.most("100 %");
const CONTACTS: Field = Field::default(
    "contacts",
    FieldKind::Choice(&["hold", "open"]),
    "hold",
    "\"open\"",
    "controller hung: what its contacts do meanwhile",
);
const RESTART: Field = Field::default(
    "restart",
    FieldKind::Choice(&["state kept", "state lost", "state stale"]),
    "state kept",
    "\"state lost\"",
    "controller hung: in which state it comes back",
);
const STATE_AGE: Field = Field::optional(
    "state_age",
    FieldKind::Quantity(Kind::Time),
    "must be stated for a stale state",
    "\"1 h\"",
    "controller hung, state stale: how long before it hung the state was saved that it comes back in",
)
.above("0 s")
.most("30 d");

const OF_NOMINAL: Field = Field::optional(
    "of_nominal",
    FieldKind::Quantity(Kind::Share),
    "must be stated for a mains voltage",
    "\"90 %\"",
    "mains voltage: as a share of the nominal one; heaters give its square",
)
.least("50 %")
.most("150 %");
const CIRCUIT: Field = Field::optional(
    "circuit",
    FieldKind::Reference(Of::Circuit),
    "the only circuit; in a fault set one case for each",
    "\"circuit A\"",
    "circuit tripped: the circuit",
);
const BACKUP: Field = Field::optional(
    "backup",
    FieldKind::Reference(Of::Backup),
    "the only backup; in a fault set one case for each",
    "\"battery\"",
    "backup dead: the backup",
);

/// Some fields, then all those whose meaning depends on what happens.
macro_rules! and_particular {
    ($($field:expr),* $(,)?) => {
        &[
            $($field,)*
            PUMP,
            CONTACT,
            BOX,
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
            FAN,
            CHILLER,
            LIGHT,
            HEATERS,
            EVERY,
            PER_DAY,
            TO,
            NOISE,
            LEFT,
            CONTACTS,
            RESTART,
            STATE_AGE,
            OF_NOMINAL,
            CIRCUIT,
            BACKUP,
        ]
    };
}

/// Fields whose meaning depends on what happens.
pub(crate) static PARTICULAR: &[Field] = and_particular![];

pub(crate) static EVENT: Section = Section {
    name: "event",
    doc: "something planned that happens; a strategy may know of it beforehand",
    fields: and_particular![
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
    ],
};

pub(crate) static FAULT: Section = Section {
    name: "fault",
    doc: "a failure; with `set` it is a case of that fault set, without it belongs to the scenario",
    fields: and_particular![
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
            "life",
            FieldKind::Table(&LIFE),
            "give `when`",
            "{ closings = 100000, shape = 2 }",
            "it strikes when a life is over, drawn for each seed and replicate",
        ),
        Field::optional(
            "lasts",
            FieldKind::Quantity(Kind::Time),
            "to the end of the run",
            "\"12 h\"",
            "how long it lasts",
        )
        .above("0 s"),
    ],
};
