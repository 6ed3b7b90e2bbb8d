//! `[[life]]`: how long parts last, and `life` of a fault.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Section};

/// What can have a life. `crate::lives` gives each its meaning.
pub(crate) const KINDS: &[&str] = &[
    "relay",
    "solid-state",
    "thermostat",
    "cut-out",
    "breaker",
    "residual-current",
    "box",
    "heater",
    "probe silent",
    "probe out of the water",
    "pump",
    "fan",
    "chiller",
    "mains",
    "backup",
    "alerts",
    "controller hung",
    "dial 4 K off",
    "dial at 78",
    "probe off",
    "probe drifting",
    "probe stuck",
    "leak",
    "top-off stuck on",
];

/// Longest life and age, years or closings: no part is known to last that long.
const LONGEST: &str = "1000000000";

const PER_YEAR: Field = Field::optional(
    "per_year",
    FieldKind::Number,
    "give one of `per_year`, `years`, `closings`",
    "0.05",
    "failures a year by chance alone, whatever the age",
)
.above("0")
.most("1000");
const YEARS: Field = Field::optional(
    "years",
    FieldKind::Number,
    "give one of `per_year`, `years`, `closings`",
    "8",
    "characteristic life in years: 63 % have failed by then",
)
.above("0")
.most(LONGEST);
const CLOSINGS: Field = Field::optional(
    "closings",
    FieldKind::Number,
    "give one of `per_year`, `years`, `closings`",
    "100000",
    "characteristic life of a contact in closings: 63 % have failed by then",
)
.above("0")
.most(LONGEST);
const SHAPE: Field = Field::optional(
    "shape",
    FieldKind::Number,
    "1: by chance alone",
    "2",
    "years, closings: Weibull's shape; above 1 = wear-out",
)
.least("0.1")
.most("20");
const AGE: Field = Field::optional(
    "age",
    FieldKind::Number,
    "0: new",
    "3",
    "years, closings: how old it is at the start, in the unit of its life",
)
.least("0")
.most(LONGEST);

/// `life` of a fault.
pub(crate) static LIFE: Section = Section {
    name: "life",
    doc: "how long the part lasts; its end is drawn for each seed and replicate",
    fields: &[PER_YEAR, YEARS, CLOSINGS, SHAPE, AGE],
};

/// One `[[life]]`.
pub(crate) static PART_LIFE: Section = Section {
    name: "life",
    doc: "how long parts last and what is done about it, for `tepid odds`",
    fields: &[
        Field::required(
            "of",
            FieldKind::Choice(KINDS),
            "\"relay\"",
            "which kind of part; box: all contacts in one box at once; mains: an outage; alerts: no alert gets out any more",
        ),
        Field::optional(
            "part",
            FieldKind::Text,
            "every part of the kind",
            "\"relay left\"",
            "name of the one part it holds for",
        ),
        PER_YEAR,
        YEARS,
        CLOSINGS,
        SHAPE,
        AGE,
        Field::optional(
            "welds",
            FieldKind::Quantity(Kind::Share),
            "50 %",
            "\"30 %\"",
            "contacts, boxes: share of failures that weld closed, the rest stay open; breakers, residual-current devices: share after which it cannot trip, the rest trip for nothing",
        )
        .least("0 %")
        .most("100 %"),
        Field::optional(
            "tested_every",
            FieldKind::Quantity(Kind::Time),
            "never tested",
            "\"30 d\"",
            "a failure that shows nothing is looked for this often",
        )
        .above("0 s")
        .most("36600 d"),
        Field::default(
            "test_finds",
            FieldKind::Quantity(Kind::Share),
            "100 %",
            "\"90 %\"",
            "share of tests that find it",
        )
        .above("0 %")
        .most("100 %"),
        Field::default(
            "replaced_after",
            FieldKind::Quantity(Kind::Time),
            "1 d",
            "\"12 h\"",
            "from showing, or being found, to the replacement; mains: how long the outage lasts",
        )
        .least("0 s")
        .most("36600 d"),
        Field::optional(
            "from",
            FieldKind::Text,
            "stated in the scenario",
            "\"an assumption\"",
            "where its figures come from",
        ),
    ],
};

/// A file of lives.
pub(crate) static LIVES: Section = Section {
    name: "file of lives",
    doc: "how long parts last",
    fields: &[Field::optional(
        "life",
        FieldKind::Tables(&PART_LIFE),
        "nothing fails",
        "[[life]]",
        "the life of a kind of part",
    )],
};
