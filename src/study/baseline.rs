//! A kept result that later ones are held against.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use tepid_output::records::{FORMAT_VERSION, StudyGroup, StudyResult};
use tepid_scenarios::{GateFigure, SCORES, Study};
use tepid_sim::quantity::print_millis;
use tepid_sim::time::Millis;

use super::gates::figure_of;

/// The figures of a study at a time when they were found good.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Baseline {
    format: BaselineFormat,
    version: u32,
    /// The study's name.
    pub study: String,
    /// What was run: figures of other conditions are nothing to hold these against.
    conditions: Conditions,
    /// One per group, by "scenario / strategy / fault set: case".
    groups: BTreeMap<String, BTreeMap<String, Figures>>,
}

/// What is the same in two studies whose figures may be held against each other; strategies, their settings and scenarios may change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
struct Conditions {
    seed: u64,
    replicates: u64,
    /// `None`: each scenario's own.
    duration_ms: Option<Millis>,
    scored_from_ms: Millis,
}

impl From<&Study> for Conditions {
    fn from(study: &Study) -> Self {
        Self {
            seed: study.seed,
            replicates: study.replicates,
            duration_ms: study.duration_ms,
            scored_from_ms: study.scored_from_ms,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
enum BaselineFormat {
    #[serde(rename = "tepid-baseline")]
    Baseline,
}

/// The figures of one score in one group, in its published unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
struct Figures {
    worst_run: f64,
    mean: f64,
    worst_twentieth: f64,
}

/// A file that is no baseline.
#[derive(Debug, thiserror::Error)]
pub enum BaselineError {
    /// It is not of the form.
    #[error("not a baseline that `--save-baseline` wrote: {0}")]
    Form(#[from] serde_json::Error),
    /// It was kept under other conditions.
    #[error(
        "kept with another {what} than this study has ({kept} and {now}), so its figures are nothing to hold these against; save it anew with --save-baseline"
    )]
    OtherConditions {
        /// What differs.
        what: &'static str,
        /// As it was.
        kept: String,
        /// As it is.
        now: String,
    },
    /// It is of another version.
    #[error(
        "a baseline of format version {found}; this program reads version {FORMAT_VERSION}: save it anew"
    )]
    Version {
        /// The version found.
        found: u32,
    },
}

impl Baseline {
    /// From a result.
    #[must_use]
    pub fn new(study: &Study, result: &StudyResult) -> Self {
        let groups = result.groups.iter().map(|group| {
            let scores = group.scores.iter().filter_map(|summary| {
                let name = SCORES.iter().find(|score| score.name == summary.score)?;
                let figure = |of| figure_of(summary, of, name.worse);
                let figures = Figures {
                    worst_run: figure(GateFigure::WorstRun),
                    mean: figure(GateFigure::Mean),
                    worst_twentieth: figure(GateFigure::WorstTwentieth),
                };
                Some((summary.score.clone(), figures))
            });
            (key(group), scores.collect())
        });
        Self {
            format: BaselineFormat::Baseline,
            version: FORMAT_VERSION,
            study: result.name.clone(),
            conditions: Conditions::from(study),
            groups: groups.collect(),
        }
    }

    /// From the text of its file, to hold a study against.
    ///
    /// # Errors
    /// [`BaselineError`].
    pub fn read(text: &str, study: &Study) -> Result<Self, BaselineError> {
        let baseline: Self = serde_json::from_str(text)?;
        if baseline.version != FORMAT_VERSION {
            return Err(BaselineError::Version {
                found: baseline.version,
            });
        }
        let (kept, now) = (baseline.conditions, Conditions::from(study));
        let time = |ms: Option<Millis>| ms.map_or_else(|| "each scenario's own".to_owned(), print_millis);
        let differ = [
            ("seed", kept.seed.to_string(), now.seed.to_string()),
            (
                "number of replicates",
                kept.replicates.to_string(),
                now.replicates.to_string(),
            ),
            ("duration", time(kept.duration_ms), time(now.duration_ms)),
            (
                "beginning of scoring",
                time(Some(kept.scored_from_ms)),
                time(Some(now.scored_from_ms)),
            ),
        ];
        match differ.into_iter().find(|(_, kept, now)| kept != now) {
            None => Ok(baseline),
            Some((what, kept, now)) => Err(BaselineError::OtherConditions { what, kept, now }),
        }
    }

    /// The kept figure; `None`: none is kept for this group and score.
    pub(super) fn figure(&self, group: &StudyGroup, score: &str, of: GateFigure) -> Option<f64> {
        let figures = self.groups.get(&key(group))?.get(score)?;
        Some(match of {
            GateFigure::WorstRun => figures.worst_run,
            GateFigure::Mean => figures.mean,
            GateFigure::WorstTwentieth => figures.worst_twentieth,
        })
    }
}

fn key(group: &StudyGroup) -> String {
    format!(
        "{} / {} / {}: {}",
        group.scenario, group.strategy, group.fault_set, group.case
    )
}
