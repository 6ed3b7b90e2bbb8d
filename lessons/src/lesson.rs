//! What a lesson is made of.

use tepid_scenarios::Report;

use crate::column::{Column, Runs};
use crate::set_up::{Prepared, SetUp};
use crate::told::{Told, told};
use tepid_sim::scores::Scores;

/// A guided experiment. All its figures come from its runs; its texts have places for them.
#[derive(Debug, Clone, Copy)]
pub struct Lesson {
    /// Name as used on the command line.
    pub name: &'static str,
    /// For people.
    pub title: &'static str,
    /// What somebody knows afterwards.
    pub aim: &'static str,
    /// How long it takes, min.
    pub minutes: u32,
    /// For whom: "12 to 16".
    pub ages: &'static str,
    /// What stands there and what happens to it.
    pub story: &'static str,
    /// The question to guess first.
    pub question: &'static str,
    /// What may be guessed.
    pub choices: &'static [&'static str],
    /// What is run.
    pub set_ups: fn() -> Vec<SetUp>,
    /// What is read off every run.
    pub columns: &'static [Column],
    /// How it is drawn.
    pub picture: Picture,
    /// Which choice is right, by its place: what the author says. A test holds it to `shown`.
    pub key: usize,
    /// Which choice the runs show; `None`: none of them clearly.
    pub shown: fn(&Runs) -> Option<usize>,
    /// The answer in a sentence or two.
    pub answer: fn(&Runs) -> String,
    /// Why, one paragraph each.
    pub explanation: fn(&Runs) -> Vec<String>,
    /// The equation behind it.
    pub equation: Equation,
    /// What to change next.
    pub next: &'static [Next],
    /// For whoever leads the class: what they will say, and what to ask back.
    pub for_the_teacher: fn(&Runs) -> Vec<String>,
}

/// How a lesson is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Picture {
    /// The whole course of every set-up, with band and danger lines.
    Course,
    /// Some hours of switching, with the heaters' power below.
    Cycle {
        /// From this hour on.
        from_h: i64,
        /// For so many hours.
        for_h: i64,
    },
}

/// An equation with its symbols.
#[derive(Debug, Clone, Copy)]
pub struct Equation {
    /// As it is written.
    pub formula: &'static str,
    /// Symbols and what they mean, with their units.
    pub symbols: &'static [(&'static str, &'static str)],
    /// Where it stands.
    pub source: &'static str,
}

/// Something to change next.
#[derive(Debug, Clone, Copy)]
pub struct Next {
    /// What to look for.
    pub words: &'static str,
    /// The command that does it, as printed.
    pub command: &'static str,
}

impl Lesson {
    /// The lesson with all its figures, from the scores of its set-ups in their order.
    ///
    /// # Errors
    /// The runs decide for none of the choices.
    pub fn tell(&self, prepared: &[Prepared], scores: &[Scores]) -> Result<Told, LessonError> {
        told(self, prepared, scores)
    }
}

/// A lesson that could not be given.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LessonError {
    /// A set-up has a mistake in it.
    #[error("the set-up `{label}`: {}", report.plain())]
    SetUp {
        /// Which.
        label: &'static str,
        /// The mistake.
        report: Box<Report>,
    },
    /// The runs decide for none of the choices.
    #[error("the runs of {0} decide for none of its choices")]
    Undecided(&'static str),
}
