//! What follows a failure: simulated once for each set of broken parts in each stratum, and remembered.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{Effect, Happening, Lasts, ProbePurpose, Scenario, When};
use tepid_sim::scores::{DAYS_PER_YEAR_D, Dose, Scores, TankScores};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::Millis;

use super::facts::{Fact, Facts};
use super::history::{Follow, ModeId, Seen, Way};
use super::parts::Mode;
use super::strata::{SEASONS, Stratum, Year};
use crate::exposure::HORIZON_MS;

/// Water so much farther out of the band than with nothing broken is noticed, K. An assumption: a look at the thermometer.
const NOTICED_K: f64 = 0.5;

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

/// What a window hangs on.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Key {
    /// What is broken from long before.
    before: Vec<Fact>,
    /// What breaks.
    fresh: Vec<Fact>,
    /// How long that lasts, ms; `None`: to the end.
    lasts_ms: Option<Millis>,
    stratum: Stratum,
    /// Nobody acts on alerts, because none gets out.
    unwatched: bool,
}

/// What came out of a window.
#[derive(Debug, Clone, Copy)]
struct Outcome {
    lost: Option<Way>,
    /// An alert got out, or somebody acted on one.
    alerts: bool,
    /// The water went where somebody looks twice.
    noticed: bool,
}

/// What was found out once; others wait for it.
type Slot = Arc<OnceLock<Result<Outcome, RunError>>>;

/// The windows of one strategy.
pub(super) struct Windows<'a> {
    year: &'a Year,
    modes: &'a [Mode],
    facts: Facts,
    recipe: &'a dyn StrategyRecipe,
    seed: u64,
    /// Somebody acts on an alert: without one the course is another.
    somebody_acts: bool,
    sound: Vec<OnceLock<Result<Scores, RunError>>>,
    known: Mutex<BTreeMap<Key, Slot>>,
}

impl<'a> Windows<'a> {
    /// # Errors
    /// [`RunError`] of a run that shows whether anybody reads a probe.
    pub(super) fn new(
        year: &'a Year,
        modes: &'a [Mode],
        recipe: &'a dyn StrategyRecipe,
        seed: u64,
    ) -> Result<Self, RunError> {
        let scenario = &year.seasons[0];
        let mut windows = Self {
            year,
            modes,
            facts: Facts::of(scenario, modes),
            recipe,
            seed,
            somebody_acts: scenario.watches.iter().any(|watch| !watch.acts.is_empty()),
            sound: Stratum::all().map(|_| OnceLock::new()).collect(),
            known: Mutex::default(),
        };
        for (index, mode) in modes.iter().enumerate() {
            if windows.is_unread(mode)? {
                windows.facts.leave_out(ModeId(index));
            }
        }
        Ok(windows)
    }

