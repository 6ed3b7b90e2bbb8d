//! How the report was made: the command, the settings, every input in full.

use maud::{Markup, html};

use super::Report;
use crate::wording::restated;

/// The section.
pub(super) fn section(report: &Report) -> Markup {
    html! {
        section aria-labelledby="made" {
            h2 id="made" { "How this report was made" }
            p { "By " (report.program) ", seed " (report.seed) ". The same inputs give the same page to the byte; nothing on it comes from the network." }
            pre tabindex="0" aria-label="Command" { code { (report.command) } }
            @for chapter in &report.chapters {
                h3 { (chapter.faults.scenario) ": settings of the strategies" }
                dl.facts {
                    @for one in &chapter.faults.strategies { dt { (one.strategy) } dd { (restated(&one.settings, report.units)) } }
                }
            }
            h3 { "Inputs" }
            @for input in &report.inputs {
                details data-stays="" {
                    summary { (input.name) }
                    pre tabindex="0" aria-label=(input.name) { code { (input.text) } }
                }
            }
        }
    }
}
