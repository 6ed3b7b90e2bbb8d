//! The two ways to go wrong: too warm, too cold.

use crate::records::{DangerLine, FaultOutcome, Livestock};

/// Less dose than this reads as none.
const ADDS_DOSE: f64 = 0.005;

/// A temperature moved by less than this reads as not moved, K.
pub(crate) const ADDS_K: f64 = 0.05;

/// One of the two ways to go wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    Hot,
    Cold,
}

impl Side {
    pub(crate) const BOTH: [Self; 2] = [Self::Hot, Self::Cold];

    pub(super) fn lines(self, livestock: &Livestock) -> &[DangerLine] {
        match self {
            Self::Hot => &livestock.danger_hot,
            Self::Cold => &livestock.danger_cold,
        }
    }

    pub(super) fn reached_h(self, outcome: &FaultOutcome) -> &[Option<f64>] {
        match self {
            Self::Hot => &outcome.hot_reached_h,
            Self::Cold => &outcome.cold_reached_h,
        }
    }

    fn reached_without_fault_h(self, outcome: &FaultOutcome) -> &[Option<f64>] {
        match self {
            Self::Hot => &outcome.hot_reached_without_fault_h,
            Self::Cold => &outcome.cold_reached_without_fault_h,
        }
    }

    pub(super) fn used_up_h(self, outcome: &FaultOutcome) -> Option<f64> {
        match self {
            Self::Hot => outcome.hot_used_up_h,
            Self::Cold => outcome.cold_used_up_h,
        }
    }

    pub(super) fn used_up_without_fault_h(self, outcome: &FaultOutcome) -> Option<f64> {
        match self {
            Self::Hot => outcome.hot_used_up_without_fault_h,
            Self::Cold => outcome.cold_used_up_without_fault_h,
        }
    }

    pub(super) fn dose(self, outcome: &FaultOutcome) -> Option<f64> {
        match self {
            Self::Hot => outcome.hot_dose,
            Self::Cold => outcome.cold_dose,
        }
    }

    pub(super) fn dose_without_fault(self, outcome: &FaultOutcome) -> Option<f64> {
        match self {
            Self::Hot => outcome.hot_dose_without_fault,
            Self::Cold => outcome.cold_dose_without_fault,
        }
    }

    pub(super) fn extreme_c(self, outcome: &FaultOutcome) -> Option<f64> {
        match self {
            Self::Hot => outcome.peak_c,
            Self::Cold => outcome.lowest_c,
        }
    }

    pub(super) fn extreme_without_fault_c(self, outcome: &FaultOutcome) -> Option<f64> {
        match self {
            Self::Hot => outcome.peak_without_fault_c,
            Self::Cold => outcome.lowest_without_fault_c,
        }
    }

    /// Dose added by the fault.
    pub(super) fn added_dose(self, outcome: &FaultOutcome) -> f64 {
        match (self.dose(outcome), self.dose_without_fault(outcome)) {
            (Some(with), Some(without)) => with - without,
            _ => 0.0,
        }
    }

    /// How much farther the fault took the extreme temperature, K.
    pub(super) fn added_k(self, outcome: &FaultOutcome) -> f64 {
        let (Some(with_c), Some(without_c)) =
            (self.extreme_c(outcome), self.extreme_without_fault_c(outcome))
        else {
            return 0.0;
        };
        match self {
            Self::Hot => with_c - without_c,
            Self::Cold => without_c - with_c,
        }
    }

    /// Whether the fault made anything worse on this side that a reader could see.
    pub(crate) fn is_worsened_by(self, outcome: &FaultOutcome) -> bool {
        self.added_dose(outcome) >= ADDS_DOSE || self.added_k(outcome) > ADDS_K
    }

    /// Whether a line was passed with the fault.
    pub(crate) fn is_passed_by(self, outcome: &FaultOutcome) -> bool {
        self.reached_h(outcome).iter().any(Option::is_some)
    }

    /// Whether a line is passed with nothing broken.
    pub(crate) fn is_passed_without(self, outcome: &FaultOutcome) -> bool {
        self.reached_without_fault_h(outcome).iter().any(Option::is_some)
    }

    /// The side to which the fault pushed the water farther.
    pub(super) fn pushed_by(outcome: &FaultOutcome) -> Self {
        if Self::Cold.added_k(outcome) > Self::Hot.added_k(outcome) {
            Self::Cold
        } else {
            Self::Hot
        }
    }
}

/// What a fault changed about the danger lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Harm {
    /// It made things worse on a side on which a line is passed.
    PastALine,
    /// Lines are passed, as they are with nothing broken.
    LineAnyway,
    /// It made things worse, but no line is passed.
    NoLine,
    /// It made nothing worse, and no line is passed.
    Nothing,
}

impl Harm {
    pub(crate) fn of(outcome: &FaultOutcome) -> Self {
        let passed: Vec<Side> = Side::BOTH
            .into_iter()
            .filter(|side| side.is_passed_by(outcome))
            .collect();
        let anyway = Side::BOTH.into_iter().any(|side| side.is_passed_without(outcome));
        if passed.iter().any(|side| side.is_worsened_by(outcome)) {
            Self::PastALine
        } else if !passed.is_empty() || anyway {
            Self::LineAnyway
        } else if Side::BOTH.into_iter().any(|side| side.is_worsened_by(outcome)) {
            Self::NoLine
        } else {
            Self::Nothing
        }
    }
}
