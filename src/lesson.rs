//! A lesson, run: its figures, its picture, and its cautions.

use rayon::prelude::*;
use tepid_lessons::{Lesson, LessonError, Picture, Prepared, Told, ToldSetUp, lessons, prepare};
use tepid_output::cautions;
use tepid_output::plot::{CycleOf, Drawing, Figure, SetUpOf, TraceRecorder};
use tepid_output::records::{
    FORMAT_VERSION, Lesson as LessonRecord, LessonLine, Lessons, Livestock, RecordKind,
};
use tepid_output::wording::Units;
use tepid_sim::run::{RunError, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::scores::Scores;
use tepid_sim::time::HOUR;

/// Pixel columns of a picture's width.
const COLUMNS: usize = 700;

/// A lesson that could not be given.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum GivenError {
    /// The lesson itself.
    #[error(transparent)]
    Lesson(#[from] LessonError),
    /// A run of it.
    #[error("{set_up}: {cause}")]
    Run {
        /// Of which set-up.
        set_up: &'static str,
        /// Why.
        cause: RunError,
    },
}

/// A lesson as its runs fill it, and its picture.
#[derive(Debug)]
pub struct Given {
    /// The record.
    pub record: LessonRecord,
    /// The picture.
    pub figure: Figure,
}

/// Runs a lesson.
///
/// # Errors
/// A set-up or a run that fails, or runs that decide for no choice: mistakes of ours, which a test of all lessons looks for.
pub fn given(lesson: &Lesson) -> Result<Given, GivenError> {
    let prepared = prepare(lesson)?;
    let ran: Vec<(Scores, TraceRecorder)> = prepared
        .par_iter()
        .map(|one| {
            let mut recorder = recorder(lesson.picture, &one.scenario);
            let scores = run(&one.request(), Some(&mut recorder)).map_err(|cause| GivenError::Run {
                set_up: one.set_up.label,
                cause,
            })?;
            Ok((scores, recorder))
        })
        .collect::<Result<_, GivenError>>()?;
    let (scores, recorders): (Vec<Scores>, Vec<TraceRecorder>) = ran.into_iter().unzip();
    let told = lesson.tell(&prepared, &scores)?;
    let said = said(&prepared);
    let figure = Figure {
        title: told.title.clone(),
        subtitle: told.question.clone(),
        drawing: drawing(lesson.picture, &told, &prepared, recorders),
        cautions: said.clone(),
        units: Units::Metric,
    };
    Ok(Given {
        record: LessonRecord {
            format: RecordKind::Lesson,
            version: FORMAT_VERSION,
            lesson: told,
            cautions: said,
        },
        figure,
    })
}

/// What lessons there are.
#[must_use]
pub fn listed() -> Lessons {
    let line = |lesson: &Lesson| LessonLine {
        name: lesson.name.to_owned(),
        title: lesson.title.to_owned(),
        question: lesson.question.to_owned(),
        minutes: lesson.minutes,
        ages: lesson.ages.to_owned(),
    };
    Lessons {
        format: RecordKind::Lessons,
        version: FORMAT_VERSION,
        lessons: lessons().iter().map(line).collect(),
    }
}

/// What must be said beside the lesson: for all that happens in it and stands in it.
fn said(prepared: &[Prepared]) -> Vec<cautions::Cautioned> {
    cautions::gathered(prepared.iter().flat_map(|one| {
        let mut all = cautions::for_happenings(&one.scenario, &one.scenario.happenings);
        all.extend(cautions::for_equipment(&one.scenario));
        all
    }))
}

fn recorder(picture: Picture, scenario: &Scenario) -> TraceRecorder {
    let (from_ms, to_ms) = match picture {
        Picture::Course => (0, scenario.duration_ms),
        Picture::Cycle { from_h, for_h } => (from_h * HOUR, (from_h + for_h) * HOUR),
    };
    TraceRecorder::new(from_ms, to_ms, COLUMNS)
}

fn drawing(picture: Picture, told: &Told, prepared: &[Prepared], recorders: Vec<TraceRecorder>) -> Drawing {
    let each = prepared.iter().zip(&told.set_ups).zip(recorders);
    match picture {
        Picture::Cycle { .. } => Drawing::Cycle(
            each.map(|((one, set_up), recorder)| {
                let tank = one
                    .scenario
                    .tanks
                    .iter()
                    .position(|tank| tank.livestock)
                    .unwrap_or(0);
                CycleOf {
                    strategy: set_up.label.clone(),
                    course: recorder.finish(),
                    tank,
                    tank_name: one.scenario.tanks[tank].name.clone(),
                    rated_w: one.scenario.heaters.iter().map(|heater| heater.power_w).sum(),
                    band_c: [one.scenario.water.band_c.0, one.scenario.water.band_c.1],
                }
            })
            .collect(),
        ),
        Picture::Course => Drawing::SideBySide(
            each.map(|((one, set_up), recorder)| {
                let tanks = one.scenario.tanks.iter().enumerate();
                SetUpOf {
                    label: set_up.label.clone(),
                    told: in_words(told, set_up),
                    course: recorder.finish(),
                    tanks: tanks
                        .filter(|(_, tank)| tank.livestock)
                        .map(|(place, tank)| (place, tank.name.clone()))
                        .collect(),
                    band_c: [one.scenario.water.band_c.0, one.scenario.water.band_c.1],
                    livestock: Livestock::from(&one.scenario.livestock),
                    broken_ms: one.failure_ms(),
                }
            })
            .collect(),
        ),
    }
}

/// The first two figures of a set-up: "warmest water: 32.9 °C, dose used: 13 %".
fn in_words(told: &Told, set_up: &ToldSetUp) -> String {
    let figures = told.columns.iter().zip(&set_up.words).take(2);
    let each = figures.map(|(column, figure)| format!("{}: {figure}", begun_small(&column.words)));
    each.collect::<Vec<_>>().join(", ")
}

/// With a small first letter: "warmest water".
fn begun_small(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_lowercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
