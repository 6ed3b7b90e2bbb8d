//! The lessons, one file each.

mod alert;
mod average;
mod big_heater;
mod cold_and_hot;
mod cut_out;
mod deadband;
mod fan_and_damp;
mod outage;
mod probe_place;
mod pump_off;
mod two_halves;

use crate::lesson::Lesson;

/// In the order in which a class would take them.
const LESSONS: [Lesson; 11] = [
    big_heater::LESSON,
    two_halves::LESSON,
    deadband::LESSON,
    probe_place::LESSON,
    pump_off::LESSON,
    fan_and_damp::LESSON,
    outage::LESSON,
    cut_out::LESSON,
    alert::LESSON,
    cold_and_hot::LESSON,
    average::LESSON,
];

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
