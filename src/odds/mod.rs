//! Odds: how likely a year uses up the dose, by what, and how much that hangs on assumed lives.
//!
//! Healthy time is not simulated. Histories of failures are drawn from the lives of the parts ([`history`]); lives in closings become years by the
//! closings of runs with nothing broken. Only what follows a failure is simulated (`windows.rs`), once for each set of broken parts, season and time
//! of day (`strata.rs`), and shared by all years. Every strategy meets the same draws, so that their difference is known better than either.

mod facts;
mod follow;
pub mod history;
mod moved;
mod outcome;
mod parts;
mod strata;
mod tally;
pub mod wilson;
mod windows;

use tepid_output::cautions::{self, Caution, Cautioned};
use tepid_output::records::{
    FORMAT_VERSION, LifeUsed, Odds, OddsClosings, OddsDifference, OddsUnnoticed, RecordKind, StrategyOdds,
};
use tepid_sim::run::{RunError, binds};
use tepid_sim::scenario::{Happening, PartLife, Scenario};
use tepid_sim::strategy::{BindError, StrategyRecipe};

use crate::compare::Progress;
use crate::exposure::HORIZON_MS;
use follow::Following;
use parts::Parts;
use strata::Year;
use tally::Tally;
use tepid_sim::time::hours;
use windows::Windows;

/// Two-sided confidence of every interval.
pub const LEVEL_FRAC: f64 = 0.95;

/// What to reckon.
#[derive(Debug)]
pub struct OddsRequest<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Strategies by name.
    pub strategies: &'a [(String, Box<dyn StrategyRecipe>)],
    /// Lives of the scenario's parts.
    pub lives: &'a [PartLife],
    /// Years to draw, ≥ 1; made up to whole histories.
    pub years: u64,
    /// Years of one history, ≥ 1: from parts as old as stated on.
    pub span_years: u32,
    /// Seed of all draws.
    pub seed: u64,
}

/// No odds.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OddsError {
    /// A strategy names something the scenario does not have.
    #[error("strategy `{strategy}`: {cause}")]
    Bind {
        /// The strategy.
        strategy: String,
        /// What is unknown.
        cause: BindError,
    },
    /// A run that was needed failed.
    #[error("strategy `{strategy}`: {cause}")]
    Run {
        /// The strategy.
        strategy: String,
        /// Why.
        cause: RunError,
    },
}

/// Reckons.
///
/// # Errors
/// [`OddsError`]. A strategy that does not apply is in the record.
pub fn odds(request: &OddsRequest<'_>, progress: &dyn Progress) -> Result<Odds, OddsError> {
    let year = Year::of(request.scenario);
    let parts = Parts::of(request.lives);
    let histories = request.years.div_ceil(u64::from(request.span_years)).max(1);
    let years = histories * u64::from(request.span_years);
    progress.expect(request.strategies.len() as u64);
    let mut strategies = Vec::new();
    let mut tallies = Vec::new();
    for (name, recipe) in request.strategies {
        let one = Reckoning {
            request,
            year: &year,
            parts: &parts,
            histories,
        };
        let (odds, tally) = one.strategy(name, recipe.as_ref())?;
        strategies.push(odds);
        tallies.extend(tally.map(|tally| (name.clone(), tally)));
        progress.done();
    }
    Ok(Odds {
        format: RecordKind::Odds,
        version: FORMAT_VERSION,
        scenario: request.scenario.name.clone(),
        title: request.scenario.title.clone(),
        seed: request.seed,
        years,
        span_years: request.span_years,
        level_frac: LEVEL_FRAC,
        followed_h: hours(HORIZON_MS),
        seasons: year.words.to_owned(),
        seasons_room_c: year.rooms_c.clone(),
        differences: differences(&tallies, request.span_years),
        strategies,
        lives: lives_used(request.lives),
        assumptions: assumptions(request.scenario),
        cautions: odds_cautions(request.scenario, &parts),
    })
}

struct Reckoning<'a> {
    request: &'a OddsRequest<'a>,
    year: &'a Year,
    parts: &'a Parts,
    histories: u64,
}

