//! Mistakes of a file: each with its place, what was found, what belongs there, and a fix to paste.

use std::cell::{Cell, RefCell};
use std::fmt;

use crate::source::Place;

/// One mistake.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Short stable name of the kind of mistake: "unknown-key".
    pub code: &'static str,
    /// What is wrong, in one line.
    pub message: String,
    /// Where.
    pub place: Place,
    /// A few words beside the underlined text.
    pub label: String,
    /// What stands there.
    pub found: Option<String>,
    /// What belongs there.
    pub expected: Option<String>,
    /// The nearest valid name.
    pub nearest: Option<String>,
    /// A line to paste instead.
    pub fix: Option<String>,
}

impl Problem {
    pub(crate) fn new(code: &'static str, place: &Place, message: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
            place: place.clone(),
            label: "here".to_owned(),
            found: None,
            expected: None,
            nearest: None,
            fix: None,
        }
    }

    pub(crate) fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    pub(crate) fn found(mut self, found: impl Into<String>) -> Self {
        self.found = Some(found.into());
        self
    }

    pub(crate) fn expected(mut self, expected: impl Into<String>) -> Self {
        self.expected = Some(expected.into());
        self
    }

    pub(crate) fn nearest(mut self, nearest: Option<&str>) -> Self {
        self.nearest = nearest.map(str::to_owned);
        self
    }

    pub(crate) fn fix(mut self, fix: impl Into<String>) -> Self {
        self.fix = Some(fix.into());
        self
    }

    /// Advice in a few lines: the nearest name, what belongs here, a fix.
    #[must_use]
    pub fn advice(&self) -> Vec<String> {
        let nearest = self
            .nearest
            .as_ref()
            .map(|name| format!("did you mean `{name}`?"));
        let expected = self.expected.as_ref().map(|what| format!("expected {what}"));
        let fix = self
            .fix
            .as_ref()
            .map(|fix| format!("write: {}", fix.replace('\n', "\n         ")));
        [nearest, expected, fix].into_iter().flatten().collect()
    }
}

/// A mistake was found and written down; there is no value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Reported;

/// Mistakes kept of one load: nobody reads more, and a file of garbage has one per byte.
const MOST: usize = 100;

/// Mistakes as they are found.
#[derive(Debug, Default)]
pub(crate) struct Problems {
    list: RefCell<Vec<Problem>>,
    left_out: Cell<usize>,
}

impl Problems {
    pub fn add(&self, problem: Problem) -> Reported {
        let mut list = self.list.borrow_mut();
        if list.contains(&problem) {
            return Reported;
        }
        if list.len() < MOST {
            list.push(problem);
        } else {
            self.left_out.set(self.left_out.get() + 1);
        }
        Reported
    }

    pub fn is_empty(&self) -> bool {
        self.list.borrow().is_empty()
    }

    /// Everything found so far, in order of source and place.
    pub fn into_report(self) -> Report {
        let mut problems = self.list.into_inner();
        problems.sort_by(|a, b| {
            (&a.place.source.name, a.place.range.start).cmp(&(&b.place.source.name, b.place.range.start))
        });
        Report {
            problems,
            left_out: self.left_out.get(),
        }
    }

    pub fn retain(&self, keep: impl FnMut(&Problem) -> bool) {
        self.list.borrow_mut().retain(keep);
    }
}

/// All mistakes of what was loaded; never empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// The mistakes, in the order of the file.
    pub problems: Vec<Problem>,
    /// Further mistakes that were found but not kept.
    pub left_out: usize,
}

impl Report {
    pub(crate) fn of(problem: Problem) -> Self {
        Self {
            problems: vec![problem],
            left_out: 0,
        }
    }

    /// "3 mistakes in my-tank.toml".
    #[must_use]
    pub fn headline(&self) -> String {
        let mut names: Vec<&str> = self
            .problems
            .iter()
            .map(|p| p.place.source.name.as_str())
            .collect();
        names.sort_unstable();
        names.dedup();
        let count = self.problems.len() + self.left_out;
        let noun = if count == 1 { "mistake" } else { "mistakes" };
        format!("{count} {noun} in {}", names.join(", "))
    }
}

impl fmt::Display for Report {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.headline())
    }
}

impl std::error::Error for Report {}
