//! A lesson with all its figures: the published form.

use serde::{Deserialize, Serialize};
use tepid_sim::scores::Scores;

use crate::column::{Run, Runs, Unit};
use crate::lesson::{Lesson, LessonError};
use crate::set_up::Prepared;
use crate::words;

/// A lesson as its runs fill it. Texts are metric.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Told {
    /// Name as used on the command line.
    pub name: String,
    /// For people.
    pub title: String,
    /// What somebody knows afterwards.
    pub aim: String,
    /// How long it takes, min.
    pub minutes: u32,
    /// For whom: "12 to 16".
    pub ages: String,
    /// What stands there and what happens to it.
    pub story: String,
    /// The question to guess first.
    pub question: String,
    /// What may be guessed.
    pub choices: Vec<String>,
    /// What is read off every run.
    pub columns: Vec<ToldColumn>,
    /// What was run.
    pub set_ups: Vec<ToldSetUp>,
    /// Which choice is right, by its place: the one that the runs show.
    pub right: usize,
    /// The answer in a sentence or two.
    pub answer: String,
    /// Why, one paragraph each.
    pub explanation: Vec<String>,
    /// The equation behind it.
    pub equation: ToldEquation,
    /// What to change next.
    pub next: Vec<ToldNext>,
    /// For whoever leads the class.
    pub for_the_teacher: Vec<String>,
}

/// A column of the table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ToldColumn {
    /// What it is.
    pub words: String,
    /// Its unit.
    pub unit: Unit,
}

/// A set-up with its figures.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ToldSetUp {
    /// What it is called.
    pub label: String,
    /// Its scenario, as a file.
    pub scenario: String,
    /// Its strategy, as a file.
    pub strategy: String,
    /// The strategy's name.
    pub strategy_name: String,
    /// Its figures, in the order of the columns.
    pub values: Vec<Option<f64>>,
    /// The same in words.
    pub words: Vec<String>,
}

/// An equation with its symbols.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ToldEquation {
    /// As it is written.
    pub formula: String,
    /// Its symbols.
    pub symbols: Vec<ToldSymbol>,
    /// Where it stands.
    pub source: String,
}

/// A symbol of an equation.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ToldSymbol {
    /// As it is written.
    pub symbol: String,
    /// What it means, with its unit.
    pub meaning: String,
}

/// Something to change next.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ToldNext {
    /// What to look for.
    pub words: String,
    /// The command that does it.
    pub command: String,
}

/// The letter of a choice by its place: "A".
#[must_use]
pub fn letter(place: usize) -> char {
    char::from(b'A' + (place % 26) as u8)
}

/// Fills a lesson from the scores of its set-ups.
pub(crate) fn told(lesson: &Lesson, prepared: &[Prepared], scores: &[Scores]) -> Result<Told, LessonError> {
    let each = prepared.iter().zip(scores).map(|(prepared, scores)| Run {
        scenario: &prepared.scenario,
        scores,
    });
    let runs = Runs::new(each.collect(), lesson.columns);
    let right = (lesson.shown)(&runs).ok_or(LessonError::Undecided(lesson.name))?;
    let set_ups = prepared.iter().zip(&runs.runs).map(|(prepared, run)| {
        let values: Vec<Option<f64>> = lesson.columns.iter().map(|column| (column.value)(run)).collect();
        ToldSetUp {
            label: prepared.set_up.label.to_owned(),
            scenario: prepared.set_up.scenario.clone(),
            strategy: prepared.set_up.strategy.clone(),
            strategy_name: prepared.strategy.strategy.to_owned(),
            words: lesson
                .columns
                .iter()
                .zip(&values)
                .map(|(column, value)| words::figure(column.unit, value.unwrap_or(f64::NAN), column.missing))
                .collect(),
            values,
        }
    });
    Ok(Told {
        name: lesson.name.to_owned(),
        title: lesson.title.to_owned(),
        aim: lesson.aim.to_owned(),
        minutes: lesson.minutes,
        ages: lesson.ages.to_owned(),
        story: lesson.story.to_owned(),
        question: lesson.question.to_owned(),
        choices: lesson.choices.iter().map(|choice| (*choice).to_owned()).collect(),
        columns: lesson
            .columns
            .iter()
            .map(|column| ToldColumn {
                words: column.words.to_owned(),
                unit: column.unit,
            })
            .collect(),
        set_ups: set_ups.collect(),
        right,
        answer: (lesson.answer)(&runs),
        explanation: (lesson.explanation)(&runs),
        equation: ToldEquation {
            formula: lesson.equation.formula.to_owned(),
            symbols: lesson
                .equation
                .symbols
                .iter()
                .map(|(symbol, meaning)| ToldSymbol {
                    symbol: (*symbol).to_owned(),
                    meaning: (*meaning).to_owned(),
                })
                .collect(),
            source: lesson.equation.source.to_owned(),
        },
        next: lesson
            .next
            .iter()
            .map(|next| ToldNext {
                words: next.words.to_owned(),
                command: next.command.to_owned(),
            })
            .collect(),
        for_the_teacher: (lesson.for_the_teacher)(&runs),
    })
}
