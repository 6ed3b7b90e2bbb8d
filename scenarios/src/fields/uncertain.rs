//! `[[uncertain]]` of a file of distributions.

use super::{Field, FieldKind, Section};

/// Words for parameters; `crate::uncertainty` gives each its meaning.
pub(crate) const PARAMETERS: &[&str] = &[
    "evaporation",
    "agitation",
    "open share under a net",
    "open share under a lid",
    "outer film",
    "free sides",
    "inner film",
    "surroundings",
    "room",
    "humidity",
    "lamp share",
    "pump power",
    "heater rating",
    "water level",
    "cabinet",
    "assumed height",
    "assumed length",
];

/// Words for units of the numbers.
pub(crate) const UNITS: &[&str] = &["factor", "difference", "K", "m2 K/W"];

pub(crate) static UNCERTAINTY: Section = Section {
    name: "file of distributions",
    doc: "what is not known of a tank, and how badly",
    fields: &[Field::optional(
        "uncertain",
        FieldKind::Tables(&UNCERTAIN),
        "nothing is uncertain",
        "[]",
        "one uncertain parameter",
    )],
};

pub(crate) static UNCERTAIN: Section = Section {
    name: "uncertain",
    doc: "one uncertain parameter and its distribution",
    fields: &[
        Field::required(
            "parameter",
            FieldKind::Choice(PARAMETERS),
            "\"agitation\"",
            "what is uncertain",
        ),
        Field::required(
            "words",
            FieldKind::Text,
            "\"how stirred the surface is\"",
            "the same for people",
        ),
        Field::required(
            "distribution",
            FieldKind::Choice(&["uniform", "normal", "triangular", "lognormal"]),
            "\"triangular\"",
            "its shape",
        ),
        Field::required(
            "unit",
            FieldKind::Choice(UNITS),
            "\"factor\"",
            "unit of its numbers: a factor multiplies, everything else adds",
        ),
        number("low", "uniform, triangular: lowest value", "0.8"),
        number("high", "uniform, triangular: highest value", "1.7"),
        number("likely", "triangular: likeliest value", "1.0"),
        number("mean", "normal: mean", "0.0"),
        number("median", "lognormal: median, above 0", "1.0"),
        number(
            "spread",
            "normal, lognormal: standard deviation (lognormal: of the natural logarithm)",
            "0.2",
        ),
        Field::required(
            "from",
            FieldKind::Text,
            "\"an assumption\"",
            "where its numbers come from",
        ),
    ],
};

const fn number(name: &'static str, doc: &'static str, example: &'static str) -> Field {
    Field::optional(
        name,
        FieldKind::Number,
        "must be stated where the distribution has it",
        example,
        doc,
    )
}
