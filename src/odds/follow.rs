//! What histories ask of windows, with the parts' figures as they are or moved.

use tepid_sim::run::RunError;
use tepid_sim::scenario::Effect;

use super::facts::Fact;
use super::history::{Follow, ModeId, Seen};
use super::parts::Mode;
use super::strata::{SEASONS, Stratum};
use super::windows::{Key, Windows};
use crate::exposure::HORIZON_MS;

/// With so many parts broken before, what follows is looked at in the afternoon for the whole day: such sets are many and each of them is rare.
const SEVERAL: usize = 2;

/// The stratum whose window stands for one.
fn looked_at(stratum: Stratum, several: bool) -> Stratum {
    const AFTERNOON: usize = 2;
    Stratum {
        time_of_day: if several { AFTERNOON } else { stratum.time_of_day },
        ..stratum
    }
}

/// Windows for the ways in which certain parts break.
pub(super) struct Following<'a> {
    windows: &'a Windows<'a>,
    modes: &'a [Mode],
    /// What each mode comes to by itself.
    facts: Vec<Vec<Fact>>,
}

impl<'a> Following<'a> {
    pub(super) fn new(windows: &'a Windows<'a>, modes: &'a [Mode]) -> Self {
        let facts = modes.iter().map(|mode| {
            let effects = mode.effects.iter();
            effects
                .flat_map(|effect| windows.facts.of_effect(*effect))
                .collect()
        });
        Self {
            facts: facts.collect(),
            windows,
            modes,
        }
    }

    /// What modes come to together. That no alert gets out is no fact of the water.
    fn of_modes<'m>(&self, modes: impl Iterator<Item = &'m ModeId>) -> Vec<Fact> {
        let facts = modes.flat_map(|mode| self.facts[mode.0].iter().copied());
        self.windows.facts.together(facts.collect())
    }

    /// Seen and heard without an alert: an outage, a pump that stands still. Common practice, no source.
    fn shows_by_itself(&self, mode: ModeId) -> bool {
        let seen = |effect: &Effect| matches!(effect, Effect::PowerOut | Effect::PumpStopped(_));
        self.modes[mode.0].effects.iter().any(seen)
    }
}

impl Follow for Following<'_> {
    type Error = RunError;

    fn seasons(&self) -> u32 {
        SEASONS as u32
    }

    fn follow(&self, broken: &[ModeId], fresh: Option<ModeId>, at_years: f64) -> Result<Seen, RunError> {
        let before = self.of_modes(broken.iter());
        let after = self.of_modes(broken.iter().chain(&fresh));
        let new: Vec<Fact> = after
            .iter()
            .copied()
            .filter(|fact| !before.contains(fact))
            .collect();
        let by_itself = fresh.is_some_and(|mode| self.shows_by_itself(mode));
        let unseen = if by_itself { Seen::Shows } else { Seen::Nothing };
        // What breaks changes nothing, or nothing is broken that could.
        if new.is_empty() && (fresh.is_some() || before.is_empty()) {
            return Ok(unseen);
        }
        let silent = broken
            .iter()
            .chain(&fresh)
            .any(|mode| self.modes[mode.0].silences_alerts);
        let replaced_after_ms = fresh.map(|mode| self.modes[mode.0].replaced_after_ms);
        let several = before.len() >= SEVERAL;
        let outcome = self.windows.outcome(Key {
            before,
            fresh: new,
            lasts_ms: replaced_after_ms.filter(|after_ms| *after_ms < HORIZON_MS),
            stratum: looked_at(Stratum::at(at_years), several),
            unwatched: silent && self.windows.somebody_acts,
        })?;
        Ok(match outcome.lost {
            Some(way) => Seen::Lost(way),
            None if outcome.noticed || (outcome.alerts && !silent) => Seen::Shows,
            None => unseen,
        })
    }
}
