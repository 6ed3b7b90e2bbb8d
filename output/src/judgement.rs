//! Who stands how: from the outcomes of a scenario's block to standings and best marks.
//!
//! A fault is blamed only for a dose that would not be used up with nothing broken. Where every strategy passes the dose with
//! nothing broken the room is at fault and nobody is blamed; where only some do, they are past the dose.
//!
//! A strategy that a single fault in the table takes past the dose is never marked best in anything; who is first among the others is in
//! `preference.rs`. Where no danger lines are stated nothing is judged.

use crate::difference::differs;
use crate::preference::first_choice;
use crate::records::{
    FaultOutcome, HealthySummary, Livestock, Merit, RoomKind, ScenarioBlock, Severity, Standing, StrategyRow,
};

impl ScenarioBlock {
    /// Sets the standing and the best marks of every row and writes the verdict.
    pub fn judge(&mut self) {
        let unfit = self.unfit_rooms();
        for row in &mut self.rows {
            row.standing = standing(row, &unfit, self.livestock.states_lines());
            row.best_in.clear();
        }
        for merit in Merit::ALL {
            self.mark_best(merit);
        }
        for first in first_choice(self) {
            self.rows[first].standing = Standing::Best;
        }
        self.verdict = crate::verdict::verdict(self, crate::wording::Units::Metric);
    }

    /// The rooms in which every strategy tried passes the dose with nothing broken.
    #[must_use]
    pub fn unfit_rooms(&self) -> Vec<RoomKind> {
        let unfit = |kind: &RoomKind| {
            let mut tried = self
                .rows
                .iter()
                .filter(|row| row.failures.is_empty() && row.outcomes_in(*kind).next().is_some())
                .peekable();
            tried.peek().is_some()
                && tried.all(|row| row.outcomes_in(*kind).any(FaultOutcome::past_without_fault))
        };
        RoomKind::ALL.into_iter().filter(unfit).collect()
    }

    fn mark_best(&mut self, merit: Merit) {
        let figures: Vec<(usize, f64)> = self
            .rows
            .iter()
            .enumerate()
            .filter(|(_, row)| row.may_be_best())
            .filter_map(|(index, row)| Some((index, merit.smaller_is_better(row.healthy.as_ref()?)?)))
            .collect();
        let Some(best) = figures.iter().map(|(_, figure)| *figure).reduce(f64::min) else {
            return;
        };
        let least = merit.least_that_matters(self.duration_h);
        let alike = |figure: &f64| !differs(*figure, best, least);
        if figures.iter().all(|(_, figure)| alike(figure)) {
            return;
        }
        for (index, _) in figures.into_iter().filter(|(_, figure)| alike(figure)) {
            self.rows[index].best_in.push(merit);
        }
    }
}

impl StrategyRow {
    /// Whether its values may be marked best.
    #[must_use]
    pub fn may_be_best(&self) -> bool {
        matches!(
            self.standing,
            Standing::Best | Standing::FitToUse | Standing::NoFaultTried | Standing::NotJudged
        )
    }

    /// The outcomes of one room.
    pub fn outcomes_in(&self, room: RoomKind) -> impl Iterator<Item = &FaultOutcome> {
        self.faults.iter().filter(move |outcome| outcome.room == room)
    }

    /// The first room in which it passes the dose with nothing broken.
    #[must_use]
    pub fn past_without_fault_in(&self) -> Option<RoomKind> {
        if self.healthy.as_ref().is_some_and(HealthySummary::passes_the_dose) {
            return Some(RoomKind::Scenario);
        }
        RoomKind::ALL
            .into_iter()
            .find(|room| self.outcomes_in(*room).any(FaultOutcome::past_without_fault))
    }

    /// The outcome for which a fault is to blame most: the largest dose of those that would not be used up with nothing
    /// broken.
    #[must_use]
    pub fn decisive_fault(&self) -> Option<&FaultOutcome> {
        worst_of(
            self.faults.iter().filter(|one| one.taken_past_h().is_some()),
            None,
        )
    }
}

/// The outcome that matters most of some: past the dose by the fault before all others, then the most dose added to what the
/// same time brings with nothing broken, then the most added to an extreme temperature, then the nearest to a line of the danger table.
pub(crate) fn worst_of<'a>(
    outcomes: impl Iterator<Item = &'a FaultOutcome>,
    livestock: Option<&Livestock>,
) -> Option<&'a FaultOutcome> {
    let rank = |outcome: &FaultOutcome| {
        let margin_k = livestock.and_then(|livestock| outcome.margin_k(livestock));
        (Severity::of(outcome), -margin_k.unwrap_or(f64::INFINITY))
    };
    outcomes.reduce(|worst, outcome| {
        if rank(outcome) > rank(worst) {
            outcome
        } else {
            worst
        }
    })
}

fn standing(row: &StrategyRow, unfit: &[RoomKind], states_lines: bool) -> Standing {
    if row.does_not_apply.is_some() {
        return Standing::DoesNotApply;
    }
    let unknown = |outcome: &FaultOutcome| outcome.stays_below_dose.is_none();
    if row.healthy.is_none() || !row.failures.is_empty() || row.faults.iter().any(unknown) {
        return Standing::Failed;
    }
    if !states_lines {
        return Standing::NotJudged;
    }
    let scored_past = row.healthy.as_ref().is_some_and(HealthySummary::passes_the_dose);
    let past_elsewhere = row
        .faults
        .iter()
        .any(|outcome| outcome.past_without_fault() && !unfit.contains(&outcome.room));
    if scored_past || past_elsewhere {
        return Standing::PastTheDose;
    }
    match row.decisive_fault() {
        Some(decisive) => Standing::OneFaultAway {
            fault: decisive.case.clone(),
            room: decisive.room,
        },
        None if row.faults.is_empty() => Standing::NoFaultTried,
        None => Standing::FitToUse,
    }
}
