//! Sun: `[[sun]]` on a tank, `sun` through the windows of a building.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Of, Section};

const PEAK: Field = Field::optional(
    "peak",
    FieldKind::Quantity(Kind::Power),
    "give `area`",
    "\"80 W\"",
    "heat at the middle of the stretch between `from` and `until`, a half sine",
)
.least("0 W")
.most("20 kW");
const FROM: Field = Field::optional(
    "from",
    FieldKind::TimeOfDay,
    "give `area`",
    "\"09:00\"",
    "it shines from this time of day",
);
const UNTIL: Field = Field::optional(
    "until",
    FieldKind::TimeOfDay,
    "give `area`",
    "\"13:00\"",
    "it shines until this time of day",
);
const AREA: Field = Field::optional(
    "area",
    FieldKind::Quantity(Kind::Area),
    "give `peak`",
    "\"0.3 m²\"",
    "level area times the share of the sun that gets through; needs a weather file with sun",
)
.least("0 m²")
.most("1000 m²");

pub(crate) static SUN: Section = Section {
    name: "sun",
    doc: "direct sun on a tank, by the clock or from the weather file",
    fields: &[
        Field::required("name", FieldKind::Text, "\"morning sun\"", "its name"),
        Field::optional(
            "tank",
            FieldKind::Reference(Of::Tank),
            "the only tank",
            "\"display\"",
            "the tank it shines on",
        ),
        PEAK,
        FROM,
        UNTIL,
        AREA,
    ],
};

pub(crate) static WINDOW_SUN: Section = Section {
    name: "sun",
    doc: "sun through the windows, by the clock or from the weather file",
    fields: &[PEAK, FROM, UNTIL, AREA],
};
