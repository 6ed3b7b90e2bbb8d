//! Which single faults take a setting past the dose that would not be past it with nothing broken.

use std::collections::BTreeMap;

use tepid_output::records::{BeyondLines, Livestock, RoomKind, TuningBeyond, TuningFault};
use tepid_sim::strategy::StrategyRecipe;

use super::TuneError;
use super::runs::{Place, Runs, value};
use super::search::Search;
use crate::rooms::ROOMS;

/// What stands for a fault where nothing is broken.
pub const NOTHING_BROKEN: &str = "nothing broken";

/// Doses of both sides that are used up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct UsedUp {
    hot: bool,
    cold: bool,
}

fn used_up(runs: &Runs<'_>, setting: usize, place: Place, case: Option<usize>) -> Result<UsedUp, TuneError> {
    let scores = runs.scores(setting, place, case)?;
    let past = |name| value(&scores, name).is_some_and(|used| used >= 1.0);
    Ok(UsedUp {
        hot: past("hot dose used"),
        cold: past("cold dose used"),
    })
}

/// The rooms in which a setting uses up a dose with nothing broken.
pub(super) fn unfit_rooms(runs: &Runs<'_>, setting: usize) -> Result<Vec<RoomKind>, TuneError> {
    let mut unfit = Vec::new();
    for room in ROOMS {
        let found = used_up(runs, setting, Place::room(room), None)?;
        if found.hot || found.cold {
            unfit.push(room);
        }
    }
    Ok(unfit)
}

/// The faults to blame of these cases by room, and nothing broken where a room is fit.
pub(super) fn past(
    runs: &Runs<'_>,
    setting: usize,
    cases: &BTreeMap<usize, Vec<usize>>,
    unfit: &[RoomKind],
) -> Result<Vec<TuningFault>, TuneError> {
    let mut past: Vec<TuningFault> = Vec::new();
    for (room, cases) in cases {
        let (kind, place) = (ROOMS[*room], Place::Room(*room, 0));
        let sound = used_up(runs, setting, place, None)?;
        if (sound.hot || sound.cold) && !unfit.contains(&kind) {
            past.push(TuningFault {
                case: NOTHING_BROKEN.to_owned(),
                set: NOTHING_BROKEN.to_owned(),
                room: kind,
                hot: sound.hot,
            });
        }
        for case in cases {
            let broken = used_up(runs, setting, place, Some(*case))?;
            let (hot, cold) = (broken.hot && !sound.hot, broken.cold && !sound.cold);
            let single = &runs.singles[*case];
            let known = past.iter().any(|fault| fault.case == single.case.fault.name);
            if (hot || cold) && !known {
                past.push(TuningFault {
                    case: single.case.fault.name.clone(),
                    set: single.set.clone(),
                    room: kind,
                    hot,
                });
            }
        }
    }
    Ok(past)
}

/// The single fault of those asked about under which a setting takes the water farthest beyond what the danger lines speak of.
pub(super) fn beyond_lines(search: &Search<'_>, setting: usize) -> Result<Option<TuningBeyond>, TuneError> {
    let livestock = Livestock::from(&search.scenario().livestock);
    let runs = &search.runs;
    let mut farthest: Option<TuningBeyond> = None;
    for (room, kind) in ROOMS.into_iter().enumerate() {
        for case in search.asked_about() {
            let place = Place::Room(room, 0);
            let used_up = used_up(runs, setting, place, Some(case))?;
            let scores = runs.scores(setting, place, Some(case))?;
            for (hot, lines, name, used_up) in [
                (true, &livestock.danger_hot, "highest temperature", used_up.hot),
                (false, &livestock.danger_cold, "lowest temperature", used_up.cold),
            ] {
                let beyond = value(&scores, name)
                    .and_then(|extreme_c| BeyondLines::of(hot, lines, extreme_c, used_up));
                let Some(lines) = beyond else { continue };
                if farthest
                    .as_ref()
                    .is_none_or(|known| lines.by_k() > known.lines.by_k())
                {
                    farthest = Some(TuningBeyond {
                        case: runs.singles[case].case.fault.name.clone(),
                        room: kind,
                        lines,
                    });
                }
            }
        }
    }
    Ok(farthest)
}

/// The cases of these faults, in every room: what a further setting is tried on first.
fn cases_of(runs: &Runs<'_>, faults: &[TuningFault]) -> BTreeMap<usize, Vec<usize>> {
    let of_faults: Vec<usize> = (0..runs.singles.len())
        .filter(|case| {
            let name = &runs.singles[*case].case.fault.name;
            faults.iter().any(|fault| fault.case == *name)
        })
        .collect();
    (0..ROOMS.len()).map(|room| (room, of_faults.clone())).collect()
}

/// Tries a setting on what took another past the dose, and only where it stands that on all the rest.
pub(super) fn tried(
    runs: &Runs<'_>,
    (setting, recipe): (usize, &dyn StrategyRecipe),
    all: &BTreeMap<usize, Vec<usize>>,
    feared: &[TuningFault],
    unfit: &[RoomKind],
) -> Result<Vec<TuningFault>, TuneError> {
    let feared = cases_of(runs, feared);
    runs.run_broken(&[(setting, recipe)], &feared)?;
    let found = past(runs, setting, &feared, unfit)?;
    if !found.is_empty() {
        return Ok(found);
    }
    runs.run_broken(&[(setting, recipe)], all)?;
    past(runs, setting, all, unfit)
}
