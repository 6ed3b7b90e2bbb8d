//! What must be said beside the results, from the one table, with what triggers each.

use maud::{Markup, html};

use super::Report;
use crate::cautions::{Cautioned, gathered, mark_of};
use crate::wording::abridged;

/// The section.
pub(super) fn section(report: &Report) -> Markup {
    let all: Vec<Cautioned> = gathered(report.chapters.iter().flat_map(|chapter| {
        let compared = chapter.block.iter().flat_map(|block| &block.cautions);
        let budgets = chapter.budgets.iter().flat_map(|budget| &budget.cautions);
        compared.chain(&chapter.faults.cautions).chain(budgets).cloned()
    }));
    listed(&all)
}

/// All of these cautions.
pub(super) fn listed(all: &[Cautioned]) -> Markup {
    html! {
        section aria-labelledby="cautions" {
            h2 id="cautions" { "Cautions" }
            ul.cautions {
                @for one in all {
                    li { (one.marked()) " " span.small { "[" (abridged(&one.because)) "]" } }
                }
            }
            @if let Some(mark) = mark_of(all) { p.small { (mark) } }
        }
    }
}
