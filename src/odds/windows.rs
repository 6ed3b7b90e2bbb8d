//! What follows a failure: simulated once for each set of broken parts in each stratum, and remembered.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use tepid_output::records::{BeyondLines, Livestock};
use tepid_sim::run::{RunError, RunRequest, run, run_until};
use tepid_sim::scenario::{Effect, Happening, Lasts, ProbePurpose, Scenario, When};
use tepid_sim::scores::{DAYS_PER_YEAR_D, Scores, TankScores};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::Millis;

use super::facts::{Fact, Facts, happening};
use super::outcome::{Outcome, Verdict, farther, judged, unbroken};
use super::strata::{SEASONS, Stratum, Year};
use crate::exposure::HORIZON_MS;

/// What a window hangs on.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Key {
    /// What is broken from long before.
    pub(super) before: Vec<Fact>,
    /// What breaks.
    pub(super) fresh: Vec<Fact>,
    /// How long that lasts, ms; `None`: to the end.
    pub(super) lasts_ms: Option<Millis>,
    pub(super) stratum: Stratum,
    /// Nobody acts on alerts, because none gets out.
    pub(super) unwatched: bool,
}

impl Key {
    /// The same without one of its facts.
    fn without(&self, fact: Fact) -> Self {
        let others = |facts: &[Fact]| facts.iter().copied().filter(|one| *one != fact).collect();
        let fresh: Vec<Fact> = others(&self.fresh);
        Self {
            before: others(&self.before),
            lasts_ms: self.lasts_ms.filter(|_| !fresh.is_empty()),
            fresh,
            ..self.clone()
        }
    }
}

/// What was found out once; others wait for it.
type Slot = Arc<OnceLock<Result<Outcome, RunError>>>;

/// The windows of one strategy, whatever the figures of lives are.
pub(super) struct Windows<'a> {
    year: &'a Year,
    pub(super) facts: Facts,
    recipe: &'a dyn StrategyRecipe,
    seed: u64,
    livestock: Livestock,
    /// Somebody acts on an alert: without one the course is another.
    pub(super) somebody_acts: bool,
    sound: Vec<OnceLock<Result<Scores, RunError>>>,
    known: Mutex<BTreeMap<Key, Slot>>,
    simulated: AtomicU64,
}

impl<'a> Windows<'a> {
    /// # Errors
    /// [`RunError`] of a run that shows whether anybody reads a probe.
    pub(super) fn new(
        year: &'a Year,
        effects: impl Iterator<Item = Effect>,
        recipe: &'a dyn StrategyRecipe,
        seed: u64,
    ) -> Result<Self, RunError> {
        let scenario = &year.seasons[0];
        let mut windows = Self {
            year,
            facts: Facts::of(scenario, effects),
            recipe,
            seed,
            livestock: Livestock::from(&scenario.livestock),
            somebody_acts: scenario.watches.iter().any(|watch| !watch.acts.is_empty()),
            sound: Stratum::all().map(|_| OnceLock::new()).collect(),
            known: Mutex::default(),
            simulated: AtomicU64::new(0),
        };
        for effect in windows.facts.effects().to_vec() {
            if windows.is_unread(effect)? {
                windows.facts.leave_out(effect);
            }
        }
        Ok(windows)
    }

