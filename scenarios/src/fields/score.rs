//! Names of scores that gates may bound, with the kind of their values.

use tepid_sim::quantity::Kind;

/// A score that a gate may bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScoreName {
    /// As in files.
    pub name: &'static str,
    /// Kind of its values.
    pub kind: Kind,
    /// One plain line.
    pub doc: &'static str,
}

const fn score(name: &'static str, kind: Kind, doc: &'static str) -> ScoreName {
    ScoreName { name, kind, doc }
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
    score(
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
    score("energy", Kind::Energy, "all electricity of the system"),
    score("cost", Kind::Number, "its cost in the scenario's currency"),
    score(
        "hottest heater body",
        Kind::Temperature,
        "highest temperature of a heater's tube",
    ),
    score(
        "warning lead",
        Kind::Time,
        "time the dose was used up less time somebody heard of an alert",
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
