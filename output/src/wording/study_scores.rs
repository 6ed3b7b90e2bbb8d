//! The main scores of a study, and their figures below each other.

use super::study::figure_in;
use super::{MISSING, Units, dose, enumerated};
use crate::records::{ScoreSummary, ScoreUnit, StudyGroup};

/// A score that the tables show.
pub(crate) struct Main {
    /// Its name.
    pub(crate) score: &'static str,
    /// The head of its column, in two lines where it is long.
    head: &'static str,
    /// The same in US units.
    head_us: &'static str,
}

const fn main(score: &'static str, head: &'static str, head_us: &'static str) -> Main {
    Main { score, head, head_us }
}

/// The scores that the tables show, in their order.
pub(crate) const MAIN: &[Main] = &[
    main("hot dose used", "Hot\ndose", "Hot\ndose"),
    main("cold dose used", "Cold\ndose", "Cold\ndose"),
    main("overshoot", "Over-\nshoot, K", "Over-\nshoot, °F"),
    main("undershoot", "Under-\nshoot, K", "Under-\nshoot, °F"),
    main("time above band", "Above\nband, h", "Above\nband, h"),
    main("time below band", "Below\nband, h", "Below\nband, h"),
    main("closings per day", "Closings\na day", "Closings\na day"),
    main("energy", "Energy,\nkWh", "Energy,\nkWh"),
];

impl Main {
    /// The head of its column.
    pub(crate) fn head(&self, units: Units) -> &'static str {
        match units {
            Units::Metric => self.head,
            Units::Us => self.head_us,
        }
    }

    /// The same in one line.
    pub(crate) fn title(&self, units: Units) -> String {
        self.head(units).replace("-\n", "").replace('\n', " ")
    }
}

/// The score of that name, if it has a value in the group.
pub(crate) fn summary<'a>(group: &'a StudyGroup, score: &str) -> Option<&'a ScoreSummary> {
    group.scores.iter().find(|summary| summary.score == score)
}

/// The scores that have a value in one of the groups: those with figures to show, and those that are zero in every run of every group.
pub(crate) fn shown_and_zero(groups: &[StudyGroup]) -> (Vec<&'static Main>, Vec<&'static Main>) {
    let summaries = |main: &Main| -> Vec<Option<&ScoreSummary>> {
        groups.iter().map(|group| summary(group, main.score)).collect()
    };
    let any = MAIN
        .iter()
        .filter(|main| summaries(main).iter().any(Option::is_some));
    any.partition(|main| {
        !summaries(main)
            .into_iter()
            .all(|score| score.is_some_and(is_zero))
    })
}

fn is_zero(score: &ScoreSummary) -> bool {
    score.mean == 0.0 && score.worst.value == 0.0 && score.quantiles == [0.0; 3]
}

/// "Zero in every run: hot dose used and time above band."; nothing without any.
pub(crate) fn zero_in_words(zero: &[&Main]) -> Option<String> {
    let names: Vec<&str> = zero.iter().map(|main| main.score).collect();
    (!names.is_empty()).then(|| format!("Zero in every run: {}.", enumerated(&names)))
}

/// Figures of one score that stand below each other: the same unit, which the head of their column names, and the same decimals.
pub(crate) struct Figures {
    unit: ScoreUnit,
    units: Units,
    decimals: usize,
}

/// The columns of a table of groups: each score with the figures that stand below each other in it.
pub(crate) fn columns(
    shown: Vec<&'static Main>,
    groups: &[StudyGroup],
    units: Units,
) -> Vec<(&'static Main, Figures)> {
    let column = |main: &'static Main| {
        let scores = groups.iter().filter_map(|group| summary(group, main.score));
        (main, Figures::of(scores, units))
    };
    shown.into_iter().map(column).collect()
}

impl Figures {
    /// Of the largest of these depends how many decimals say something.
    pub(crate) fn of<'a>(scores: impl Iterator<Item = &'a ScoreSummary>, units: Units) -> Self {
        let (mut unit, mut largest) = (ScoreUnit::Number, 0.0_f64);
        for score in scores {
            unit = score.unit;
            largest = largest.max(score.mean.abs());
        }
        let decimals = match unit {
            ScoreUnit::Share | ScoreUnit::Kelvin => 2,
            ScoreUnit::Celsius => 1,
            ScoreUnit::Hours | ScoreUnit::Litres | ScoreUnit::Number if largest < 99.95 => 1,
            ScoreUnit::KilowattHours if largest < 9.995 => 2,
            ScoreUnit::KilowattHours if largest < 99.95 => 1,
            ScoreUnit::Hours | ScoreUnit::Litres | ScoreUnit::Number | ScoreUnit::KilowattHours => 0,
        };
        Self {
            unit,
            units,
            decimals,
        }
    }

    /// The mean ± half its interval, which is rounded up; a mean that all runs share stands alone.
    pub(crate) fn mean(&self, score: &ScoreSummary) -> String {
        let mean = self.one(score.mean);
        let half = score
            .mean_interval
            .map(|[low, high]| self.scaled(0.5 * (high - low)));
        let step = 10_f64.powi(-(self.decimals as i32));
        match half.filter(|half| half.is_finite() && *half > 0.0) {
            Some(half) if mean.chars().all(|one| one.is_ascii_digit() || "-.".contains(one)) => {
                // A thousandth of the last digit is rounding of the figure itself.
                let half = (half / step - 1e-3).ceil().max(1.0) * step;
                format!("{mean} ± {half:.*}", self.decimals)
            }
            _ => mean,
        }
    }

    /// One value.
    pub(crate) fn one(&self, value: f64) -> String {
        match self.unit {
            ScoreUnit::Share => dose(value),
            _ if !value.is_finite() => MISSING.to_owned(),
            _ => format!("{:.*}", self.decimals, figure_in(value, self.unit, self.units)),
        }
    }

    /// A difference in the reader's units.
    fn scaled(&self, difference: f64) -> f64 {
        match self.unit {
            ScoreUnit::Kelvin | ScoreUnit::Celsius => self.units.step(difference),
            _ => figure_in(difference, self.unit, self.units),
        }
    }
}
