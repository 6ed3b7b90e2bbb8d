//! Two strategies, run by run in the same weather.

use tepid_output::records::{ScoreDifference, Shown};

use super::bootstrap::ends;
use super::{mean, t_interval};

/// The difference between a strategy and the reference over `pairs` of runs in the same weather, noise and draws, the reference second. Two intervals must agree
/// before it is told as better or worse; `seed` is the bootstrap's. `None` without pairs, or where a mean difference is no number.
///
/// The confidence holds for one difference: of twenty that are nothing, one is told at 95 %. [`super::ranks`] keep it for all pairs together.
#[must_use]
pub fn difference(
    pairs: &[(f64, f64)],
    larger_is_worse: bool,
    confidence: f64,
    seed: u64,
) -> Option<ScoreDifference> {
    let differences: Vec<f64> = pairs.iter().map(|(value, reference)| value - reference).collect();
    let t_interval = t_interval(&differences, confidence);
    let bootstrap = ends(&differences, confidence, seed);
    // An end that is open towards zero tells nothing, and one interval alone is not enough.
    let bootstrap_is_silent =
        bootstrap.is_none_or(|ends| Side::of(ends) == Side::Open && ends.iter().any(|end| !end.is_finite()));
    let t_side = t_interval.map_or(Side::Open, Side::of);
    let shown = if pairs.len() > 1 && pairs.iter().all(|(value, reference)| value == reference) {
        Shown::Alike
    } else if pairs.len() < FEWEST_PAIRS || (t_side != Side::Open && bootstrap_is_silent) {
        Shown::TooFewRuns
    } else {
        let [t, bootstrap] = [t_interval, bootstrap].map(|interval| interval.map_or(Side::Open, Side::of));
        match (t, bootstrap) {
            (Side::Above, Side::Above) if larger_is_worse => Shown::Worse,
            (Side::Above, Side::Above) => Shown::Better,
            (Side::Below, Side::Below) if larger_is_worse => Shown::Better,
            (Side::Below, Side::Below) => Shown::Worse,
            _ => Shown::NoDifference,
        }
    };
    Some(ScoreDifference {
        pairs: pairs.len() as u64,
        mean: mean(&differences)?,
        t_interval,
        bootstrap_interval: bootstrap.filter(|ends| ends.iter().all(|end| end.is_finite())),
        shown,
    })
}

/// With fewer pairs no difference and no rank is told: the bootstrap has too few ways to draw.
pub(super) const FEWEST_PAIRS: usize = 4;

/// Where an interval lies beside zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Above,
    Below,
    /// It holds zero, or is not known.
    Open,
}

impl Side {
    fn of([low, high]: [f64; 2]) -> Self {
        if low > 0.0 {
            Self::Above
        } else if high < 0.0 {
            Self::Below
        } else {
            Self::Open
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(pairs: &[(f64, f64)], larger_is_worse: bool) -> Shown {
        difference(pairs, larger_is_worse, 0.95, 7).unwrap().shown
    }

    /// Eight weeks from mild to rough: far apart from each other, the two strategies not.
    const WEEKS: [(f64, f64); 8] = [
        (1.0, 1.2),
        (2.0, 2.3),
        (3.0, 3.2),
        (4.0, 4.25),
        (5.0, 5.15),
        (6.0, 6.2),
        (7.0, 7.3),
        (8.0, 8.25),
    ];

    #[test]
    fn in_the_same_weather_a_small_steady_difference_shows() {
        assert_eq!(shown(&WEEKS, true), Shown::Better);
        assert_eq!(shown(&WEEKS, false), Shown::Worse);
        assert_eq!(shown(&WEEKS.map(|(a, b)| (b, a)), true), Shown::Worse);
        assert_eq!(shown(&WEEKS.map(|(a, b)| (b, a)), false), Shown::Better);
    }

    #[test]
    fn the_same_figures_in_shuffled_weather_show_none() {
        let mut shuffled = WEEKS;
        for (at, (value, _)) in shuffled.iter_mut().enumerate() {
            *value = WEEKS[(at * 3 + 1) % 8].0;
        }
        assert_eq!(shown(&shuffled, true), Shown::NoDifference);
    }

    #[test]
    fn two_strategies_that_do_the_same_are_alike_and_a_single_run_shows_nothing() {
        assert_eq!(shown(&[(0.3, 0.3); 4], true), Shown::Alike);
        assert_eq!(shown(&[(0.3, 0.1)], true), Shown::TooFewRuns);
        assert_eq!(
            shown(&[(0.3, 0.1), (0.31, 0.1), (0.3, 0.11)], true),
            Shown::TooFewRuns
        );
        assert_eq!(difference(&[], true, 0.95, 7), None);
    }

    #[test]
    fn one_odd_week_is_not_told_as_a_difference() {
        let mut odd = [(0.0, 0.0); 8];
        odd[5].0 = 4.0;
        let found = difference(&odd, true, 0.95, 7).unwrap();
        assert_eq!(found.shown, Shown::NoDifference);
        assert_eq!(found.bootstrap_interval, None);
    }

    /// The upper end is open, but zero lies on the other side.
    #[test]
    fn an_open_end_away_from_zero_does_not_hide_a_difference() {
        let mut steady = [(1.0, 0.0); 8];
        steady[5].0 = 1.5;
        let found = difference(&steady, true, 0.95, 7).unwrap();
        assert_eq!((found.bootstrap_interval, found.shown), (None, Shown::Worse));
    }
}
