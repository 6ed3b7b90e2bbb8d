//! What the worst single fault does, room by room; strategies that fare alike are named together.

use super::WIDTH;
use crate::judgement::worst_of;
use crate::records::{FaultOutcome, RoomKind, ScenarioBlock, StrategyRow};
use crate::verdict::{after_unbroken, needed_first, unbroken_h};
use crate::wording::{
    Units, alike, duration, enumerated, extreme, hours, near_h, outcomes, reaches_no_line, wrapped,
};

/// A fault is told beside a loss with nothing broken if it brings the loss in less than this share of the time.
const MUCH_SOONER_FRAC: f64 = 0.5;

/// "If one thing breaks": the worst outcome of each strategy in each room tried; nothing if no fault was tried.
pub(super) fn breakage(block: &ScenarioBlock, units: Units) -> String {
    let mut text = String::new();
    for room in RoomKind::ALL {
        let fates = fates(block, room);
        if !fates.is_empty() {
            text += &wrapped("", &room_heading(block, room, units), WIDTH);
        }
        for fate in fates {
            text += &wrapped("- ", &fate.told(block, units), WIDTH);
        }
    }
    if text.is_empty() {
        return text;
    }
    let followed = block.rows.iter().flat_map(|row| &row.faults);
    let horizon = followed.map(|outcome| outcome.horizon_h).reduce(f64::max);
    let within = horizon.map_or_else(String::new, |horizon_h| {
        format!(", followed for {}", hours(horizon_h))
    });
    format!("\nIf one thing breaks: the worst single fault, from the worst instant tried{within}\n{text}")
}

/// The heading of a room: "Warmest room of the year, 29 °C".
pub(super) fn room_heading(block: &ScenarioBlock, kind: RoomKind, units: Units) -> String {
    let name = match kind {
        RoomKind::Scenario => "The scenario's own room",
        RoomKind::Coldest => "Coldest room of the year",
        RoomKind::Warmest => "Warmest room of the year",
    };
    match block.rooms.iter().find(|room| room.room == kind) {
        Some(room) => {
            let origin = if room.stated {
                ""
            } else {
                " (not stated: taken from the scenario's own room)"
            };
            format!("{name}, {}{origin}", units.range(room.lowest_c, room.highest_c))
        }
        None => name.to_owned(),
    }
}

/// "every strategy" where the names are all that were tried in a room and more than one, else the names.
pub(super) fn named(names: &[&str], block: &ScenarioBlock, room: RoomKind) -> String {
    let tried = |row: &&StrategyRow| row.outcomes_in(room).next().is_some();
    let tried = block.rows.iter().filter(tried).count();
    if names.len() > 1 && names.len() == tried {
        "every strategy".to_owned()
    } else {
        enumerated(names)
    }
}

/// How strategies fare in a room.
struct Fate<'a> {
    kind: FateKind,
    room: RoomKind,
    strategies: Vec<&'a str>,
    outcomes: Vec<&'a FaultOutcome>,
    /// Further fault cases that take one of them past the dose.
    more: usize,
    /// The soonest of these, if it is sooner than the worst.
    soonest: Option<&'a FaultOutcome>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum FateKind {
    /// The dose is used up with nothing broken.
    Unbroken,
    /// The fault takes the water past the dose.
    TakenPast,
    /// The fault takes it past a line, not past the dose.
    PastALine,
    /// No fault takes it past a line.
    NoLine,
    /// Runs failed.
    Failed,
}

fn fates(block: &ScenarioBlock, room: RoomKind) -> Vec<Fate<'_>> {
    let mut fates: Vec<Fate<'_>> = Vec::new();
    for row in &block.rows {
        for fate in fates_of(row, room, block) {
            match fates.iter_mut().find(|known| known.takes_in(&fate, block)) {
                Some(known) => {
                    known.strategies.extend(fate.strategies);
                    known.outcomes.extend(fate.outcomes);
                    known.more = known.more.max(fate.more);
                    let sooner = [known.soonest, fate.soonest].into_iter().flatten();
                    known.soonest = sooner.min_by(|a, b| taken_h(a).total_cmp(&taken_h(b)));
                }
                None => fates.push(fate),
            }
        }
    }
    fates
}

