//! A lesson as text: the question first, the answer only for those who ask.

use super::{Column, WIDTH, cautions, grid, list};
use crate::records::{Lesson, Lessons};
use crate::wording::{Units, restated, wrapped};
use tepid_lessons::{Told, letter};

/// How much of a lesson is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LessonDepth {
    /// The question, and what may be guessed.
    Question,
    /// What the runs show, and why.
    Answer,
    /// All of it, with what is for the teacher.
    Key,
}

/// A lesson, as deep as asked for.
#[must_use]
pub fn lesson(record: &Lesson, depth: LessonDepth, units: Units) -> String {
    let lesson = &record.lesson;
    let told = |text: &str| wrapped("", &restated(text, units), WIDTH);
    let mut text = told(&lesson.title);
    text += &told(&format!(
        "{} min, age {}. {}",
        lesson.minutes, lesson.ages, lesson.aim
    ));
    text += "\nThe experiment\n";
    text += &told(&lesson.story);
    text += "\nGuess first\n";
    text += &told(&lesson.question);
    for (place, choice) in lesson.choices.iter().enumerate() {
        let mark = if depth > LessonDepth::Question && place == lesson.right {
            "* "
        } else {
            "  "
        };
        text += &wrapped(
            &format!("{mark}{}  ", letter(place)),
            &restated(choice, units),
            WIDTH,
        );
    }
    if depth == LessonDepth::Question {
        text += "\n";
        text += &told(&format!(
            "Write your guess down, with a reason. Then: tepid lesson {} --answer",
            lesson.name
        ));
    } else {
        text += &answered(lesson, units);
    }
    if depth == LessonDepth::Key {
        let items: Vec<String> = lesson
            .for_the_teacher
            .iter()
            .map(|one| restated(one, units))
            .collect();
        text += &list("For the teacher", items.iter().map(String::as_str));
    }
    text + &cautions(&record.cautions)
}

/// What the runs show, and why.
fn answered(lesson: &Told, units: Units) -> String {
    let told = |text: &str| wrapped("", &restated(text, units), WIDTH);
    let mut text = format!("\nWhat came out (* right: {})\n", letter(lesson.right));
    text += &figures(lesson, units);
    text += "\nAnswer\n";
    text += &told(&lesson.answer);
    text += "\nWhy\n";
    text += &lesson
        .explanation
        .iter()
        .map(|paragraph| told(paragraph))
        .collect::<Vec<_>>()
        .join("\n");
    text += &format!("\nThe equation\n    {}\n", lesson.equation.formula);
    let symbols = &lesson.equation.symbols;
    let widest = symbols
        .iter()
        .map(|one| one.symbol.chars().count())
        .max()
        .unwrap_or(0);
    for one in symbols {
        text += &wrapped(&format!("    {:<widest$}  ", one.symbol), &one.meaning, WIDTH);
    }
    text += &wrapped("    ", &lesson.equation.source, WIDTH);
    text += "\nChange next\n";
    for next in &lesson.next {
        text += &wrapped("- ", &restated(&next.words, units), WIDTH);
        // On one line, however long: it is there to be copied.
        text += &format!("    {}\n", next.command);
    }
    text
}

/// What was read off every run.
fn figures(lesson: &Told, units: Units) -> String {
    const FIRST: u16 = 36;
    let each = (WIDTH as u16 - FIRST) / u16::try_from(lesson.columns.len().max(1)).unwrap_or(1);
    let heads: Vec<String> = lesson
        .columns
        .iter()
        .map(|column| restated(&column.words, units))
        .collect();
    let mut columns = vec![Column::words("", FIRST)];
    columns.extend(heads.iter().map(|head| Column::figures(head, each)));
    let rows = lesson.set_ups.iter().map(|set_up| {
        let figures = set_up.words.iter().map(|figure| restated(figure, units));
        std::iter::once(restated(&set_up.label, units))
            .chain(figures)
            .collect()
    });
    grid(&columns, rows.collect())
}

/// What lessons there are.
#[must_use]
pub fn lessons(record: &Lessons) -> String {
    let columns = [
        Column::words("Lesson", 18),
        Column::words("", 54),
        Column::figures("Minutes", 11),
        Column::figures("Age", 12),
    ];
    let rows = record.lessons.iter().map(|one| {
        vec![
            one.name.clone(),
            one.title.clone(),
            one.minutes.to_string(),
            one.ages.clone(),
        ]
    });
    let mut text = grid(&columns, rows.collect());
    text += "\nThe question of one: tepid lesson NAME. Its answer: tepid lesson NAME --answer\n";
    text += "To print: tepid lesson NAME -o handout.html\n";
    text
}
