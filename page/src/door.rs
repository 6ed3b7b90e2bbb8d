//! The door for a host without Rust: a few functions over numbers, and memory that the host reads and writes.
//!
//! The host asks for [`space`], writes its question there, calls [`ask`], and reads the answer at [`answer_at`] and the numbers of each run at
//! [`course_at`] and [`tallies_at`]. Everything stands until the next call of [`ask`]. Nothing is imported.

use std::cell::RefCell;

use crate::question::{Answered, answer};

thread_local! {
    static QUESTION: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
    static ANSWER: RefCell<Answered> = RefCell::new(Answered::default());
}

/// Memory for a question of this many bytes.
#[expect(unsafe_code, reason = "the name under which a host finds it")]
#[unsafe(no_mangle)]
pub extern "C" fn space(bytes: usize) -> *mut u8 {
    QUESTION.with_borrow_mut(|question| {
        question.clear();
        question.resize(bytes, 0);
        question.as_mut_ptr()
    })
}

/// Answers the question that stands in the memory; how many bytes the answer has.
#[expect(unsafe_code, reason = "the name under which a host finds it")]
#[unsafe(no_mangle)]
pub extern "C" fn ask() -> usize {
    let answered = QUESTION.with_borrow(|question| answer(question));
    ANSWER.with_borrow_mut(|kept| {
        *kept = answered;
        kept.text.len()
    })
}

/// Where the answer stands.
#[expect(unsafe_code, reason = "the name under which a host finds it")]
#[unsafe(no_mangle)]
pub extern "C" fn answer_at() -> *const u8 {
    ANSWER.with_borrow(|kept| kept.text.as_ptr())
}

/// Where the course of a run stands, numbers of eight bytes; null: there is no such run. How many there are stands in the answer.
#[expect(unsafe_code, reason = "the name under which a host finds it")]
#[unsafe(no_mangle)]
pub extern "C" fn course_at(run: usize) -> *const f64 {
    let found = |kept: &Answered| kept.runs.get(run).map(|run| run.course.values.as_ptr());
    ANSWER.with_borrow(found).unwrap_or(std::ptr::null())
}

/// Where the scores so far of a run stand, as [`course_at`].
#[expect(unsafe_code, reason = "the name under which a host finds it")]
#[unsafe(no_mangle)]
pub extern "C" fn tallies_at(run: usize) -> *const f64 {
    let found = |kept: &Answered| kept.runs.get(run).map(|run| run.tallies.values.as_ptr());
    ANSWER.with_borrow(found).unwrap_or(std::ptr::null())
}
