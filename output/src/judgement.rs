//! Who stands how: from the outcomes of a scenario's block to standings and best marks.
//!
//! A strategy that a single fault in the table takes past the dose is never marked best in anything. Among the others the
//! first choice is the one with least time outside the band (counted in whole per cents of the scored time), then fewest
//! closings a day of its busiest contact (whole closings), then the smallest overshoot (tenths of a kelvin), then the
//! least energy.

use crate::records::{FaultOutcome, HealthySummary, Merit, ScenarioBlock, Standing, StrategyRow};

impl ScenarioBlock {
    /// Sets the standing and the best marks of every row and writes the verdict.
    pub fn judge(&mut self) {
        for row in &mut self.rows {
            row.standing = standing(row);
            row.best_in.clear();
        }
        for merit in Merit::ALL {
            self.mark_best(merit);
        }
        if let Some(first) = self.first_choice() {
            self.rows[first].standing = Standing::Best;
        }
        self.verdict = crate::verdict::verdict(self, crate::wording::Units::Metric);
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
        if figures.iter().all(|(_, figure)| *figure <= best) {
            return;
        }
        for (index, _) in figures.into_iter().filter(|(_, figure)| *figure <= best) {
            self.rows[index].best_in.push(merit);
        }
    }

    fn first_choice(&self) -> Option<usize> {
        self.rows
            .iter()
            .enumerate()
            .filter(|(_, row)| row.standing == Standing::FitToUse)
            .filter_map(|(index, row)| Some((index, preference(row.healthy.as_ref()?, self.duration_h))))
            .min_by(|(_, a), (_, b)| {
                a.iter()
                    .zip(b)
                    .map(|(a, b)| a.total_cmp(b))
                    .find(|order| order.is_ne())
                    .unwrap_or(std::cmp::Ordering::Equal)
            })
            .map(|(index, _)| index)
    }
}

impl StrategyRow {
    /// Whether its values may be marked best.
    #[must_use]
    pub fn may_be_best(&self) -> bool {
        matches!(
            self.standing,
            Standing::Best | Standing::FitToUse | Standing::NoFaultTried
        )
    }

    /// The outcome that matters most: past the dose before below it, then the larger dose, then the higher peak.
    #[must_use]
    pub fn worst_fault(&self) -> Option<&FaultOutcome> {
        worst_of(self.faults.iter())
    }
}

/// The outcome that matters most of some.
pub(crate) fn worst_of<'a>(outcomes: impl Iterator<Item = &'a FaultOutcome>) -> Option<&'a FaultOutcome> {
    outcomes.max_by(|a, b| {
        let severity = |outcome: &FaultOutcome| {
            [
                f64::from(u8::from(outcome.stays_below_dose == Some(false))),
                outcome.larger_dose().unwrap_or(f64::NEG_INFINITY),
                outcome.peak_c.unwrap_or(f64::NEG_INFINITY),
            ]
        };
        let (a, b) = (severity(a), severity(b));
        a.iter()
            .zip(&b)
            .map(|(a, b)| a.total_cmp(b))
            .find(|order| order.is_ne())
            .unwrap_or(std::cmp::Ordering::Greater)
    })
}

fn standing(row: &StrategyRow) -> Standing {
    if row.does_not_apply.is_some() {
        return Standing::DoesNotApply;
    }
    let Some(healthy) = &row.healthy else {
        return Standing::Failed;
    };
    if !row.failures.is_empty()
        || row
            .faults
            .iter()
            .any(|outcome| outcome.stays_below_dose.is_none())
    {
        return Standing::Failed;
    }
    let used_up = |dose: Option<crate::records::Spread>| dose.is_some_and(|dose| dose.worst >= 1.0);
    if used_up(healthy.hot_dose) || used_up(healthy.cold_dose) {
        return Standing::PastTheDose;
    }
    match row.worst_fault() {
        None => Standing::NoFaultTried,
        Some(worst) if worst.stays_below_dose == Some(false) => Standing::OneFaultAway {
            fault: worst.case.clone(),
            room: worst.room,
        },
        Some(_) => Standing::FitToUse,
    }
}

/// Figures in order of weight, the smaller the better; what is missing comes last.
fn preference(healthy: &HealthySummary, duration_h: f64) -> [f64; 4] {
    let or_last = |figure: Option<f64>| figure.unwrap_or(f64::INFINITY);
    [
        or_last(
            healthy
                .outside_band_h()
                .map(|outside_h| (outside_h / duration_h * 100.0).round()),
        ),
        or_last(
            healthy
                .busiest_contact()
                .map(|contact| contact.closings_per_day.worst.round()),
        ),
        or_last(
            healthy
                .overshoot_k
                .map(|overshoot| (overshoot.worst * 10.0).round()),
        ),
        or_last(healthy.energy_kwh.map(|energy| energy.mean)),
    ]
}

impl Merit {
    /// All, in the order of the table's columns.
    pub const ALL: [Self; 5] = [
        Self::InsideBand,
        Self::Overshoot,
        Self::ClosingsPerDay,
        Self::ContactLife,
        Self::Energy,
    ];

    /// The figure by which rows are compared, to the digits a table shows, so that equal texts are equally good.
    fn smaller_is_better(self, healthy: &HealthySummary) -> Option<f64> {
        let figure = match self {
            Self::InsideBand => (healthy.outside_band_h()? * 10.0).round(),
            Self::Overshoot => (healthy.overshoot_k?.worst * 100.0).round(),
            Self::ClosingsPerDay => (healthy.busiest_contact()?.closings_per_day.worst * 10.0).round(),
            Self::ContactLife => -(healthy.shortest_life_years()? * 10.0).round(),
            Self::Energy => (healthy.energy_kwh?.mean * 100.0).round(),
        };
        figure.is_finite().then_some(figure)
    }
}
