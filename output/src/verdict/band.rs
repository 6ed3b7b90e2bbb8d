//! How well strategies hold the band with nothing broken, and heaters too weak to.

use super::phrases::names;
use crate::difference::differs;
use crate::records::{HealthySummary, Merit, ScenarioBlock, StrategyRow};
use crate::wording::{enumerated, share, spanned};

/// A smaller share of the time inside the band than this is said in the verdict.
pub(super) const LOW_FRAC: f64 = 0.9;

/// Heaters on for more of the time than this have nothing to spare. An assumption.
const ALMOST_ALWAYS_ON_FRAC: f64 = 0.85;

/// Share of the time inside the band, 0..=1.
pub(super) fn inside_frac(row: &StrategyRow, block: &ScenarioBlock) -> Option<f64> {
    row.healthy.as_ref()?.inside_band_frac(block.duration_h)
}

/// Shares of the time inside the band, as a range: "81.9 to 83 %".
pub(super) fn inside(rows: &[&StrategyRow], block: &ScenarioBlock) -> Option<String> {
    let shares: Vec<f64> = rows.iter().filter_map(|row| inside_frac(row, block)).collect();
    (!shares.is_empty()).then(|| spanned(shares, share))
}

/// "with nothing broken on-off holds the band longest, 81.9 % of the time", or that all are alike in that.
pub(super) fn steadiest(rows: &[&StrategyRow], block: &ScenarioBlock) -> Option<String> {
    let outside_h = |row: &StrategyRow| row.healthy.as_ref().and_then(HealthySummary::outside_band_h);
    let best_h = rows.iter().filter_map(|row| outside_h(row)).reduce(f64::min)?;
    let least_h = Merit::InsideBand.least_that_matters(block.duration_h);
    let longest: Vec<&StrategyRow> = rows
        .iter()
        .copied()
        .filter(|row| outside_h(row).is_some_and(|outside_h| !differs(outside_h, best_h, least_h)))
        .collect();
    let of_the_time = inside(&longest, block)?;
    Some(if longest.len() == rows.len() {
        format!("with nothing broken all are alike inside the band, {of_the_time} of the time")
    } else {
        let holds = if longest.len() == 1 { "holds" } else { "hold" };
        let who = enumerated(&names(&longest));
        format!("with nothing broken {who} {holds} the band longest, {of_the_time} of the time")
    })
}

/// "the heaters are on 99 % of the time: too weak for this room", for the strategies under which they are.
pub(super) fn too_weak(rows: &[&StrategyRow]) -> Option<String> {
    let on_frac = |row: &StrategyRow| {
        let healthy = row.healthy.as_ref()?;
        let colder = healthy.below_band_h?.worst > healthy.above_band_h?.worst;
        let on_frac = healthy.heaters_on_frac?.worst;
        (colder && on_frac > ALMOST_ALWAYS_ON_FRAC).then_some(on_frac)
    };
    let weak: Vec<&StrategyRow> = rows
        .iter()
        .copied()
        .filter(|row| on_frac(row).is_some())
        .collect();
    if weak.is_empty() {
        return None;
    }
    let under = if weak.len() == rows.len() {
        String::new()
    } else {
        format!("under {} ", enumerated(&names(&weak)))
    };
    let on = spanned(weak.iter().filter_map(|row| on_frac(row)), share);
    Some(format!(
        "{under}the heaters are on {on} of the time: too weak for this room"
    ))
}
