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
            "[\"spare-room-winter\", \"spare-room-one-big-heater\"]",
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
            "8",
            "runs of each, with other weather, noise and draws",
        )
        .least("1")
        .most("1000000"),
        Field::default("seed", FieldKind::Whole, "1", "7", "seed of all random numbers").least("0"),
        Field::optional(
            "reference",
            FieldKind::Text,
            "the first strategy",
            "\"on-off\"",
            "name of the strategy that the others are compared with",
        ),
        Field::optional(
            "duration",
            FieldKind::Quantity(Kind::Time),
            "each scenario's own",
            "\"7 d\"",
            "scored time",
        )
        .least("1 min")
        .most("3660 d"),
        Field::default(
            "scored_from",
            FieldKind::Quantity(Kind::Time),
            "0 h",
            "\"1 d\"",
            "temperatures, doses and alerts are judged from here on; a fault always from its own beginning",
        )
        .least("0 h"),
        Field::optional(
            "enough",
            FieldKind::Table(&ENOUGH),
            "all replicates are run",
            "{ score = \"overshoot\", within = \"0.02 K\" }",
            "stops adding replicates once a mean is known well enough",
        ),
        Field::optional(
            "vary",
            FieldKind::Tables(&VARY),
            "nothing varies",
            "[[vary]]",
            "a field that takes several values",
        ),
        Field::optional(
            "gate",
            FieldKind::Tables(&GATE),
            "no gates",
            "[[gate]]",
            "what must hold",
        ),
    ],
};

pub(crate) static ENOUGH: Section = Section {
    name: "enough",
    doc: "looks after 8, 16, 32 … replicates of a scenario whether a mean is known well enough for every strategy and fault; `replicates` is the most",
    fields: &[
        Field::required("score", FieldKind::Score, "\"overshoot\"", "name of the score"),
        Field::required(
            "within",
            FieldKind::Bound,
            "\"0.02 K\"",
            "half the 95 % interval of its mean",
        ),
    ],
};

/// Words for distributions of a varied field.
pub(crate) const DISTRIBUTIONS: &[&str] = &["uniform", "normal", "triangular"];

pub(crate) static VARY: Section = Section {
    name: "vary",
    doc: "a field of the scenarios or strategies that takes several values: a list, evenly spaced, or drawn anew for every replicate",
    fields: &[
        Field::required(
            "path",
            FieldKind::Text,
            "\"strategy.deadband\"",
            "path of a scenario's field, `strategy.` and a parameter, or `strategy.guard.NAME.` and a parameter",
        ),
        Field::optional(
            "values",
            FieldKind::Values,
            "see `from` and `distribution`",
            "[\"0.2 K\", \"0.4 K\", \"0.8 K\"]",
            "its values, each a variant of its own",
        ),
        Field::optional(
            "from",
            FieldKind::Value,
            "see `values`",
            "\"0.2 K\"",
            "first of evenly spaced values",
        ),
        Field::optional(
            "to",
            FieldKind::Value,
            "see `values`",
            "\"0.8 K\"",
            "last of them, in the same unit",
        ),
        Field::optional(
            "steps",
            FieldKind::Whole,
            "see `values`",
            "4",
            "how many values, both ends included",
        )
        .least("2")
        .most("1000"),
        Field::optional(
            "distribution",
            FieldKind::Choice(DISTRIBUTIONS),
            "nothing is drawn",
            "\"normal\"",
            "draws one value for each replicate, the same for every strategy",
        ),
        Field::optional(
            "low",
            FieldKind::Value,
            "needed by uniform and triangular",
            "\"150 W\"",
            "lowest value",
        ),
        Field::optional(
            "likely",
            FieldKind::Value,
            "needed by triangular",
            "\"200 W\"",
            "likeliest value",
        ),
        Field::optional(
            "high",
            FieldKind::Value,
            "needed by uniform and triangular",
            "\"250 W\"",
            "highest value",
        ),
        Field::optional(
            "mean",
            FieldKind::Value,
            "needed by normal",
            "\"200 W\"",
            "mean value",
        ),
        Field::optional(
            "spread",
            FieldKind::Value,
            "needed by normal",
            "\"10 W\"",
            "standard deviation, in the unit of the mean (K for °C)",
        ),
    ],
};

/// Words for the figure that a gate judges.
pub(crate) const GATE_OF: &[&str] = &["worst run", "mean", "worst twentieth"];

pub(crate) static GATE: Section = Section {
    name: "gate",
    doc: "a bound on a score; `tepid compare` ends with 1 where one does not hold",
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
            "scenario",
            FieldKind::Text,
            "in every scenario",
            "\"spare-room-winter\"",
            "the scenario it holds in",
        ),
        Field::optional(
            "strategy",
            FieldKind::Text,
            "for every strategy",
            "\"on-off\"",
            "the strategy it holds for",
        ),
        Field::default(
            "of",
            FieldKind::Choice(GATE_OF),
            "worst run",
            "\"mean\"",
            "which figure of the runs is judged",
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
            FieldKind::Bound,
            "not compared",
            "\"5 %\"",
            "how much worse than the kept baseline it may be: a share of it, or a difference",
        ),
    ],
};
