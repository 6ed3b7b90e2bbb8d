//! Guided experiments: a question to guess first, the runs that answer it, and what they show.
//!
//! A [`Lesson`] is text with places, and the set-ups whose runs fill them: no figure is written down beforehand. Whoever gives it [`prepare`]s the
//! set-ups, runs each, and has the lesson [`tell`](Lesson::tell) what came out; the program and the page in a browser do the same.
//!
//! - [`lessons`], [`lesson()`]: what there is.
//! - [`SetUp`], [`Prepared`]: what is run.
//! - [`Column`], [`Runs`]: what is read off the runs.
//! - [`Told`]: a lesson with all its figures, as it is published.

mod column;
mod lesson;
mod library;
mod set_up;
mod told;
mod words;

pub use column::{Column, Run, Runs, Unit};
pub use lesson::{Equation, Lesson, LessonError, Next, Picture};
pub use library::{lesson, lessons};
pub use set_up::{Prepared, SetUp, prepare};
pub use told::{Told, ToldColumn, ToldEquation, ToldNext, ToldSetUp, ToldSymbol, letter};
