//! How strategies fare in a room when one thing breaks, in one sentence for all that fare alike.

use super::breakage::named;
use crate::judgement::worst_of;
use crate::records::{FaultOutcome, RoomKind, ScenarioBlock, StrategyRow};
use crate::verdict::{needed_by, needed_first, unbroken_h};
use crate::wording::{
    Harm, Units, added, alike, alike_unbroken, duration, extreme, extremes_alike, hours, near_h, outcomes,
    spanned, tanks_past_dose, unbroken, warned, warned_alike,
};

/// A fault is told beside a loss with nothing broken if it brings the loss in less than this share of the time.
const MUCH_SOONER_FRAC: f64 = 0.5;

/// How strategies fare in a room.
pub(super) struct Fate<'a> {
    kind: FateKind,
    room: RoomKind,
    strategies: Vec<&'a str>,
    /// The worst outcome of each strategy, in the same order.
    outcomes: Vec<&'a FaultOutcome>,
    /// When the dose is used up with nothing broken, h after time zero, if it is.
    lost_after_h: Vec<f64>,
    /// What the room needs in which it is.
    needs: &'static str,
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
    /// The worst fault makes something worse, or nothing, below the dose.
    Below(Harm),
    /// Runs failed.
    Failed,
}

/// All fates in a room; empty if no fault was tried there.
pub(super) fn fates(block: &ScenarioBlock, room: RoomKind) -> Vec<Fate<'_>> {
    let mut fates: Vec<Fate<'_>> = Vec::new();
    for row in &block.rows {
        for fate in fates_of(row, room, block) {
            match fates.iter_mut().find(|known| known.takes_in(&fate, block)) {
                Some(known) => {
                    known.strategies.extend(fate.strategies);
                    known.outcomes.extend(fate.outcomes);
                    known.lost_after_h.extend(fate.lost_after_h);
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

/// None if nothing was tried; two if it is lost with nothing broken on one side and by a fault on the other.
fn fates_of<'a>(row: &'a StrategyRow, room: RoomKind, block: &ScenarioBlock) -> Vec<Fate<'a>> {
    let fate = |kind: FateKind, outcome: &'a FaultOutcome| Fate {
        kind,
        room,
        strategies: vec![&row.strategy],
        outcomes: vec![outcome],
        lost_after_h: Vec::new(),
        needs: "",
        more: 0,
        soonest: None,
    };
    let tried = || row.outcomes_in(room);
    if let Some(failed) = tried().find(|outcome| outcome.stays_below_dose.is_none()) {
        return vec![fate(FateKind::Failed, failed)];
    }
    let Some(worst) = worst_of(tried(), Some(&block.livestock)) else {
        return Vec::new();
    };
    let mut fates: Vec<Fate<'a>> = lost_unbroken(row, room)
        .map(|(after_h, needs)| Fate {
            lost_after_h: vec![after_h],
            needs,
            // The fault that makes worse what is lost anyway, if there is one.
            ..fate(
                FateKind::Unbroken,
                worst_of(
                    tried().filter(|outcome| Harm::of(outcome) == Harm::PastALine),
                    Some(&block.livestock),
                )
                .unwrap_or(worst),
            )
        })
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
    if fates.is_empty() {
        fates.push(fate(FateKind::Below(Harm::of(worst)), worst));
    }
    fates
}

/// When the dose is used up in a room with nothing broken, h after time zero, and what the room needs: in the scenario's own room over
/// its whole length, in the others over the time a fault is followed.
fn lost_unbroken(row: &StrategyRow, room: RoomKind) -> Option<(f64, &'static str)> {
    if room == RoomKind::Scenario
        && let Some(healthy) = row.healthy.as_ref().filter(|healthy| healthy.passes_the_dose())
    {
        let used_up = [healthy.hot_used_up_h, healthy.cold_used_up_h];
        let after_h = used_up.into_iter().flatten().reduce(f64::min)?;
        let past = |dose: Option<crate::records::Spread>| dose.is_some_and(|dose| dose.worst >= 1.0);
        return Some((
            after_h,
            needed_first(past(healthy.hot_dose), past(healthy.cold_dose)),
        ));
    }
    let lost: Vec<&FaultOutcome> = row
        .outcomes_in(room)
        .filter(|outcome| outcome.past_without_fault())
        .collect();
    let after_h = lost
        .iter()
        .filter_map(|outcome| unbroken_h(outcome))
        .reduce(f64::min)?;
    Some((after_h, needed_by(&lost)))
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
                    self.needs == other.needs
                        && self
                            .lost_after_h
                            .first()
                            .zip(other.lost_after_h.first())
                            .is_none_or(|(a_h, b_h)| near_h(*a_h, *b_h))
                }
                FateKind::TakenPast | FateKind::Below(Harm::PastALine) => {
                    a.case == b.case && alike(a, b, &block.livestock) && warned_alike(a, b)
                }
                FateKind::Below(Harm::LineAnyway | Harm::Nothing) => alike_unbroken(a, b),
                FateKind::Below(Harm::NoLine) => true,
                FateKind::Failed => a.failure == b.failure,
            }
    }

    /// The sentence.
    pub(super) fn told(&self, block: &ScenarioBlock, units: Units) -> String {
        let who = named(&self.strategies, block, self.room);
        let livestock = &block.livestock;
        let case = self.outcomes.first().map_or("", |outcome| &outcome.case);
        let what = match self.kind {
            FateKind::Unbroken => format!(
                "the water passes the dose with nothing broken, after {}; no fault is to blame for that, it {}{}",
                spanned(self.lost_after_h.iter().copied(), duration),
                self.needs,
                self.worse_still(block, units)
            ),
            FateKind::TakenPast => format!(
                "past the dose by {case}: {}{}{}{}",
                outcomes(&self.outcomes, livestock, units),
                tanks_past_dose(&self.outcomes, units),
                self.warned(block),
                self.also()
            ),
            FateKind::Below(Harm::PastALine) => format!(
                "stays below the dose; worst is {case}: {}{}",
                outcomes(&self.outcomes, livestock, units),
                self.warned(block)
            ),
            FateKind::Below(Harm::LineAnyway | Harm::Nothing) => format!(
                "no fault of the table makes it worse; with nothing broken the water {}",
                unbroken(&self.outcomes, livestock, units)
            ),
            FateKind::Below(Harm::NoLine) => self.no_line(block, units),
            FateKind::Failed => outcomes(&self.outcomes, livestock, units),
        };
        format!("{who}: {what}")
    }

    /// Who was warned, where the scenario states alerts.
    fn warned(&self, block: &ScenarioBlock) -> String {
        if block.has_alerts {
            warned(&self.outcomes, block.somebody_acts)
        } else {
            String::new()
        }
    }

    fn no_line(&self, block: &ScenarioBlock, units: Units) -> String {
        let Some((strategy, worst)) = self.worst(block) else {
            return String::new();
        };
        let same_case = self.outcomes.iter().all(|one| one.case == worst.case);
        let told = if same_case && extremes_alike(&self.outcomes) {
            format!("{}, {}", worst.case, extreme(&self.outcomes, units))
        } else {
            format!("{} under {strategy}, {}", worst.case, extreme(&[worst], units))
        };
        if block.livestock.states_lines() {
            let within = hours(worst.horizon_h);
            format!("no single fault of the table reaches a line within {within} (worst: {told})")
        } else {
            format!("worst is {told}")
        }
    }

    /// The worst of all outcomes, and under which strategy.
    fn worst(&self, block: &ScenarioBlock) -> Option<(&str, &FaultOutcome)> {
        let worst = worst_of(self.outcomes.iter().copied(), Some(&block.livestock))?;
        let position = self.outcomes.iter().position(|one| std::ptr::eq(*one, worst))?;
        Some((self.strategies.get(position).copied()?, worst))
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

    /// What the worst fault adds to a loss that comes with nothing broken.
    fn worse_still(&self, block: &ScenarioBlock, units: Units) -> String {
        let Some((strategy, worst)) = self.worst(block) else {
            return String::new();
        };
        let began_h = worst.began_h.unwrap_or(0.0);
        let sooner = unbroken_h(worst).is_some_and(|unbroken_h| {
            let left_h = unbroken_h - began_h;
            left_h > 0.0 && soonest_h(worst) < left_h * MUCH_SOONER_FRAC
        });
        let under = if self.strategies.len() > 1 {
            format!(" under {strategy}")
        } else {
            String::new()
        };
        if worst.taken_past_h().is_some() {
            // Told in a sentence of its own.
            String::new()
        } else if sooner {
            format!(
                "; with {}{under} already after {}",
                worst.case,
                duration(soonest_h(worst))
            )
        } else if let Some(added) = added(worst, units) {
            format!("; worst is {}{under}, which {added}", worst.case)
        } else {
            "; none makes it worse".to_owned()
        }
    }
}
