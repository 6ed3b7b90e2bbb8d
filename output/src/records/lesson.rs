//! A lesson: a question to guess first, what its runs show, and what to change next.

use serde::{Deserialize, Serialize};
use tepid_lessons::Told;

use super::RecordKind;
use crate::cautions::Cautioned;

/// A lesson with the figures of its runs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Lesson {
    /// [`RecordKind::Lesson`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// The lesson. Texts are metric.
    pub lesson: Told,
    /// Cautions that belong to it.
    pub cautions: Vec<Cautioned>,
}

/// What lessons there are.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lessons {
    /// [`RecordKind::Lessons`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// In the order in which a class would take them.
    pub lessons: Vec<LessonLine>,
}

/// One lesson among others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LessonLine {
    /// Name as used on the command line.
    pub name: String,
    /// For people.
    pub title: String,
    /// The question to guess first.
    pub question: String,
    /// How long it takes, min.
    pub minutes: u32,
    /// For whom: "12 to 16".
    pub ages: String,
}
