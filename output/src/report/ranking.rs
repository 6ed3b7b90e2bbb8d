//! Many tanks: the first in danger on top, with the reason.

use maud::{Markup, html};

use super::fault_grid::room;
use super::{RankedTank, Report, TankDanger};
use crate::wording::{MISSING, Units, dose, duration};

/// Litres in a cubic metre.
const L_PER_M3: f64 = 1000.0;

/// The section; nothing where there is a single tank.
pub(super) fn section(report: &Report) -> Markup {
    if report.ranked.len() < 2 {
        return html! {};
    }
    let several = report.chapters.len() > 1;
    html! {
        section aria-labelledby="ranking" {
            h2 id="ranking" { "First in danger" }
            p {
                "Every tank with livestock, by how soon the worst single fault uses up what its animals bear; then by how much of it. "
                "Under the strategy named, which comes first in its comparison, or stands first in the order asked for where none does. "
                "A fault is tried from the instant that is worst for the tank it harms most."
            }
            div.scroll tabindex="0" role="region" aria-labelledby="ranking" {
                table {
                    thead {
                        tr {
                            th.figure scope="col" { "Rank" }
                            th scope="col" { "Tank" }
                            @if several { th scope="col" { "Scenario" } }
                            th.figure scope="col" { "Water" }
                            th scope="col" { "Under" }
                            th scope="col" { "Why" }
                            th.figure scope="col" { "First alert" }
                        }
                    }
                    tbody {
                        @for (rank, one) in report.ranked.iter().enumerate() {
                            tr {
                                td.figure { (rank + 1) }
                                th scope="row" { (one.tank) }
                                @if several { td { (one.scenario) } }
                                td.figure { (report.units.volume(one.water_m3 * L_PER_M3)) }
                                td { (one.strategy) }
                                td { (why(one, report.units)) }
                                td.figure { (one.worst.as_ref().and_then(|worst| worst.first_alert_h).map_or_else(|| MISSING.to_owned(), duration)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn why(tank: &RankedTank, units: Units) -> String {
    let Some(worst) = &tank.worst else {
        return "no run has a result".to_owned();
    };
    format!("{}, {}: {}", worst.case, room(worst.room), what(worst, units))
}

fn what(worst: &TankDanger, units: Units) -> String {
    let extreme = if worst.is_hot {
        format!("up to {}", units.temperature(worst.peak_c))
    } else {
        format!("down to {}", units.temperature(worst.lowest_c))
    };
    match worst.used_up_h {
        Some(used_up_h) => format!("dose used up after {}, {extreme}", duration(used_up_h)),
        None => format!(
            "stays below the dose ({} of it), {extreme}",
            dose(worst.dose_used)
        ),
    }
}
