//! Study files: what is compared, and what must hold.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Section};

pub(crate) static STUDY: Section = Section {
    name: "study",
    doc: "what is compared, and what must hold",
    fields: &[
        Field::optional(
            "title",
            FieldKind::Text,
            "the file's name",
            "\"One or two heaters\"",
            "one line for people",
        ),
        Field::required(
            "scenarios",
            FieldKind::Scenarios,
            "[\"spare-room-winter\"]",
            "names, paths or variants of scenarios",
        ),
        Field::optional(
            "strategies",
            FieldKind::Strategies,
            "all that apply",
            "[\"on-off\", \"proportional\", { strategy = \"on-off\", name = \"narrow\", deadband = \"0.2 K\" }]",
            "names, paths or settings of strategies",
        ),
        Field::optional(
            "faults",
            FieldKind::Texts,
            "none, one contact welded",
            "[\"none\", \"one contact welded\"]",
            "names of fault sets",
        ),
        Field::default(
            "replicates",
            FieldKind::Whole,
            "1",
            "20",
            "runs of each, with other weather, noise and draws",
        )
        .least("1")
        .most("1000000"),
        Field::default("seed", FieldKind::Whole, "1", "7", "seed of all random numbers").least("0"),
        Field::optional(
            "vary",
            FieldKind::Tables(&VARY),
            "nothing varies",
            "[[vary]]",
            "what is varied; not yet carried out",
        ),
        Field::optional(
            "gate",
            FieldKind::Tables(&GATE),
            "no gates",
            "[[gate]]",
            "what must hold; not yet carried out",
        ),
    ],
};

pub(crate) static VARY: Section = Section {
    name: "vary",
    doc: "a field of the scenarios or strategies that takes several values; checked, but not yet carried out: compare refuses it",
    fields: &[
        Field::required(
            "path",
            FieldKind::Text,
            "\"strategy.deadband\"",
            "path of a scenario's field, or `strategy.` and a parameter",
        ),
        Field::required(
            "values",
            FieldKind::Values,
            "[\"0.2 K\", \"0.4 K\", \"0.8 K\"]",
            "its values",
        ),
    ],
};

pub(crate) static GATE: Section = Section {
    name: "gate",
    doc: "a bound on a score that the study should keep; checked, but not yet carried out: compare refuses it",
    fields: &[
        Field::required(
            "score",
            FieldKind::Score,
            "\"hot dose used\"",
            "name of the score",
        ),
        Field::optional(
            "under",
            FieldKind::Text,
            "under every fault set",
            "\"one contact welded\"",
            "the fault set it holds under",
        ),
        Field::optional(
            "at_most",
            FieldKind::Bound,
            "no upper bound",
            "\"50 %\"",
            "largest value that holds",
        ),
        Field::optional(
            "at_least",
            FieldKind::Bound,
            "no lower bound",
            "\"0 h\"",
            "smallest value that holds",
        ),
        Field::optional(
            "no_worse_than_baseline",
            FieldKind::Quantity(Kind::Share),
            "not compared",
            "\"5 %\"",
            "how much worse than the kept baseline it may be",
        )
        .least("0 %"),
    ],
};
