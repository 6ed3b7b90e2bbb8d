//! What a study runs: its variants, its cells and their names.
//!
//! A *piece* is one scenario, strategy and replicate: a run with nothing broken and what each fault case makes of it. A *cell* is one of these
//! runs. Pieces and cells are numbered in the study's order; nothing is kept for each of them, so that a large study takes no more memory.

use std::borrow::Cow;
use std::fmt::Write as _;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use tepid_output::records::{NotApplied, StudyGroup};
use tepid_scenarios::{
    Gate, NO_FAULT, Put, Report, Study, StudyScenario, StudyStrategy, Takes, Vary, VaryOf, fault_set,
};
use tepid_sim::run::binds;
use tepid_sim::scenario::{FaultCase, Scenario};
use tepid_sim::strategy::{BindError, StrategyRecipe};

use super::digest::digest;
use super::shard::Shard;
use crate::uncertainty::draw;

/// What a study runs.
#[derive(Debug)]
pub struct Plan {
    /// The study.
    pub study: Study,
    /// Its scenarios, one for each value of what varies in them.
    pub scenarios: Vec<ScenarioPoint>,
    /// Its strategies, likewise.
    pub strategies: Vec<StrategyPoint>,
    /// Scenarios with the strategies that apply to them, scenario by scenario.
    pub pairs: Vec<Pair>,
    /// Those that do not.
    pub does_not_apply: Vec<NotApplied>,
    /// Digest of everything that the cells depend on.
    pub digest: String,
}

/// A scenario of a study with the values of what varies.
#[derive(Debug)]
pub struct ScenarioPoint {
    /// "spare-room-winter", "spare-room-winter, heater.left.power = 150 W".
    pub name: String,
    /// Which scenario of the study it is.
    pub of: usize,
    /// The scenario.
    pub scenario: Scenario,
    /// What each cell of a piece breaks.
    pub cases: Vec<Case>,
    /// Position of a value for each varied field that is listed.
    listed: Vec<usize>,
}

/// A strategy of a study with the values of what varies.
#[derive(Debug)]
pub struct StrategyPoint {
    /// "on-off", "on-off, deadband = 0.4 K".
    pub name: String,
    /// Which strategy of the study it is.
    pub of: usize,
    /// Makes it.
    pub recipe: Box<dyn StrategyRecipe>,
    /// Position of a value for each varied field that is listed.
    listed: Vec<usize>,
}

/// What one cell breaks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Case {
    /// The fault set: "one contact welded".
    pub set: String,
    /// The case: "relay left welded".
    pub name: String,
    /// Its place in the set; `None`: nothing is broken.
    pub place: Option<usize>,
}

/// A scenario and a strategy that applies to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pair {
    /// Place in [`Plan::scenarios`].
    pub scenario: usize,
    /// Place in [`Plan::strategies`].
    pub strategy: usize,
    /// Number of its first cell.
    first_cell: u64,
}

/// A cell taken apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CellPlace {
    /// Place in [`Plan::pairs`].
    pub pair: usize,
    /// Replicate, from 0.
    pub replicate: u64,
    /// Place in the scenario's cases.
    pub case: usize,
}

/// What a cell is of.
#[derive(Debug, Clone, Copy)]
pub struct Names<'p> {
    /// The scenario's variant.
    pub scenario: &'p str,
    /// The strategy's variant.
    pub strategy: &'p str,
    /// The case.
    pub case: &'p Case,
}

/// A study that cannot be planned.
#[derive(Debug, thiserror::Error)]
pub enum PlanError {
    /// Values that do not stand together.
    #[error("{}", .0.plain())]
    Values(Box<Report>),
    /// A fault set finds nothing to strike.
    #[error(
        "fault set `{set}` has no case in any scenario of this study: there is nothing that it could strike"
    )]
    StrikesNothing {
        /// The set.
        set: String,
    },
    /// Two cells of one name.
    #[error(
        "two cells of this study are named `{name}`; expected names of scenarios and strategies that do not run into each other: name = \"…\""
    )]
    OneNameForTwo {
        /// The name.
        name: String,
    },
    /// No strategy applies to any scenario.
    #[error("no strategy of this study applies to any of its scenarios: {reason}")]
    NothingApplies {
        /// One of the reasons.
        reason: String,
    },
}

impl From<Report> for PlanError {
    fn from(report: Report) -> Self {
        Self::Values(Box::new(report))
    }
}

