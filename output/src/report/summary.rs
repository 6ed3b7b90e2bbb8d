//! In short: the verdict in words, and what was compared.

use maud::{Markup, html};

use super::page::anchor;
use super::{Chapter, Report};
use crate::table::{set_up, warnings_told};
use crate::verdict::verdict;
use crate::wording::restated;

/// The section.
pub(super) fn section(report: &Report, chapter: &Chapter, place: usize) -> Markup {
    let heading = if report.chapters.len() > 1 {
        format!("{}: in short", chapter.faults.title)
    } else {
        "In short".to_owned()
    };
    let Some(block) = &chapter.block else {
        return html! {};
    };
    let units = report.units;
    let facts = set_up(block, 1, report.seed, units);
    html! {
        section {
            h2 id=(anchor("summary", place)) { (heading) }
            p.lead { (verdict(block, units).join(" ")) }
            dl.facts {
                @for (name, value) in &facts {
                    @if !name.is_empty() { dt { (name) } }
                    @if name.is_empty() { dt aria-hidden="true" {} }
                    dd { (value) }
                }
            }
            @if !block.warnings.is_empty() {
                h3 { "Where this leaves what the model is good for" }
                ul {
                    @for told in warnings_told(&block.warnings, units) { li { (told) } }
                }
            }
            @if !block.assumptions.is_empty() {
                details {
                    summary { "Assumed for want of a statement (" (block.assumptions.len()) ")" }
                    ul { @for one in &block.assumptions { li { (restated(one, units)) } } }
                }
            }
        }
    }
}
