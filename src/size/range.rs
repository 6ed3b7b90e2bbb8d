//! What each of so many equal heaters may have: least by the cold, most by the heat. Both ends are found by runs, halving the interval.

use tepid_output::records::{SizeFate, SizeRefusal, SizeSplit};
use tepid_sim::scenario::Scenario;

use super::bench::{Failing, Heaters, beyond_lines, fate};
use super::{RATINGS_W, SizeError};

/// How near the ends of a range are found, W.
const FOUND_TO_W: f64 = 1.0;

/// No heater of this little power does harm that the room does not do alone, W.
const HARMLESS_W: f64 = 1.0;

/// Most power of a heater that is looked at, W.
pub(super) const SEARCHED_TO_W: f64 = 3000.0;

/// What the heaters are sized for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Demand {
    /// What the coldest room needs, W, reserve included.
    pub power_w: f64,
    /// How long a failure must be bearable, h.
    pub response_h: f64,
}

/// Least and most power of each of `count` heaters, W; `None`: as in [`SizeSplit`].
pub(super) fn range(
    scenario: &Scenario,
    demand: Demand,
    count: u32,
) -> Result<(Option<f64>, Option<f64>), SizeError> {
    Ok((
        least_w(scenario, demand, count)?,
        most_w(scenario, demand, count)?,
    ))
}

/// The range of power of each of `count` heaters, what bounds it, and the ratings sold in it.
pub(super) fn split(scenario: &Scenario, demand: Demand, count: u32) -> Result<SizeSplit, SizeError> {
    let (least_w, most_w) = range(scenario, demand, count)?;
    let stuck = |each_w: f64| {
        fate(
            scenario,
            Heaters { count, each_w },
            Failing::StuckOn,
            demand.response_h,
        )
    };
    let bound_by_lines = match most_w {
        Some(most_w) => {
            let too_much = stuck(most_w.max(HARMLESS_W) + FOUND_TO_W)?;
            beyond_lines(scenario, Failing::StuckOn, &too_much, demand.response_h).is_some()
        }
        None => false,
    };
    let at_least = |rating_w: f64| least_w.is_some_and(|least_w| rating_w >= least_w);
    let at_most = |rating_w: f64| most_w.is_none_or(|most_w| rating_w <= most_w);
    let ratings_w: Vec<f64> = RATINGS_W
        .into_iter()
        .filter(|rating_w| at_least(*rating_w) && at_most(*rating_w))
        .collect();
    let why_not = match (least_w, most_w) {
        _ if !ratings_w.is_empty() => None,
        (_, Some(0.0)) => Some(SizeRefusal::RoomTooWarm),
        (None, _) => Some(SizeRefusal::DeadOneUnbearable),
        (Some(least_w), Some(most_w)) if least_w > most_w => Some(SizeRefusal::NeedsMoreThanAllowed),
        _ => Some(SizeRefusal::NoneSold),
    };
    Ok(SizeSplit {
        heaters: count,
        least_w,
        most_w,
        stuck: stuck(most_w.unwrap_or(SEARCHED_TO_W).max(HARMLESS_W))?,
        bound_by_lines,
        ratings_w,
        why_not,
    })
}

/// Whether the water stays below the dose for the response time, and within what the danger lines speak of, with one of these heaters failing.
pub(super) fn bearable(
    scenario: &Scenario,
    demand: Demand,
    failing: Failing,
    heaters: Heaters,
) -> Result<bool, SizeError> {
    let fate = fate(scenario, heaters, failing, demand.response_h)?;
    Ok(is_bearable(scenario, demand, failing, &fate))
}

/// The same of what is known already.
pub(super) fn is_bearable(scenario: &Scenario, demand: Demand, failing: Failing, fate: &SizeFate) -> bool {
    let used_up = fate
        .dose_used_up_h
        .is_some_and(|used_up_h| used_up_h <= demand.response_h);
    !used_up && beyond_lines(scenario, failing, fate, demand.response_h).is_none()
}

fn least_w(scenario: &Scenario, demand: Demand, count: u32) -> Result<Option<f64>, SizeError> {
    let dead_bearable = |each_w| bearable(scenario, demand, Failing::Dead, Heaters { count, each_w });
    let holds_w = demand.power_w / f64::from(count);
    if dead_bearable(holds_w)? {
        return Ok(Some(holds_w));
    }
    // With this, the others hold the room alone. Of one heater there are no others, whatever its power.
    let alone_w = demand.power_w / f64::from(count.saturating_sub(1));
    if !alone_w.is_finite() || !dead_bearable(alone_w)? {
        return Ok(None);
    }
    halved((alone_w, holds_w), dead_bearable).map(Some)
}

fn most_w(scenario: &Scenario, demand: Demand, count: u32) -> Result<Option<f64>, SizeError> {
    let stuck_bearable = |each_w| bearable(scenario, demand, Failing::StuckOn, Heaters { count, each_w });
    if !stuck_bearable(HARMLESS_W)? {
        return Ok(Some(0.0));
    }
    let (mut harmless_w, mut too_much_w) = (HARMLESS_W, demand.power_w.max(RATINGS_W[0]));
    while stuck_bearable(too_much_w)? {
        harmless_w = too_much_w;
        if too_much_w >= SEARCHED_TO_W {
            return Ok(None);
        }
        too_much_w = (2.0 * too_much_w).min(SEARCHED_TO_W);
    }
    halved((harmless_w, too_much_w), stuck_bearable).map(Some)
}

/// The power nearest to the bad end at which all is still well, W: the interval between a good and a bad end is halved until it is narrow enough.
fn halved(
    (mut good_w, mut bad_w): (f64, f64),
    is_good: impl Fn(f64) -> Result<bool, SizeError>,
) -> Result<f64, SizeError> {
    while (good_w - bad_w).abs() > FOUND_TO_W {
        let middle_w = 0.5 * (good_w + bad_w);
        if is_good(middle_w)? {
            good_w = middle_w;
        } else {
            bad_w = middle_w;
        }
    }
    Ok(good_w)
}
