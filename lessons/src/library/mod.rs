//! The lessons, one file each.

mod big_heater;
mod two_halves;

use crate::lesson::Lesson;

/// In the order in which a class would take them.
const LESSONS: [Lesson; 2] = [big_heater::LESSON, two_halves::LESSON];

/// All lessons, in the order in which a class would take them.
#[must_use]
pub fn lessons() -> &'static [Lesson] {
    &LESSONS
}

/// A lesson by name.
#[must_use]
pub fn lesson(name: &str) -> Option<&'static Lesson> {
    LESSONS.iter().find(|lesson| lesson.name == name)
}
