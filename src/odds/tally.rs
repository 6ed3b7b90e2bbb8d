//! Many histories, counted.

use std::collections::BTreeMap;

use rayon::prelude::*;
use tepid_output::records::{Chance, OddsCause};

use super::LEVEL_FRAC;
use super::history::{Follow, Lived, ModeId, Part, Way, history};
use super::wilson::{deviate, wilson};

/// What was lost in many histories.
#[derive(Debug)]
pub(super) struct Tally {
    years: u64,
    /// Years with a loss in each history, in order.
    lost: Vec<u32>,
    /// Years with a loss by what brought the year's first: at last, before, which way.
    causes: BTreeMap<(Option<ModeId>, Vec<ModeId>, Way), u64>,
    /// For each part.
    unnoticed: Vec<Sums>,
}

/// Histories drawn before they are counted: what one takes up is soon free again.
const AT_A_TIME: usize = 4096;

/// Sums of a share and of its square.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    share: f64,
    square: f64,
}

impl Sums {
    fn add(&mut self, share: f64) {
        self.share += share;
        self.square += share * share;
    }

    fn chance(self, count: f64) -> Chance {
        let frac = self.share / count;
        let spread = (self.square / count - frac * frac).max(0.0);
        let half = deviate(LEVEL_FRAC) * (spread / (count - 1.0).max(1.0)).sqrt();
        Chance {
            frac,
            low_frac: (frac - half).max(0.0),
            high_frac: (frac + half).min(1.0),
        }
    }
}

/// Draws histories on all threads; what is counted does not depend on how many there are.
pub(super) fn draw<F: Follow>(
    parts: &[Part],
    seed: u64,
    histories: u64,
    span_years: u32,
    follow: &F,
) -> Result<Tally, F::Error> {
    let mut tally = Tally {
        years: histories * u64::from(span_years),
        lost: Vec::new(),
        causes: BTreeMap::new(),
        unnoticed: vec![Sums::default(); parts.len()],
    };
    for first in (0..histories).step_by(AT_A_TIME) {
        let lived: Vec<Lived> = (first..histories.min(first + AT_A_TIME as u64))
            .into_par_iter()
            .map(|number| history(parts, seed, number, f64::from(span_years), follow))
            .collect::<Result<_, _>>()?;
        for one in lived {
            tally.count(one, f64::from(span_years));
        }
    }
    Ok(tally)
}

impl Tally {
    fn count(&mut self, lived: Lived, span_years: f64) {
        let mut last_year = None;
        let mut years_lost = 0;
        for loss in lived.losses {
            let year = loss.at_years.floor();
            if last_year == Some(year) {
                continue;
            }
            last_year = Some(year);
            years_lost += 1;
            let cause = (loss.fresh, loss.before, loss.way);
            *self.causes.entry(cause).or_insert(0) += 1;
        }
        self.lost.push(years_lost);
        for (sums, years) in self.unnoticed.iter_mut().zip(lived.unnoticed_years) {
            sums.add(years / span_years);
        }
    }

    /// For each part the share of the time in which it is broken and nobody knows: mean and normal interval over histories.
    pub(super) fn unnoticed(&self) -> Vec<Chance> {
        self.unnoticed
            .iter()
            .map(|sums| sums.chance(self.lost.len() as f64))
            .collect()
    }

    pub(super) fn years_lost(&self) -> u64 {
        self.lost.iter().map(|years| u64::from(*years)).sum()
    }

    /// The chance that a year loses the dose.
    pub(super) fn chance(&self) -> Chance {
        wilson(self.years_lost(), self.years, LEVEL_FRAC)
    }

    /// By cause, the likeliest first.
    pub(super) fn causes(&self, name: impl Fn(ModeId) -> String) -> Vec<OddsCause> {
        let mut causes: Vec<OddsCause> = self
            .causes
            .iter()
            .map(|((fresh, before, way), years_lost)| OddsCause {
                failed: fresh.map(&name),
                broken_before: before.iter().copied().map(&name).collect(),
                too_warm: *way == Way::Warm,
                years_lost: *years_lost,
                chance: wilson(*years_lost, self.years, LEVEL_FRAC),
            })
            .collect();
        // Stable: causes alike stay in the order of parts.
        causes.sort_by_key(|cause| std::cmp::Reverse(cause.years_lost));
        causes
    }

    /// How many more of a year's chances than another's, both of the same draws: mean and normal interval of the differences of histories.
    pub(super) fn more_than(&self, other: &Self, span_years: u32) -> Chance {
        let per_year =
            |mine: &u32, others: &u32| (f64::from(*mine) - f64::from(*others)) / f64::from(span_years);
        let differences: Vec<f64> = self
            .lost
            .iter()
            .zip(&other.lost)
            .map(|(mine, others)| per_year(mine, others))
            .collect();
        let count = differences.len() as f64;
        let mean = differences.iter().sum::<f64>() / count;
        let squares: f64 = differences.iter().map(|one| (one - mean) * (one - mean)).sum();
        let half = deviate(LEVEL_FRAC) * (squares / (count - 1.0).max(1.0) / count).sqrt();
        Chance {
            frac: mean,
            low_frac: mean - half,
            high_frac: mean + half,
        }
    }
}