    /// A probe to look at, which no watch reads, and whose failure changes nothing at all in any season: nobody reads it.
    fn is_unread(&self, mode: &Mode) -> Result<bool, RunError> {
        let (Some(Effect::ProbeSilent(probe) | Effect::ProbeOutOfWater(probe)), Some(happening)) =
            (mode.effect, mode.happening())
        else {
            return Ok(false);
        };
        let scenario = &self.year.seasons[0];
        if scenario.probes[probe.0].purpose != ProbePurpose::Monitor
            || scenario.watches.iter().any(|watch| watch.rule.reads(probe))
        {
            return Ok(false);
        }
        for season in 0..SEASONS {
            let stratum = Stratum {
                season,
                time_of_day: 0,
            };
            let scenario = &self.year.seasons[season];
            let with = self.run(scenario, std::slice::from_ref(&happening), stratum)?;
            if with != *self.sound(stratum)? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// How many were simulated.
    pub(super) fn simulated(&self) -> u64 {
        self.known.lock().unwrap_or_else(PoisonError::into_inner).len() as u64
    }

    /// Closings of each contact in a year with nothing broken: the mean of the seasons.
    pub(super) fn closings_per_year(&self) -> Result<Vec<f64>, RunError> {
        let mut per_year = vec![0.0; self.year.seasons[0].contacts.len()];
        for season in 0..SEASONS {
            let first = Stratum {
                season,
                time_of_day: 0,
            };
            for (sum, contact) in per_year.iter_mut().zip(&self.sound(first)?.contacts) {
                *sum += contact.closings_per_day * DAYS_PER_YEAR_D / SEASONS as f64;
            }
        }
        Ok(per_year)
    }

    /// Share of strata in which the dose is used up with nothing broken.
    pub(super) fn lost_unbroken_frac(&self) -> Result<f64, RunError> {
        let mut lost = 0;
        for stratum in Stratum::all() {
            let used_up = |tank: &TankScores| tank.hot.used_up_ms.or(tank.cold.used_up_ms).is_some();
            lost += u32::from(self.sound(stratum)?.tanks.iter().any(used_up));
        }
        Ok(f64::from(lost) / self.sound.len() as f64)
    }

    /// The same time with nothing broken.
    fn sound(&self, stratum: Stratum) -> Result<&Scores, RunError> {
        let position = Stratum::all().position(|one| one == stratum).unwrap_or(0);
        let scenario = &self.year.seasons[stratum.season];
        self.sound[position]
            .get_or_init(|| self.run(scenario, &[], stratum))
            .as_ref()
            .map_err(Clone::clone)
    }

    fn run(&self, scenario: &Scenario, faults: &[Happening], stratum: Stratum) -> Result<Scores, RunError> {
        let request = RunRequest {
            faults,
            // Every stratum has weather and noise of its own.
            replicate: Stratum::all()
                .position(|one| one == stratum)
                .map_or(0, |position| position as u64),
            judged_from_ms: stratum.begins_ms(),
            end_ms: stratum.begins_ms() + HORIZON_MS,
            ..RunRequest::new(scenario, self.recipe, self.seed)
        };
        run(&request, None)
    }

    /// The outcome for a key, simulated if nobody asked before.
    fn looked_up(&self, key: Key) -> Result<Outcome, RunError> {
        let slot = {
            let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
            Arc::clone(known.entry(key.clone()).or_default())
        };
        slot.get_or_init(|| self.simulate(&key)).clone()
    }

    fn simulate(&self, key: &Key) -> Result<Outcome, RunError> {
        let (season, begins_ms) = (key.stratum.season, key.stratum.begins_ms());
        let scenario = if key.unwatched {
            &self.year.unwatched[season]
        } else {
            &self.year.seasons[season]
        };
        let happening = |fact: &Fact| self.facts.happening(*fact);
        let lasts = key.lasts_ms.map_or(Lasts::ToTheEnd, Lasts::For);
        let fresh = key.fresh.iter().filter_map(happening).map(|fresh| Happening {
            when: When::At(begins_ms),
            lasts,
            ..fresh
        });
        let faults: Vec<Happening> = key.before.iter().filter_map(happening).chain(fresh).collect();
        let broken = self.run(scenario, &faults, key.stratum)?;
        Ok(judged(&broken, self.sound(key.stratum)?, scenario.water.band_c))
    }

    /// Seen and heard without an alert: an outage, a pump that stands still. Common practice, no source.
    fn shows_by_itself(&self, mode: ModeId) -> bool {
        matches!(
            self.modes[mode.0].effect,
            Some(Effect::PowerOut | Effect::PumpStopped(_))
        )
    }
}

impl Follow for Windows<'_> {
    type Error = RunError;

    fn seasons(&self) -> u32 {
        SEASONS as u32
    }

    fn follow(&self, broken: &[ModeId], fresh: Option<ModeId>, at_years: f64) -> Result<Seen, RunError> {
        let before = self.facts.of_modes(broken.iter().copied());
        let after = self.facts.of_modes(broken.iter().copied().chain(fresh));
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
            .any(|mode| self.modes[mode.0].effect.is_none());
        let replaced_after_ms = fresh.map(|mode| self.modes[mode.0].replaced_after_ms);
        let several = before.len() >= SEVERAL;
        let outcome = self.looked_up(Key {
            before,
            fresh: new,
            lasts_ms: replaced_after_ms.filter(|after_ms| *after_ms < HORIZON_MS),
            stratum: looked_at(Stratum::at(at_years), several),
            unwatched: silent && self.somebody_acts,
        })?;
        Ok(match outcome.lost {
            Some(way) => Seen::Lost(way),
            None if outcome.noticed || (outcome.alerts && !silent) => Seen::Shows,
            None => unseen,
        })
    }
}

/// What broken parts did beside the same time with nothing broken.
fn judged(broken: &Scores, sound: &Scores, band_c: (f64, f64)) -> Outcome {
    let mut outcome = Outcome {
        lost: None,
        alerts: broken.alerts > sound.alerts || (broken.acted_ms.is_some() && sound.acted_ms.is_none()),
        noticed: false,
    };
    for (with, without) in broken.tanks.iter().zip(&sound.tanks) {
        let taken = |side: fn(&TankScores) -> &Dose| {
            side(with).used_up_ms.is_some() && side(without).used_up_ms.is_none()
        };
        let warm = taken(|tank| &tank.hot).then_some(Way::Warm);
        let cold = taken(|tank| &tank.cold).then_some(Way::Cold);
        outcome.lost = outcome.lost.or(warm).or(cold);
        let above_k = |tank: &TankScores| (tank.highest_c - band_c.1).max(0.0);
        let below_k = |tank: &TankScores| (band_c.0 - tank.lowest_c).max(0.0);
        outcome.noticed |=
            above_k(with) - above_k(without) > NOTICED_K || below_k(with) - below_k(without) > NOTICED_K;
    }
    outcome
}