/// None if nothing was tried; two if it is lost with nothing broken on one side and by a fault on the other, or sooner.
fn fates_of<'a>(row: &'a StrategyRow, room: RoomKind, block: &ScenarioBlock) -> Vec<Fate<'a>> {
    let fate = |kind: FateKind, outcome: &'a FaultOutcome| Fate {
        kind,
        room,
        strategies: vec![&row.strategy],
        outcomes: vec![outcome],
        more: 0,
        soonest: None,
    };
    let tried = || row.outcomes_in(room);
    if let Some(failed) = tried().find(|outcome| outcome.stays_below_dose.is_none()) {
        return vec![fate(FateKind::Failed, failed)];
    }
    let unbroken = tried().filter(|outcome| outcome.past_without_fault());
    let mut fates: Vec<Fate<'a>> = unbroken
        .min_by(|a, b| soonest_h(a).total_cmp(&soonest_h(b)))
        .map(|outcome| fate(FateKind::Unbroken, outcome))
        .into_iter()
        .collect();
    let taken = || tried().filter(|outcome| outcome.taken_past_h().is_some());
    if let Some(worst) = worst_of(taken(), Some(&block.livestock)) {
        let soonest = taken().min_by(|a, b| taken_h(a).total_cmp(&taken_h(b)));
        fates.push(Fate {
            more: taken().count() - 1,
            soonest: soonest.filter(|soonest| taken_h(soonest) < taken_h(worst)),
            ..fate(FateKind::TakenPast, worst)
        });
    }
    if fates.is_empty()
        && let Some(worst) = worst_of(tried(), Some(&block.livestock))
    {
        let kind = if reaches_no_line(worst) {
            FateKind::NoLine
        } else {
            FateKind::PastALine
        };
        fates.push(fate(kind, worst));
    }
    fates
}

/// Hours from the start of a fault until a dose was used up, by the fault or without it.
fn soonest_h(outcome: &FaultOutcome) -> f64 {
    outcome.used_up_h().unwrap_or(f64::INFINITY)
}

/// Hours from the start of a fault until it took the water past the dose.
fn taken_h(outcome: &FaultOutcome) -> f64 {
    outcome.taken_past_h().unwrap_or(f64::INFINITY)
}

impl Fate<'_> {
    /// Whether one line may tell both.
    fn takes_in(&self, other: &Self, block: &ScenarioBlock) -> bool {
        let (Some(a), Some(b)) = (self.outcomes.first(), other.outcomes.first()) else {
            return false;
        };
        self.kind == other.kind
            && match self.kind {
                FateKind::Unbroken => {
                    needed_first(&[a]) == needed_first(&[b])
                        && match (unbroken_h(a), unbroken_h(b)) {
                            (Some(a_h), Some(b_h)) => near_h(a_h, b_h),
                            _ => true,
                        }
                }
                FateKind::TakenPast | FateKind::PastALine => {
                    a.case == b.case && alike(a, b, &block.livestock)
                }
                FateKind::NoLine => true,
                FateKind::Failed => a.failure == b.failure,
            }
    }

    fn told(&self, block: &ScenarioBlock, units: Units) -> String {
        let who = named(&self.strategies, block, self.room);
        let livestock = &block.livestock;
        let case = self.outcomes.first().map_or("", |outcome| &outcome.case);
        let what = match self.kind {
            FateKind::Unbroken => format!(
                "the water passes the dose with nothing broken, {}; no fault is to blame, it {}{}",
                after_unbroken(&self.outcomes),
                needed_first(&self.outcomes),
                self.much_sooner()
            ),
            FateKind::TakenPast => format!(
                "past the dose by {case}: {}{}",
                outcomes(&self.outcomes, livestock, units),
                self.also()
            ),
            FateKind::PastALine => format!(
                "stays below the dose; worst is {case}: {}",
                outcomes(&self.outcomes, livestock, units)
            ),
            FateKind::NoLine => {
                worst_of(self.outcomes.iter().copied(), Some(livestock)).map_or_else(String::new, |worst| {
                    format!(
                        "no single fault of the table reaches a line within {} (worst: {}, {})",
                        hours(worst.horizon_h),
                        worst.case,
                        extreme(&[worst], livestock, units)
                    )
                })
            }
            FateKind::Failed => outcomes(&self.outcomes, livestock, units),
        };
        format!("{who}: {what}")
    }

    /// The other faults that take the water past the dose.
    fn also(&self) -> String {
        let others = match self.more {
            0 => return String::new(),
            1 => "one other fault does it too".to_owned(),
            more => format!("{more} other faults do it too"),
        };
        let soonest = self.soonest.map_or_else(String::new, |soonest| {
            format!(", soonest {} after {}", soonest.case, duration(taken_h(soonest)))
        });
        format!("; {others}{soonest}")
    }

    /// The fault that brings a loss much sooner than it comes with nothing broken.
    fn much_sooner(&self) -> String {
        let sooner = self.outcomes.iter().filter(|outcome| {
            let began_h = outcome.began_h.unwrap_or(0.0);
            unbroken_h(outcome).is_some_and(|unbroken_h| {
                let left_h = unbroken_h - began_h;
                left_h > 0.0 && soonest_h(outcome) < left_h * MUCH_SOONER_FRAC
            })
        });
        sooner
            .min_by(|a, b| soonest_h(a).total_cmp(&soonest_h(b)))
            .map_or_else(String::new, |outcome| {
                format!(
                    "; with {} already after {}",
                    outcome.case,
                    duration(soonest_h(outcome))
                )
            })
    }
}
