//! The rendering for terminals, by miette.

use std::fmt;

use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource, SourceCode};

use crate::problem::{Problem, Report};

/// Longest line that is drawn, bytes: beyond it the message has to do.
const LONGEST_LINE: usize = 2000;
/// Columns to fill.
const WIDTH: usize = 100;

pub(super) fn render(report: &Report) -> String {
    let handler = GraphicalReportHandler::new_themed(GraphicalTheme::unicode()).with_width(WIDTH);
    let mut out = String::new();
    let whole = Headline {
        report,
        mistakes: report.problems.iter().map(Mistake::new).collect(),
    };
    match handler.render_report(&mut out, &whole) {
        Ok(()) => out,
        // Drawing is a comfort; the plain text says the same.
        Err(fmt::Error) => super::plain::render(report),
    }
}

/// All mistakes under one headline.
#[derive(Debug)]
struct Headline<'a> {
    report: &'a Report,
    mistakes: Vec<Mistake<'a>>,
}

impl fmt::Display for Headline<'_> {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.report.headline())
    }
}

impl std::error::Error for Headline<'_> {}

impl Diagnostic for Headline<'_> {
    fn related<'a>(&'a self) -> Option<Box<dyn Iterator<Item = &'a dyn Diagnostic> + 'a>> {
        Some(Box::new(
            self.mistakes.iter().map(|mistake| mistake as &dyn Diagnostic),
        ))
    }
}

/// One mistake with the text it stands in.
#[derive(Debug)]
struct Mistake<'a> {
    problem: &'a Problem,
    source: Option<NamedSource<String>>,
}

impl<'a> Mistake<'a> {
    fn new(problem: &'a Problem) -> Self {
        let (line, _) = problem.place.line();
        let drawn = !problem.place.source.text.is_empty() && line.len() <= LONGEST_LINE;
        let source = drawn.then(|| {
            let source = &problem.place.source;
            NamedSource::new(source.name.clone(), source.text.clone())
        });
        Self { problem, source }
    }
}

impl fmt::Display for Mistake<'_> {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.problem.message)
    }
}

impl std::error::Error for Mistake<'_> {}

impl Diagnostic for Mistake<'_> {
    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.source.as_ref().map(|named| {
            let source = &self.problem.place.source;
            if source.has_lines() {
                named as &dyn SourceCode
            } else {
                &source.text as &dyn SourceCode
            }
        })
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        self.source.as_ref()?;
        let (_, line_start) = self.problem.place.line();
        let (line, _) = self.problem.place.line();
        // Only the first line is underlined: a table of twenty lines needs no frame.
        let start = self.problem.place.range.start;
        let end = self
            .problem
            .place
            .range
            .end
            .min(line_start + line.len())
            .max(start);
        let label = Some(self.problem.label.clone());
        Some(Box::new(std::iter::once(LabeledSpan::new(
            label,
            start,
            end - start,
        ))))
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        let advice = self.problem.advice();
        (!advice.is_empty()).then(|| Box::new(advice.join("\n")) as Box<dyn fmt::Display>)
    }
}