    /// A probe to look at, which no watch reads, and whose failure changes nothing at all in any season: nobody reads it.
    fn is_unread(&self, effect: Effect) -> Result<bool, RunError> {
        let (Effect::ProbeSilent(probe) | Effect::ProbeOutOfWater(probe)) = effect else {
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
            let faults = [happening(effect, "broken")];
            let with = run(&self.request(scenario, &faults, stratum), None)?;
            if with != *self.sound(stratum)? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// The farthest beyond the danger lines that water got in any window without the dose being used up.
    pub(super) fn beyond_lines(&self) -> Option<BeyondLines> {
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let outcomes = known.values().filter_map(|slot| slot.get()?.as_ref().ok());
        outcomes.fold(None, |farthest, outcome| farther(farthest, outcome.beyond_lines))
    }

    /// How many were simulated.
    pub(super) fn simulated(&self) -> u64 {
        self.simulated.load(Ordering::Relaxed)
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
            .get_or_init(|| run(&self.request(scenario, &[], stratum), None))
            .as_ref()
            .map_err(Clone::clone)
    }

    fn request<'r>(
        &'r self,
        scenario: &'r Scenario,
        faults: &'r [Happening],
        stratum: Stratum,
    ) -> RunRequest<'r> {
        RunRequest {
            faults,
            // Every stratum has weather and noise of its own.
            replicate: Stratum::all()
                .position(|one| one == stratum)
                .map_or(0, |position| position as u64),
            judged_from_ms: stratum.begins_ms(),
            end_ms: stratum.begins_ms() + HORIZON_MS,
            ..RunRequest::new(scenario, self.recipe, self.seed)
        }
    }

    /// The outcome for a key, found out if nobody asked before.
    pub(super) fn outcome(&self, key: Key) -> Result<Outcome, RunError> {
        let slot = {
            let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
            Arc::clone(known.entry(key.clone()).or_default())
        };
        slot.get_or_init(|| match self.as_another(&key)? {
            Some(outcome) => Ok(outcome),
            None => self.simulate(&key),
        })
        .clone()
    }

    /// The outcome of a window that this one cannot differ from: what is idle there may as well be broken, and where nobody acts on an alert, none
    /// is missed.
    fn as_another(&self, key: &Key) -> Result<Option<Outcome>, RunError> {
        let sound = unbroken(self.sound(key.stratum)?);
        if key.before.is_empty() && key.fresh.is_empty() {
            return Ok(Some(sound));
        }
        for fact in key.before.iter().chain(&key.fresh) {
            let effect = self.facts.effect(*fact);
            // What is busy with nothing broken is hardly ever idle with something.
            if !sound.idle.bears(effect) {
                continue;
            }
            let without = self.outcome(key.without(*fact))?;
            if without.idle.bears(effect) {
                return Ok(Some(without));
            }
        }
        if key.unwatched {
            let watched = self.outcome(Key {
                unwatched: false,
                ..key.clone()
            })?;
            return Ok((!watched.acted).then_some(watched));
        }
        Ok(None)
    }

    /// Whether nothing would come to light if nothing more broke: else more may come after a repair.
    fn is_quiet_before(&self, key: &Key) -> Result<bool, RunError> {
        let before = self.outcome(Key {
            fresh: Vec::new(),
            lasts_ms: None,
            ..key.clone()
        })?;
        Ok(before.lost.is_none() && !before.alerts && !before.acted && !before.noticed)
    }

    fn simulate(&self, key: &Key) -> Result<Outcome, RunError> {
        self.simulated.fetch_add(1, Ordering::Relaxed);
        let (season, begins_ms) = (key.stratum.season, key.stratum.begins_ms());
        let scenario = if key.unwatched {
            &self.year.unwatched[season]
        } else {
            &self.year.seasons[season]
        };
        let broken = |fact: &Fact| happening(self.facts.effect(*fact), "broken");
        let lasts = key.lasts_ms.map_or(Lasts::ToTheEnd, Lasts::For);
        let fresh = key.fresh.iter().map(broken).map(|fresh| Happening {
            when: When::At(begins_ms),
            lasts,
            ..fresh
        });
        let faults: Vec<Happening> = key.before.iter().map(broken).chain(fresh).collect();
        let (sound, band_c) = (self.sound(key.stratum)?, scenario.water.band_c);
        let repaired_ms = match key.lasts_ms {
            Some(lasts_ms) if self.is_quiet_before(key)? => Some(begins_ms + lasts_ms),
            _ => None,
        };
        let mut verdict = Verdict::new(sound, band_c, repaired_ms);
        let request = self.request(scenario, &faults, key.stratum);
        let scores = run_until(&request, &mut |seen| verdict.is_known(seen))?;
        Ok(judged(&scores, sound, band_c, &self.livestock))
    }
}
