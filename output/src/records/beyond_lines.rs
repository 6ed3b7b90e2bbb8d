//! Water that goes farther out than the danger lines speak of.

use serde::{Deserialize, Serialize};

use super::{DangerLine, FaultOutcome, Livestock, TankResult};

/// So far beyond the severest danger line its lines still say something, K. An assumption, no source.
pub const LINES_SPEAK_FOR_K: f64 = 2.0;

/// An extreme temperature of which the danger lines say nothing: a dose below 1 is no acquittal there.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BeyondLines {
    /// Too warm; else too cold.
    pub hot: bool,
    /// The severest line, °C.
    pub line_c: f64,
    /// How warm or cold the water got, °C.
    pub extreme_c: f64,
}

impl BeyondLines {
    /// Of one side; `None`: the lines reach as far, or the dose is used up by what they say. A single line knows no steeper rate beyond it, so
    /// a dose that is used up far beyond it came too late.
    #[must_use]
    pub fn of(hot: bool, lines: &[DangerLine], extreme_c: f64, used_up: bool) -> Option<Self> {
        let severest = lines.last()?;
        let judged = used_up && (lines.len() > 1 || severest.allowed_h.is_none());
        let beyond_k = if hot {
            extreme_c - severest.temp_c
        } else {
            severest.temp_c - extreme_c
        };
        (!judged && beyond_k > LINES_SPEAK_FOR_K).then_some(Self {
            hot,
            line_c: severest.temp_c,
            extreme_c,
        })
    }

    /// How far beyond the line, K.
    #[must_use]
    pub fn by_k(&self) -> f64 {
        (self.extreme_c - self.line_c).abs()
    }
}

impl Livestock {
    /// The side on which water goes farther beyond what the lines speak of; of each side the extreme, °C, where it is known, and whether the dose is
    /// used up.
    #[must_use]
    pub fn beyond_lines(&self, hot: (Option<f64>, bool), cold: (Option<f64>, bool)) -> Option<BeyondLines> {
        let sides = [(true, &self.danger_hot, hot), (false, &self.danger_cold, cold)];
        sides
            .into_iter()
            .filter_map(|(hot, lines, (extreme_c, used_up))| BeyondLines::of(hot, lines, extreme_c?, used_up))
            .max_by(|a, b| a.by_k().total_cmp(&b.by_k()))
    }
}

impl FaultOutcome {
    /// Where its water goes farther out than the lines speak of, on the side where it goes farther.
    #[must_use]
    pub fn beyond_lines(&self, livestock: &Livestock) -> Option<BeyondLines> {
        livestock.beyond_lines(
            (self.peak_c, self.hot_used_up_h.is_some()),
            (self.lowest_c, self.cold_used_up_h.is_some()),
        )
    }
}

impl TankResult {
    /// Where its water goes farther out than the lines speak of, on the side where it goes farther.
    #[must_use]
    pub fn beyond_lines(&self, livestock: &Livestock) -> Option<BeyondLines> {
        livestock.beyond_lines(
            (Some(self.highest_c), self.hot.used_up_h.is_some()),
            (Some(self.lowest_c), self.cold.used_up_h.is_some()),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(temp_c: f64, allowed_h: Option<f64>) -> DangerLine {
        DangerLine { temp_c, allowed_h }
    }

    #[test]
    fn lines_speak_for_two_kelvin_beyond_the_severest_of_them_and_a_dose_used_up_speaks_for_itself() {
        let one = [line(30.0, Some(12.0))];
        let beyond = |lines: &[DangerLine], extreme_c, used_up| {
            BeyondLines::of(true, lines, extreme_c, used_up).is_some()
        };
        assert!(!beyond(&one, 31.9, false) && beyond(&one, 32.1, false));
        // One line goes on as mild as it is: what is used up at 50 °C after 12 h was lost long before.
        assert!(beyond(&one, 50.0, true));
        let two = [line(30.0, Some(12.0)), line(32.0, Some(2.0))];
        assert!(!beyond(&two, 50.0, true) && beyond(&two, 50.0, false));
        assert!(!beyond(&[line(30.0, None)], 50.0, true));
        assert!(!beyond(&[], 50.0, false));
        assert!(BeyondLines::of(false, &[line(18.0, Some(12.0))], 15.9, false).is_some());
        assert!(BeyondLines::of(false, &[line(18.0, Some(12.0))], 16.1, false).is_none());
    }
}
