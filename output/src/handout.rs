//! A lesson to print: one page to guess on, what the runs show, and the key on a sheet of its own. No script, nothing loaded.

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};
use tepid_lessons::{Told, letter};

use crate::cautions::mark_of;
use crate::records::Lesson;
use crate::wording::{Units, glued, restated};

/// How it looks, on a screen and on A4 or letter paper. Nothing is told by colour alone.
const STYLE: &str = include_str!("handout.css");

/// Lines to write a guess and its reason on.
const LINES: usize = 4;
/// Lines to write on below each command.
const LINES_BELOW: usize = 2;

/// A handout around a lesson's picture, an SVG document; with the key or without it.
#[must_use]
pub fn handout(record: &Lesson, picture: &str, with_key: bool, units: Units) -> String {
    let lesson = &record.lesson;
    // A figure stays with its unit.
    let told = |text: &str| glued(&restated(text, units));
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                link rel="icon" href="data:,";
                title { (lesson.title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                (guess(record, &told))
                (came_out(lesson, picture, &told))
                @if with_key { (key(lesson, &told)) }
            }
        }
    };
    page.into_string()
}

/// The sheet to guess on.
fn guess(record: &Lesson, told: &impl Fn(&str) -> String) -> Markup {
    let lesson = &record.lesson;
    markup! {
        p.name { span { "Name" } span { "Date" } }
        h1 { (lesson.title) }
        p.facts { (lesson.minutes) "\u{a0}minutes, age " (lesson.ages) ". " (told(&lesson.aim)) }
        h2 { "The experiment" }
        p { (told(&lesson.story)) }
        h2 { "Guess first" }
        p.question { (told(&lesson.question)) }
        ul.choices {
            @for (place, choice) in lesson.choices.iter().enumerate() {
                li { span.box {} strong { (letter(place)) } span { (told(choice)) } }
            }
        }
        p { "I think so because" }
        @for _ in 0..LINES { div.line {} }
        h2 { "Before anybody touches a real tank" }
        p.fine { "Everything in this lesson is computed. Nothing of it is to be tried on a tank." }
        ul.fine { @for one in &record.cautions { li { (one.marked()) } } }
        @if let Some(mark) = mark_of(&record.cautions) { p.fine { (mark) } }
    }
}

/// What the runs show, and why.
fn came_out(lesson: &Told, picture: &str, told: &impl Fn(&str) -> String) -> Markup {
    markup! {
        h1.sheet { (lesson.title) ": what came out" }
        table {
            thead {
                tr { th { "" } @for column in &lesson.columns { th scope="col" { (told(&column.words)) } } }
            }
            tbody {
                @for set_up in &lesson.set_ups {
                    tr {
                        td { (told(&set_up.label)) }
                        @for figure in &set_up.words { td { (told(figure)) } }
                    }
                }
            }
        }
        figure { (PreEscaped(picture)) }
        h2 { "Why" }
        @for paragraph in &lesson.explanation { p { (told(paragraph)) } }
        div.equation {
            h2 { "The equation" }
            p.formula { (by_hand(&lesson.equation.formula)) }
            dl {
                @for one in &lesson.equation.symbols { dt { (lowered(&one.symbol)) } dd { (one.meaning) } }
            }
            p.fine { (lesson.equation.source) }
        }
        h2 { "Change next" }
        @for next in &lesson.next {
            div.next {
                p { (told(&next.words)) }
                p.command { (next.command) }
                @for _ in 0..LINES_BELOW { div.line {} }
            }
        }
    }
}

/// An equation as it is written by hand: indices low, powers, what stands in "e^(−t/τ)", high.
fn by_hand(text: &str) -> Markup {
    let power = text
        .split_once("^(")
        .and_then(|(before, rest)| Some((before, rest.split_once(')')?)));
    markup! {
        @match power {
            Some((before, (power, rest))) => { (lowered(before)) sup { (lowered(power)) } (by_hand(rest)) }
            None => (lowered(text)),
        }
    }
}

/// With its indices set low: what follows "_" in "T_room".
fn lowered(text: &str) -> Markup {
    let mut parts = text.split('_');
    let first = parts.next().unwrap_or_default();
    markup! {
        (first)
        @for part in parts {
            @let end = part.find(|letter: char| !letter.is_alphanumeric() && letter != '-').unwrap_or(part.len());
            sub { (&part[..end]) } (&part[end..])
        }
    }
}

/// The sheet for the teacher.
fn key(lesson: &Told, told: &impl Fn(&str) -> String) -> Markup {
    markup! {
        h1.sheet { (lesson.title) ": key for the teacher" }
        div.right {
            p { strong { "Right: " (letter(lesson.right)) } " " (lesson.choices.get(lesson.right).map_or_else(String::new, |choice| told(choice))) }
            p { (told(&lesson.answer)) }
        }
        h2 { "What they will say, and what to ask back" }
        ul { @for one in &lesson.for_the_teacher { li { (told(one)) } } }
        p.fine { "Every figure comes from the runs made when this sheet was written: tepid lesson " (lesson.name) " --key" }
    }
}
