//! The page: head, contents, chapters, provenance.

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

use super::{
    Chapter, Report, budget, cautions, comparison, courses, customer, fault_grid, live_tank, outcomes,
    pareto, provenance, ranking, summary,
};

const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = include_str!("script.js");

/// Whatever is on the page stands in it; it fetches nothing and sends nothing.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

/// The same where a model computes within: it may, and nothing else.
const POLICY_WITH_MODEL: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline' 'wasm-unsafe-eval'; img-src data:; base-uri 'none'; form-action 'none'";

/// The report as an HTML page.
#[must_use]
pub fn html(report: &Report) -> String {
    let title = title(report);
    let contents = contents(report);
    let body = markup! {
        (ranking::section(report))
        @for (place, chapter) in report.chapters.iter().enumerate() {
            (self::chapter(report, chapter, place))
        }
        (live_tank::section(report))
        (cautions::section(report))
        (provenance::section(report))
    };
    let policy = if report.live.is_some() {
        POLICY_WITH_MODEL
    } else {
        POLICY
    };
    whole(&title, &report.program, policy, &contents, &body)
}

/// A whole page around its contents (items of a list) and its sections.
pub(super) fn document(title: &str, program: &str, contents: &Markup, body: &Markup) -> String {
    whole(title, program, POLICY, contents, body)
}

fn whole(title: &str, program: &str, policy: &str, contents: &Markup, body: &Markup) -> String {
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(program);
                link rel="icon" href="data:,";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a.skip href="#main" { "Skip to the report" }
                header {
                    h1 { (title) }
                    nav aria-label="Contents" { ul { (contents) } }
                }
                main id="main" {
                    p.skip id="said" role="status" {}
                    (body)
                }
                footer {
                    p.small { "Written by " (program) "; a model of temperatures, not a safety certificate." }
                }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    page.into_string()
}

fn title(report: &Report) -> String {
    match report.chapters.as_slice() {
        [one] => one.faults.title.clone(),
        several => format!("{} tanks and rooms", several.len()),
    }
}

/// The place of a chapter's section on the page.
pub(super) fn anchor(section: &str, place: usize) -> String {
    format!("{section}-{}", place + 1)
}

fn contents(report: &Report) -> Markup {
    let several = report.chapters.len() > 1;
    markup! {
                @if report.ranked.len() > 1 { li { a href="#ranking" { "First in danger" } } }
                @for (place, chapter) in report.chapters.iter().enumerate() {
                    @if several {
                        li { a href={ "#" (anchor("tank", place)) } { (chapter.faults.title) } }
                    } @else {
                        li { a href={ "#" (anchor("summary", place)) } { "In short" } }
                        li { a href={ "#" (anchor("strategies", place)) } { "Strategies" } }
                        li { a href={ "#" (anchor("temperatures", place)) } { "Temperatures" } }
                        li { a href={ "#" (anchor("outcomes", place)) } { "Outcomes" } }
                        li { a href={ "#" (anchor("faults", place)) } { "Faults" } }
                        li { a href={ "#" (anchor("trade", place)) } { "Trade-offs" } }
                        li { a href={ "#" (anchor("heat", place)) } { "Heat" } }
                        li { a href={ "#" (anchor("keeper", place)) } { "For the keeper" } }
                    }
                }
                @if report.live.is_some() { li { a href="#live" { "The live tank" } } }
                li { a href="#cautions" { "Cautions" } }
                li { a href="#made" { "How it was made" } }
    }
}

fn chapter(report: &Report, chapter: &Chapter, place: usize) -> Markup {
    let units = report.units;
    markup! {
        article id=(anchor("tank", place)) aria-labelledby=(anchor("summary", place)) {
            (summary::section(report, chapter, place))
            (comparison::section(chapter, place, units))
            (courses::section(chapter, place, units))
            (outcomes::section(chapter, place, units))
            (fault_grid::section(chapter, place, units))
            (pareto::section(chapter, place, units))
            (budget::section(chapter, place, units))
            (customer::section(chapter, place, units))
        }
    }
}

/// The same of a figure that two commands make.
pub(super) fn made_by_both(inputs: &str, commands: [&str; 2]) -> Markup {
    markup! {
        p.made { (inputs) " Made again by " code { (commands[0]) } " and " code { (commands[1]) } }
    }
}

/// What stands below a figure: its inputs and the command that makes it again.
pub(super) fn made_by(inputs: &str, command: &str) -> Markup {
    markup! {
        p.made { (inputs) " Made again by " code { (command) } }
    }
}
