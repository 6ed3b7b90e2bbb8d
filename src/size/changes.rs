//! What would change the answer most: the same search under other circumstances, one at a time.

use rayon::prelude::*;
use tepid_output::records::{SizeChange, SizeSplit};
use tepid_scenarios::USUAL_LID;
use tepid_sim::scenario::{Cover, Scenario};
use tepid_sim::time::hours;

use super::range::{Demand, range};
use super::{SizeError, needed_w};
use crate::exposure::HORIZON_MS;

/// By how much a room is made colder and warmer, K. A choice.
pub(super) const ROOM_K: f64 = 2.0;

/// One circumstance that is different.
pub(super) struct Circumstance {
    what: String,
    scenario: Scenario,
    response_h: f64,
}

/// All of them.
pub(super) fn circumstances(scenario: &Scenario, response_h: f64) -> Vec<Circumstance> {
    let changed = |what: String, change: &dyn Fn(&mut Scenario)| {
        let mut scenario = scenario.clone();
        change(&mut scenario);
        Circumstance {
            what,
            scenario,
            response_h,
        }
    };
    let (covered, words) = covered_otherwise(scenario);
    let mut all = vec![
        changed(format!("the coldest room {ROOM_K:.0} K colder"), &|scenario| {
            scenario.room.coldest.temp_c -= ROOM_K;
        }),
        changed(format!("the warmest room {ROOM_K:.0} K warmer"), &|scenario| {
            scenario.room.warmest.temp_c += ROOM_K;
        }),
        changed(words.to_owned(), &|scenario| scenario.clone_from(&covered)),
    ];
    if 2.0 * response_h <= hours(HORIZON_MS) {
        all.push(Circumstance {
            response_h: 2.0 * response_h,
            ..changed("help takes twice as long".to_owned(), &|_| ())
        });
    }
    all
}

/// The same tanks without their lids, or with lids where there is none, and that in words.
pub(super) fn covered_otherwise(scenario: &Scenario) -> (Scenario, &'static str) {
    let lidded = scenario
        .tanks
        .iter()
        .any(|tank| matches!(tank.cover, Cover::Lid { .. }));
    let (cover, words) = if lidded {
        (Cover::Open, "no lid on any tank")
    } else {
        (USUAL_LID, "a lid on every tank")
    };
    let mut covered = scenario.clone();
    for tank in &mut covered.tanks {
        tank.cover = cover;
    }
    (covered, words)
}

/// The range of each circumstance, for as many heaters as `beside`, the largest change first.
pub(super) fn changes(
    circumstances: &[Circumstance],
    reserve_frac: f64,
    beside: &SizeSplit,
    done: &(dyn Fn() + Sync),
) -> Result<Vec<SizeChange>, SizeError> {
    let mut changes = circumstances
        .par_iter()
        .map(|one| {
            let demand = Demand {
                power_w: needed_w(&one.scenario)? * (1.0 + reserve_frac),
                response_h: one.response_h,
            };
            let (least_w, most_w) = range(&one.scenario, demand, beside.heaters)?;
            done();
            Ok(SizeChange {
                what: one.what.clone(),
                heaters: beside.heaters,
                least_w,
                most_w,
            })
        })
        .collect::<Result<Vec<_>, SizeError>>()?;
    let size =
        |change: &SizeChange| moved(beside.least_w, change.least_w).max(moved(beside.most_w, change.most_w));
    changes.sort_by(|a, b| size(b).total_cmp(&size(a)));
    Ok(changes)
}

/// How far one end of a range moved, as a factor's logarithm; an end that comes or goes moved without bound.
fn moved(before_w: Option<f64>, after_w: Option<f64>) -> f64 {
    match (before_w, after_w) {
        (Some(before_w), Some(after_w)) if before_w == after_w => 0.0,
        (Some(before_w), Some(after_w)) => (after_w / before_w).ln().abs(),
        (None, None) => 0.0,
        _ => f64::INFINITY,
    }
}
