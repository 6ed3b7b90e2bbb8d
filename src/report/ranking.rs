//! How every tank with livestock fares under the strategy that one would use there, the first in danger on top.
//!
//! The fault matrix judges a fault by the tank that it harms most. Here each of its rows is run once more, at the same instant, and every tank keeps the fault
//! that is worst for it.

use std::cmp::Ordering;

use rayon::prelude::*;
use tepid_output::records::{FaultRow, Standing};
use tepid_output::report::{Chapter, RankedTank, TankDanger};
use tepid_sim::scenario::Scenario;
use tepid_sim::scores::Scores;
use tepid_sim::time::hours;

use super::ReportRequest;
use super::courses::with_fault;

/// The tanks of one scenario, in its order.
pub(super) fn tanks(request: &ReportRequest<'_>, scenario: &Scenario, chapter: &Chapter) -> Vec<RankedTank> {
    let stands_first = |place: &usize| {
        let rows = chapter.block.as_ref().map_or(&[][..], |block| &block.rows);
        rows.get(*place).is_some_and(|row| row.standing == Standing::Best)
    };
    let place = (0..request.strategies.len()).find(stands_first).unwrap_or(0);
    let (Some((strategy, recipe)), Some(faults)) = (
        request.strategies.get(place),
        chapter.faults.strategies.get(place),
    ) else {
        return Vec::new();
    };
    let runs: Vec<(&FaultRow, Scores)> = faults
        .faults
        .par_iter()
        .filter(|row| row.is_single)
        .filter_map(|row| {
            let (_, scores) = with_fault(scenario, recipe.as_ref(), request.seed, row)?;
            Some((row, scores))
        })
        .collect();
    let stocked = scenario.tanks.iter().filter(|tank| tank.livestock);
    stocked
        .map(|tank| {
            let dangers = runs
                .iter()
                .filter_map(|(row, scores)| danger(&tank.name, row, scores));
            RankedTank {
                scenario: scenario.name.clone(),
                title: scenario.title.clone(),
                tank: tank.name.clone(),
                water_m3: tank.water_volume_m3(),
                strategy: strategy.clone(),
                worst: dangers.reduce(|worst, one| if sooner(&one, &worst).is_lt() { one } else { worst }),
            }
        })
        .collect()
}

fn danger(tank: &str, row: &FaultRow, scores: &Scores) -> Option<TankDanger> {
    let scores = scores.tanks.iter().find(|one| one.tank == *tank)?;
    let began_h = row.outcome.began_h.unwrap_or(0.0);
    let is_hot = scores.hot.used >= scores.cold.used;
    let dose = if is_hot { &scores.hot } else { &scores.cold };
    Some(TankDanger {
        case: row.outcome.case.clone(),
        room: row.outcome.room,
        is_hot,
        dose_used: dose.used,
        used_up_h: dose.used_up_ms.map(|at_ms| hours(at_ms) - began_h),
        peak_c: scores.highest_c,
        lowest_c: scores.lowest_c,
        first_alert_h: row.outcome.first_alert_h,
    })
}

/// A dose used up sooner comes first, then the larger dose.
fn sooner(a: &TankDanger, b: &TankDanger) -> Ordering {
    let after_h = |danger: &TankDanger| danger.used_up_h.unwrap_or(f64::INFINITY);
    after_h(a)
        .total_cmp(&after_h(b))
        .then(b.dose_used.total_cmp(&a.dose_used))
}

/// The order of the list; tanks without a result at its end.
pub(super) fn first_in_danger_first(a: &RankedTank, b: &RankedTank) -> Ordering {
    match (&a.worst, &b.worst) {
        (Some(a), Some(b)) => sooner(a, b),
        (a, b) => b.is_some().cmp(&a.is_some()),
    }
}