impl Reckoning<'_> {
    fn strategy(
        &self,
        name: &str,
        recipe: &dyn StrategyRecipe,
    ) -> Result<(StrategyOdds, Option<Tally>), OddsError> {
        let blank = StrategyOdds {
            strategy: name.to_owned(),
            settings: recipe.settings(),
            does_not_apply: None,
            years_lost: None,
            chance: None,
            causes: Vec::new(),
            closings: Vec::new(),
            unnoticed: Vec::new(),
            moved: Vec::new(),
            windows: 0,
            lost_unbroken_frac: None,
            beyond_lines: None,
        };
        match binds(self.request.scenario, recipe) {
            Ok(()) => {}
            Err(BindError::DoesNotApply { missing }) => {
                let does_not_apply = Some(missing);
                return Ok((
                    StrategyOdds {
                        does_not_apply,
                        ..blank
                    },
                    None,
                ));
            }
            Err(cause) => {
                return Err(OddsError::Bind {
                    strategy: name.to_owned(),
                    cause,
                });
            }
        }
        let failed = |cause| OddsError::Run {
            strategy: name.to_owned(),
            cause,
        };
        let windows =
            Windows::new(self.year, self.parts.effects(), recipe, self.request.seed).map_err(failed)?;
        let closings_per_year = windows.closings_per_year().map_err(failed)?;
        let draw = |lives: &[PartLife]| {
            let parts = Parts::of(lives);
            let in_years = parts.in_years(lives, &closings_per_year);
            let (seed, span_years) = (self.request.seed, self.request.span_years);
            let following = Following::new(&windows, &parts.modes);
            tally::draw(&in_years, seed, self.histories, span_years, &following)
        };
        let tally = draw(self.request.lives).map_err(failed)?;
        let moved = moved::ways(self.request.lives)
            .into_iter()
            .map(|way| {
                let moved = draw(&way.lives)?;
                Ok(way.told(moved.chance()))
            })
            .collect::<Result<Vec<_>, _>>()
            .map_err(failed)?;
        let contacts = self.request.scenario.contacts.iter().zip(&closings_per_year);
        let odds = StrategyOdds {
            years_lost: Some(tally.years_lost()),
            chance: Some(tally.chance()),
            causes: tally.causes(|mode| self.parts.modes[mode.0].name.clone()),
            closings: contacts
                .filter(|(_, per_year)| **per_year > 0.0)
                .map(|(contact, per_year)| OddsClosings {
                    contact: contact.name.clone(),
                    per_year: *per_year,
                })
                .collect(),
            unnoticed: self.unnoticed(&tally),
            moved,
            windows: windows.simulated(),
            beyond_lines: windows.beyond_lines(),
            lost_unbroken_frac: Some(windows.lost_unbroken_frac().map_err(failed)?),
            ..blank
        };
        Ok((odds, Some(tally)))
    }

    /// The parts that are broken unnoticed, the longest first.
    fn unnoticed(&self, tally: &Tally) -> Vec<OddsUnnoticed> {
        let shares = self.request.lives.iter().zip(tally.unnoticed());
        let mut unnoticed: Vec<OddsUnnoticed> = shares
            .filter(|(_, time)| time.frac > 0.0)
            .map(|(life, time)| OddsUnnoticed {
                kind: life.kind.clone(),
                part: life.part.clone(),
                tested_every_d: life.tested_every_ms.map(tepid_sim::time::days),
                time,
            })
            .collect();
        // Stable: equal shares stay in the order of parts.
        unnoticed.sort_by(|one, other| other.time.frac.total_cmp(&one.time.frac));
        unnoticed
    }
}

/// Every strategy beside the one that loses the fewest years.
fn differences(tallies: &[(String, Tally)], span_years: u32) -> Vec<OddsDifference> {
    let Some((best, of_best)) = tallies.iter().min_by_key(|(_, tally)| tally.years_lost()) else {
        return Vec::new();
    };
    tallies
        .iter()
        .filter(|(name, _)| name != best)
        .map(|(name, tally)| OddsDifference {
            strategy: name.clone(),
            than: best.clone(),
            more: tally.more_than(of_best, span_years),
        })
        .collect()
}

/// Lives alike are told once, with all their parts.
fn lives_used(lives: &[PartLife]) -> Vec<LifeUsed> {
    let mut used: Vec<LifeUsed> = Vec::new();
    for one in lives {
        let life = parts::life_in_words(one);
        let alike = used
            .iter_mut()
            .find(|known| known.kind == one.kind && known.life == life && known.source == one.source);
        match alike {
            Some(known) => known.parts.push(one.part.clone()),
            None => used.push(LifeUsed {
                kind: one.kind.clone(),
                parts: vec![one.part.clone()],
                life,
                source: one.source.clone(),
            }),
        }
    }
    used
}

/// What the study assumes beside what the scenario does.
fn assumptions(scenario: &Scenario) -> Vec<String> {
    let mut all = scenario.assumptions.clone();
    let of_study = [
        "odds: parts fail independently of each other, but for what shares a box and its life; a surge or a wave takes one at a time",
        "odds: what a breaker or residual-current device would have to trip for is left out; told is how long it could not",
        "odds: a contact's yearly closings are those with nothing broken, the mean of four seasons",
        "odds: what shows (an alert, water half a kelvin farther out of the band, a stopped pump, an outage, a tank a tenth lower, water on the floor) is replaced after its time; what \
         does not show stays broken until a test finds it, another season shows it or something else fails",
        "odds: a failure is followed for 72 h",
        "odds: after a loss everything broken is replaced, and the tank begins again",
    ];
    all.extend(of_study.map(str::to_owned));
    if strata::has_own_faults(scenario) {
        all.push(
            "odds: the faults that the scenario itself states are left out; its parts fail by their lives"
                .to_owned(),
        );
    }
    all
}

fn odds_cautions(scenario: &Scenario, parts: &Parts) -> Vec<Cautioned> {
    let of_mode = |mode: &parts::Mode| {
        let effects = mode.effects.iter();
        let happenings = effects.map(|effect| facts::happening(*effect, &mode.name));
        happenings.collect::<Vec<Happening>>()
    };
    let failures: Vec<Happening> = parts.modes.iter().flat_map(of_mode).collect();
    let mut all = cautions::for_happenings(scenario, &failures);
    all.extend(cautions::for_equipment(scenario));
    all.push(Caution::OddsCompare.because("any odds"));
    cautions::gathered(all)
}
