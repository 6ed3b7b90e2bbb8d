//! Names of scores that gates may bound, with the kind of their values.

use tepid_sim::quantity::Kind;

use crate::mistakes::shortened;
use crate::nearest::nearest;
use crate::problem::{Problem, Reported};
use crate::reader::Reader;

/// A score that a gate may bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScoreName {
    /// As in files.
    pub name: &'static str,
    /// Kind of its values.
    pub kind: Kind,
    /// Which side is the worse one.
    pub worse: Worse,
    /// Whether it has a value under a fault: what adds up over a run has none, since runs under a fault end 72 h after it began, whenever that was.
    pub under_faults: bool,
    /// One plain line.
    pub doc: &'static str,
}

/// Which values of a score are worse than others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Worse {
    /// Larger ones.
    Larger,
    /// Smaller ones.
    Smaller,
}

impl ScoreName {
    /// A value in the inside unit of its kind as results show it.
    #[must_use]
    pub fn shown(&self, inside: f64) -> f64 {
        match self.kind {
            Kind::Time => inside / SECONDS_PER_HOUR,
            Kind::Energy => inside / JOULES_PER_KWH,
            Kind::Volume => inside * LITRES_PER_M3,
            _ => inside,
        }
    }

    /// Whether it has a value under one of these fault sets.
    #[must_use]
    pub fn has_value_among(&self, faults: &[String]) -> bool {
        self.under_faults || faults.iter().any(|fault| fault == crate::fault_sets::NONE)
    }

    /// The kind of a difference of two of its values.
    #[must_use]
    pub fn kind_of_difference(&self) -> Kind {
        match self.kind {
            Kind::Temperature => Kind::TemperatureDifference,
            kind => kind,
        }
    }

    /// Whether a value is worse than another.
    #[must_use]
    pub fn is_worse(&self, value: f64, than: f64) -> bool {
        match self.worse {
            Worse::Larger => value > than,
            Worse::Smaller => value < than,
        }
    }
}

/// Inside, times are seconds.
const SECONDS_PER_HOUR: f64 = 3600.0;
/// Inside, energies are joules.
const JOULES_PER_KWH: f64 = 3.6e6;
/// Inside, volumes are cubic metres.
const LITRES_PER_M3: f64 = 1000.0;

const fn score(name: &'static str, kind: Kind, doc: &'static str) -> ScoreName {
    ScoreName {
        name,
        kind,
        worse: Worse::Larger,
        under_faults: true,
        doc,
    }
}

/// One that adds up over a run.
const fn adding_up(name: &'static str, kind: Kind, doc: &'static str) -> ScoreName {
    ScoreName {
        under_faults: false,
        ..score(name, kind, doc)
    }
}

/// One of which smaller values are worse.
const fn small_is_worse(name: &'static str, kind: Kind, doc: &'static str) -> ScoreName {
    ScoreName {
        worse: Worse::Smaller,
        ..score(name, kind, doc)
    }
}

/// All of them.
pub const SCORES: &[ScoreName] = &[
    score(
        "overshoot",
        Kind::TemperatureDifference,
        "highest temperature above the target",
    ),
    score(
        "undershoot",
        Kind::TemperatureDifference,
        "lowest temperature below the target",
    ),
    score(
        "highest temperature",
        Kind::Temperature,
        "highest temperature of the water",
    ),
    small_is_worse(
        "lowest temperature",
        Kind::Temperature,
        "lowest temperature of the water",
    ),
    score("time above band", Kind::Time, "time above the band"),
    score("time below band", Kind::Time, "time below the band"),
    score(
        "rms deviation",
        Kind::TemperatureDifference,
        "root of the mean square deviation from the target",
    ),
    score(
        "fastest change per hour",
        Kind::TemperatureDifference,
        "largest change within an hour",
    ),
    score(
        "fastest change per day",
        Kind::TemperatureDifference,
        "largest change within a day",
    ),
    score(
        "hot dose used",
        Kind::Share,
        "how much of what livestock bears was used up by warmth; 100 % = used up",
    ),
    score(
        "cold dose used",
        Kind::Share,
        "how much of what livestock bears was used up by cold; 100 % = used up",
    ),
    score(
        "closings per day",
        Kind::Number,
        "closings of the busiest contact per day",
    ),
    score(
        "recovery",
        Kind::Time,
        "longest time until the water was inside the band again after something ended",
    ),
    score(
        "tanks past the dose",
        Kind::Number,
        "tanks with livestock that used up a dose",
    ),
    score(
        "water at risk",
        Kind::Volume,
        "water of the tanks that used up a dose",
    ),
    small_is_worse(
        "lowest oxygen saturation",
        Kind::Share,
        "lowest oxygen in the water as a share of what air would keep in it; where stock is stated",
    ),
    adding_up(
        "energy",
        Kind::Energy,
        "all electricity of the system over the scored time; only with nothing broken",
    ),
    adding_up(
        "cost",
        Kind::Number,
        "its cost in the scenario's currency; only with nothing broken",
    ),
    score(
        "hottest heater body",
        Kind::Temperature,
        "highest temperature of a heater's tube",
    ),
    small_is_worse(
        "warning lead",
        Kind::Time,
        "time the dose was used up less time somebody heard of an alert; nobody: as if heard at the end of the run",
    ),
    score(
        "nuisance alerts per year",
        Kind::Number,
        "alerts with nothing broken and no tank in danger, per year",
    ),
];

/// The score of that name.
#[must_use]
pub fn score_named(name: &str) -> Option<&'static ScoreName> {
    SCORES.iter().find(|score| score.name == name)
}

/// A score that adds up over a run, in a study without runs that nothing is broken in.
pub(crate) fn never_a_value(score: &ScoreName, place: &crate::source::Place) -> Problem {
    let message = format!("`{}` has no value in any run of this study", score.name);
    Problem::new("no-score-under-faults", place, message)
        .label("would never be judged")
        .expected("\"none\" among the faults: runs under a fault end at times of their own, so what adds up over them cannot be compared")
}

/// The score that a field names.
pub(crate) fn known_score(reader: &Reader<'_>, field: &str) -> Result<ScoreName, Reported> {
    let name = reader.text(field)?;
    score_named(&name).copied().ok_or_else(|| {
        let known = SCORES.iter().map(|score| score.name);
        let problem = Problem::new(
            "unknown-score",
            reader.place_of(field),
            format!("no score is named `{name}`"),
        )
        .label("no such score")
        .found(shortened(&name))
        .expected(format!("one of {}", known.clone().collect::<Vec<_>>().join(", ")))
        .nearest(nearest(&name, known));
        reader.report(problem)
    })
}