impl Plan {
    /// Builds every variant and finds out what applies.
    ///
    /// # Errors
    /// [`PlanError`].
    pub fn new(study: Study) -> Result<Self, PlanError> {
        let scenarios = scenario_points(&study)?;
        let strategies = strategy_points(&study)?;
        for set in study.faults.iter().filter(|set| *set != NO_FAULT) {
            let strikes = |point: &ScenarioPoint| point.cases.iter().any(|case| case.set == *set);
            if !scenarios.iter().any(strikes) {
                return Err(PlanError::StrikesNothing { set: set.clone() });
            }
        }
        let mut pairs = Vec::new();
        let mut does_not_apply = Vec::new();
        let mut first_cell = 0;
        for (at, scenario) in scenarios.iter().enumerate() {
            for (with, strategy) in strategies.iter().enumerate() {
                match binds(&scenario.scenario, strategy.recipe.as_ref()) {
                    Ok(()) => {
                        pairs.push(Pair {
                            scenario: at,
                            strategy: with,
                            first_cell,
                        });
                        first_cell += study.replicates * scenario.cases.len() as u64;
                    }
                    Err(BindError::DoesNotApply { missing }) => does_not_apply.push(NotApplied {
                        scenario: scenario.name.clone(),
                        strategy: strategy.name.clone(),
                        missing,
                    }),
                    Err(BindError::Unknown { what, name, known }) => {
                        let puts = puts(&study, &strategy.listed, None);
                        let file = study.strategies[strategy.of].with(&puts)?;
                        return Err(file.misnamed(what, &name, &known, &scenario.name).into());
                    }
                }
            }
        }
        if let (true, Some(first)) = (pairs.is_empty(), does_not_apply.first()) {
            return Err(PlanError::NothingApplies {
                reason: format!("{} in {}: {}", first.strategy, first.scenario, first.missing),
            });
        }
        let digest = digest(&study, &scenarios, &strategies);
        let plan = Self {
            study,
            scenarios,
            strategies,
            pairs,
            does_not_apply,
            digest,
        };
        plan.cells_told_apart()?;
        Ok(plan)
    }

    /// How many cells there are with all replicates.
    #[must_use]
    pub fn cells(&self) -> u64 {
        let each = self.pairs.iter().map(|pair| self.cases(*pair).len() as u64);
        each.sum::<u64>() * self.study.replicates
    }

    /// The cases of a pair's scenario.
    #[must_use]
    pub fn cases(&self, pair: Pair) -> &[Case] {
        &self.scenarios[pair.scenario].cases
    }

    /// The number of a cell.
    #[must_use]
    pub fn cell(&self, place: CellPlace) -> u64 {
        let pair = self.pairs[place.pair];
        pair.first_cell + place.replicate * self.cases(pair).len() as u64 + place.case as u64
    }

    /// The cell of that number; `None`: there is none.
    #[must_use]
    pub fn place(&self, cell: u64) -> Option<CellPlace> {
        let pair = self
            .pairs
            .partition_point(|pair| pair.first_cell <= cell)
            .checked_sub(1)?;
        let within = cell - self.pairs[pair].first_cell;
        let cases = self.cases(self.pairs[pair]).len() as u64;
        let (replicate, case) = (within / cases, (within % cases) as usize);
        (replicate < self.study.replicates).then_some(CellPlace {
            pair,
            replicate,
            case,
        })
    }

    /// The number of a piece: whole replicates of a pair are dealt out to the parts of a study by it.
    #[must_use]
    pub fn piece(&self, pair: usize, replicate: u64) -> u64 {
        replicate * self.pairs.len() as u64 + pair as u64
    }

    /// How many cells a part has.
    #[must_use]
    pub fn cells_of(&self, shard: Shard) -> u64 {
        let of_pair = |(number, pair): (usize, &Pair)| {
            let replicates = 0..self.study.replicates;
            let ours = replicates.filter(|replicate| shard.runs(self.piece(number, *replicate)));
            ours.count() as u64 * self.cases(*pair).len() as u64
        };
        self.pairs.iter().enumerate().map(of_pair).sum()
    }

