//! The top of a scenario file.

use tepid_sim::quantity::Kind;

use super::chiller::CHILLER;
use super::contact::CONTACT;
use super::equipment::{FAN, FLOW, LIGHT, PUMP};
use super::fitted::FITTED;
use super::happening::{EVENT, FAULT};
use super::heater::HEATER;
use super::life::PART_LIFE;
use super::livestock::LIVESTOCK;
use super::make_up::{AUTOMATIC_CHANGE, TOP_OFF};
use super::oxygen::AIR_PUMP;
use super::person::PERSON;
use super::probe::PROBE;
use super::room::ROOM;
use super::sun::SUN;
use super::supply::{BACKUP, CIRCUIT};
use super::tank::TANK;
use super::watch::WATCH;
use super::water::{COST, WATER};
use super::{Field, FieldKind, Section};

pub(crate) static SCENARIO: Section = Section {
    name: "scenario",
    doc: "what there is and what happens",
    fields: &[
        Field::required(
            "title",
            FieldKind::Text,
            "\"Spare-room reef, winter week\"",
            "one line for people",
        ),
        Field::optional(
            "name",
            FieldKind::Text,
            "the file's name",
            "\"spare-room-winter\"",
            "short name, for tables",
        ),
        Field::optional(
            "teaches",
            FieldKind::Text,
            "the comment lines at the top of the file",
            "\"Two heaters on two relays.\"",
            "what it teaches",
        ),
        Field::required(
            "duration",
            FieldKind::Quantity(Kind::Time),
            "\"7 d\"",
            "scored time",
        )
        .least("1 min")
        .most("3660 d"),
        Field::default(
            "warm_up",
            FieldKind::Quantity(Kind::Time),
            "1 d",
            "\"1 d\"",
            "before time zero, unscored, without faults",
        )
        .least("0 s")
        .most("366 d"),
        Field::optional(
            "start_date",
            FieldKind::Date,
            "no calendar",
            "\"2025-01-06\"",
            "calendar date of day 1",
        ),
        Field::required("water", FieldKind::Table(&WATER), "[water]", "the water"),
        Field::optional(
            "livestock",
            FieldKind::Table(&LIVESTOCK),
            "no danger is judged",
            "[livestock]",
            "what lives there",
        ),
        Field::required(
            "tank",
            FieldKind::Tables(&TANK),
            "[[tank]]",
            "the tanks, at least one",
        ),
        Field::optional(
            "flow",
            FieldKind::Tables(&FLOW),
            "none",
            "[[flow]]",
            "flows between tanks",
        ),
        Field::required("room", FieldKind::Table(&ROOM), "[room]", "the room"),
        Field::optional("pump", FieldKind::Tables(&PUMP), "none", "[[pump]]", "pumps"),
        Field::optional(
            "heater",
            FieldKind::Tables(&HEATER),
            "none",
            "[[heater]]",
            "heaters",
        ),
        Field::optional("fan", FieldKind::Tables(&FAN), "none", "[[fan]]", "fans"),
        Field::optional(
            "chiller",
            FieldKind::Tables(&CHILLER),
            "none",
            "[[chiller]]",
            "chillers",
        ),
        Field::optional(
            "air_pump",
            FieldKind::Tables(&AIR_PUMP),
            "none",
            "[[air_pump]]",
            "air pumps",
        ),
        Field::optional("light", FieldKind::Tables(&LIGHT), "none", "[[light]]", "lamps"),
        Field::optional(
            "sun",
            FieldKind::Tables(&SUN),
            "none",
            "[[sun]]",
            "direct sun on tanks",
        ),
        Field::optional(
            "top_off",
            FieldKind::WordOrTable("none", &TOP_OFF),
            "evaporated water is replaced at room temperature",
            "[top_off]",
            "make-up water",
        ),
        Field::optional(
            "automatic_change",
            FieldKind::Table(&AUTOMATIC_CHANGE),
            "none",
            "[automatic_change]",
            "water exchanged all the time",
        ),
        Field::optional(
            "contact",
            FieldKind::Tables(&CONTACT),
            "none",
            "[[contact]]",
            "contacts of all chains",
        ),
        Field::optional(
            "circuit",
            FieldKind::Tables(&CIRCUIT),
            "nothing trips",
            "[[circuit]]",
            "circuits of the house",
        ),
        Field::optional(
            "backup",
            FieldKind::Tables(&BACKUP),
            "none",
            "[[backup]]",
            "what goes on without the mains",
        ),
        Field::optional("probe", FieldKind::Tables(&PROBE), "none", "[[probe]]", "probes"),
        Field::optional(
            "event",
            FieldKind::Tables(&EVENT),
            "none",
            "[[event]]",
            "planned events",
        ),
        Field::optional(
            "fault",
            FieldKind::Tables(&FAULT),
            "none",
            "[[fault]]",
            "failures and fault sets",
        ),
        Field::optional(
            "watch",
            FieldKind::Tables(&WATCH),
            "none",
            "[[watch]]",
            "alert rules",
        ),
        Field::optional(
            "person",
            FieldKind::Tables(&PERSON),
            "names alone, at hand at any hour",
            "[[person]]",
            "people whom alerts reach",
        ),
        Field::optional(
            "life",
            FieldKind::Tables(&PART_LIFE),
            "usual lives, for `tepid odds`",
            "[[life]]",
            "how long parts last",
        ),
        Field::optional(
            "fitted",
            FieldKind::Table(&FITTED),
            "the model as computed",
            "[fitted]",
            "what a log of the real tank said of the model, as `tepid fit` writes it",
        ),
        Field::optional(
            "cost",
            FieldKind::Table(&COST),
            "no cost is computed",
            "[cost]",
            "what electricity costs",
        ),
    ],
};

/// A scenario that is another one with changes.
pub(crate) static VARIANT: Section = Section {
    name: "variant",
    doc: "another scenario with changes",
    fields: &[
        Field::required(
            "base",
            FieldKind::Text,
            "\"spare-room-winter\"",
            "name or path of the scenario to change",
        ),
        Field::optional(
            "name",
            FieldKind::Text,
            "the file's name",
            "\"one big heater\"",
            "short name, for tables",
        ),
        Field::optional(
            "title",
            FieldKind::Text,
            "the base's",
            "\"One big heater\"",
            "one line for people",
        ),
        Field::optional(
            "teaches",
            FieldKind::Text,
            "the base's",
            "\"What one heater risks.\"",
            "what it teaches",
        ),
        Field::optional(
            "remove",
            FieldKind::Paths,
            "nothing is taken away",
            "[\"heater.right\", \"contact.relay right\"]",
            "what is taken away, by path, before `set` changes the rest",
        ),
        Field::optional(
            "set",
            FieldKind::Settings,
            "nothing is changed",
            "{ \"heater.left.power\" = \"400 W\" }",
            "what is changed, by path",
        ),
        Field::optional(
            "event",
            FieldKind::Tables(&EVENT),
            "those of the base",
            "[{ what = \"room shift\", at = \"36 h\", by = \"-3 K\" }]",
            "planned events beside those of the base",
        ),
        Field::optional(
            "fault",
            FieldKind::Tables(&FAULT),
            "those of the base",
            "[{ what = \"outage\", when = \"36 h\", lasts = \"12 h\" }]",
            "failures beside those of the base",
        ),
    ],
};
