//! The live tank within the report: the whole live page, kept as text until somebody starts it in a frame of its own.

use maud::{Markup, PreEscaped, html};

use super::{LiveTank, Report};

/// The section; nothing where the report carries no live tank.
pub(super) fn section(report: &Report) -> Markup {
    let Some(tank) = &report.live else {
        return html! {};
    };
    html! {
        section.live aria-labelledby="live" {
            h2 id="live" { "The live tank" }
            p {
                "The same model in motion, in this page: let the week go by, weld a contact, stop a pump, open the window, turn a slider, and watch what the water does. "
                "It begins as the report has it and computes here; nothing is sent anywhere, and it changes nothing above."
            }
            p.starts {
                @for one in &tank.starts {
                    button type="button" data-start=(one.json) { "Start: " (one.title) }
                }
            }
            p.only-paper { "It runs on a screen, not on paper." }
            div id="live-frame" {}
            (kept(tank))
        }
    }
}

/// Of no type that a browser runs; the script of the report reads it.
fn kept(tank: &LiveTank) -> Markup {
    html! { script id="live-page" type="application/json" { (PreEscaped(&tank.page)) } }
}