    /// What a cell is of, by name.
    #[must_use]
    pub fn names(&self, place: CellPlace) -> Names<'_> {
        let pair = self.pairs[place.pair];
        Names {
            scenario: &self.scenarios[pair.scenario].name,
            strategy: &self.strategies[pair.strategy].name,
            case: &self.cases(pair)[place.case],
        }
    }

    /// The strategy that the others are compared with: the first variant of the one the study names.
    #[must_use]
    pub fn reference(&self) -> Option<usize> {
        let name = &self.study.reference;
        let is_it = |point: &StrategyPoint| self.study.strategies[point.of].file.name == *name;
        self.strategies.iter().position(is_it)
    }

    /// Whether a gate speaks of a group.
    #[must_use]
    pub fn speaks_of(&self, gate: &Gate, group: &StudyGroup) -> bool {
        let scenario = self.scenarios.iter().find(|point| point.name == group.scenario);
        let strategy = self.strategies.iter().find(|point| point.name == group.strategy);
        let is = |wanted: &Option<String>, name: Option<&str>| {
            wanted.as_deref().is_none_or(|wanted| Some(wanted) == name)
        };
        let scenario = scenario.map(|point| self.study.scenarios[point.of].scenario.name.as_str());
        let strategy = strategy.map(|point| self.study.strategies[point.of].file.name.as_str());
        let has_value = gate.score.under_faults || group.fault_set == NO_FAULT;
        has_value
            && is(&gate.under, Some(&group.fault_set))
            && is(&gate.scenario, scenario)
            && is(&gate.strategy, strategy)
    }

    /// The name of a tank with livestock, by its place among those.
    #[must_use]
    pub fn tank_name(&self, pair: usize, place: usize) -> Option<String> {
        let scenario = &self.scenarios[self.pairs[pair].scenario].scenario;
        let mut stocked = scenario.tanks.iter().filter(|tank| tank.livestock);
        stocked.nth(place).map(|tank| tank.name.clone())
    }

    /// Whether a value is drawn for each replicate.
    #[must_use]
    pub fn draws(&self) -> bool {
        self.study
            .vary
            .iter()
            .any(|vary| matches!(vary.takes, Takes::Drawn(_)))
    }

    /// The scenario of a pair in a replicate, with what is drawn for it.
    ///
    /// # Errors
    /// Drawn values that do not stand there.
    pub fn scenario_of(&self, pair: Pair, replicate: u64) -> Result<Cow<'_, Scenario>, Report> {
        let point = &self.scenarios[pair.scenario];
        if !self.draws() {
            return Ok(Cow::Borrowed(&point.scenario));
        }
        let puts = puts(&self.study, &point.listed, Some(replicate));
        built(&self.study, &self.study.scenarios[point.of], &puts).map(Cow::Owned)
    }

    /// The strategy of a pair in a replicate, with what is drawn for it.
    ///
    /// # Errors
    /// Drawn values that do not stand there.
    pub fn recipe_of(&self, pair: Pair, replicate: u64) -> Result<Recipe<'_>, Report> {
        let point = &self.strategies[pair.strategy];
        if !self.draws() {
            return Ok(Recipe::Kept(point.recipe.as_ref()));
        }
        let puts = puts(&self.study, &point.listed, Some(replicate));
        let file = self.study.strategies[point.of].with(&puts)?;
        Ok(Recipe::Drawn(file.recipe))
    }
}

/// A strategy of a replicate.
#[derive(Debug)]
pub enum Recipe<'a> {
    /// That of the variant.
    Kept(&'a dyn StrategyRecipe),
    /// One with values drawn for this replicate.
    Drawn(Box<dyn StrategyRecipe>),
}

impl Recipe<'_> {
    /// The recipe.
    #[must_use]
    pub fn get(&self) -> &dyn StrategyRecipe {
        match self {
            Self::Kept(recipe) => *recipe,
            Self::Drawn(recipe) => recipe.as_ref(),
        }
    }
}

impl ScenarioPoint {
    /// The name of a case: "none", "relay left welded"; with its set where another set has one of that name.
    #[must_use]
    pub fn case_name(&self, case: usize) -> String {
        let this = &self.cases[case];
        let of_that_name = self.cases.iter().filter(|other| other.name == this.name);
        if of_that_name.count() > 1 {
            format!("{}: {}", this.set, this.name)
        } else {
            this.name.clone()
        }
    }
}

impl Case {
    /// The fault of this case in a scenario; `None`: nothing is broken.
    #[must_use]
    pub fn fault(&self, scenario: &Scenario) -> Option<FaultCase> {
        let set = fault_set(scenario, &self.set).ok()?;
        set.cases.into_iter().nth(self.place?)
    }
}

/// The values of listed fields at a place for each, and those drawn for a replicate; `None`: nothing is drawn yet.
fn puts<'s>(study: &'s Study, listed: &[usize], replicate: Option<u64>) -> Vec<Put<'s>> {
    let mut positions = listed.iter();
    let each = study
        .vary
        .iter()
        .enumerate()
        .filter_map(|(at, vary)| match &vary.takes {
            Takes::Each(_) => vary.listed(*positions.next()?),
            Takes::Drawn(drawn) => {
                // A stream of its own for each field and replicate: another field more changes no other draw.
                let mut numbers = ChaCha8Rng::seed_from_u64(study.seed ^ ((at as u64 + 1) << 48));
                numbers.set_stream(replicate?);
                vary.drawn(draw::value(drawn.distribution, &mut numbers)?)
            }
        });
    each.collect()
}

fn built(study: &Study, of: &StudyScenario, puts: &[Put<'_>]) -> Result<Scenario, Report> {
    let mut scenario = of.with(puts)?;
    if let Some(duration_ms) = study.duration_ms {
        scenario.duration_ms = duration_ms;
    }
    Ok(scenario)
}

/// All combinations of positions in the lists of what varies, the last one quickest; a field that does not concern stays at its first value.
fn combinations(study: &Study, concerns: impl Fn(&Vary) -> bool) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for vary in &study.vary {
        if let Takes::Each(values) = &vary.takes {
            let positions = if concerns(vary) { values.len() } else { 1 };
            all = all
                .into_iter()
                .flat_map(|so_far: Vec<usize>| {
                    (0..positions).map(move |position| {
                        let mut longer = so_far.clone();
                        longer.push(position);
                        longer
                    })
                })
                .collect();
        }
    }
    all
}

/// A name with the values of the listed fields that concern it.
fn named(name: &str, study: &Study, listed: &[usize], concerns: impl Fn(&Vary) -> bool) -> String {
    let mut text = name.to_owned();
    let fields = study
        .vary
        .iter()
        .filter(|vary| matches!(vary.takes, Takes::Each(_)));
    for (vary, position) in fields.zip(listed) {
        if let Some(put) = vary.listed(*position).filter(|_| concerns(vary)) {
            // Writing to a string cannot fail.
            let _ = write!(text, ", {}", put.label());
        }
    }
    text
}

fn scenario_points(study: &Study) -> Result<Vec<ScenarioPoint>, PlanError> {
    let concerns = |vary: &Vary| vary.of == VaryOf::Scenario;
    let mut points = Vec::new();
    for (of, entry) in study.scenarios.iter().enumerate() {
        for listed in combinations(study, concerns) {
            let scenario = built(study, entry, &puts(study, &listed, None))?;
            points.push(ScenarioPoint {
                name: named(&entry.scenario.name, study, &listed, concerns),
                of,
                cases: cases(study, &scenario),
                scenario,
                listed,
            });
        }
    }
    Ok(points)
}

fn strategy_points(study: &Study) -> Result<Vec<StrategyPoint>, PlanError> {
    let mut points = Vec::new();
    for (of, entry) in study.strategies.iter().enumerate() {
        let concerns = |vary: &Vary| concerns(entry, vary);
        for listed in combinations(study, concerns) {
            points.push(StrategyPoint {
                name: named(&entry.file.name, study, &listed, concerns),
                of,
                recipe: entry.with(&puts(study, &listed, None))?.recipe,
                listed,
            });
        }
    }
    Ok(points)
}

fn concerns(strategy: &StudyStrategy, vary: &Vary) -> bool {
    vary.of == VaryOf::Strategy && strategy.has(&vary.path)
}

fn cases(study: &Study, scenario: &Scenario) -> Vec<Case> {
    let mut cases = Vec::new();
    for set in &study.faults {
        if set == NO_FAULT {
            cases.push(Case {
                set: set.clone(),
                name: set.clone(),
                place: None,
            });
        } else if let Ok(found) = fault_set(scenario, set) {
            cases.extend(found.cases.iter().enumerate().map(|(place, case)| Case {
                set: set.clone(),
                name: case.fault.name.clone(),
                place: Some(place),
            }));
        }
    }
    cases
}
