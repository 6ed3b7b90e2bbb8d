//! What a strategy or guard is, what it does, and which faults it covers: by its own page, its list of parameters, and
//! simulation.

use tepid_output::cautions::{self, Caution, Cautioned};
use tepid_output::records::{
    Coverage, CoveredSet, Explained, ExplainedParameter, Explanation, FORMAT_VERSION, PagePart, PastCase,
    RecordKind, StrategyRow,
};
use tepid_scenarios::StrategyFile;
use tepid_sim::run::binds;
use tepid_sim::scenario::{FaultSet, ProbePurpose, Scenario};
use tepid_sim::strategy::{BindError, StrategyRecipe};
use tepid_strategies::guard::{GuardEntry, Guarded, find_guard};
use tepid_strategies::page;
use tepid_strategies::parameter::{Param, ParamError};

use crate::compare::{CompareError, CompareRequest, Progress, compare};

mod way;

/// The strategy that a guard stands around when it is explained: the simplest.
pub const GUARDED: &str = "on-off";

/// The scenario on which the way is shown and faults are tried unless told: one on which a single fault decides, so that
/// it shows what is covered.
pub const REFERENCE: &str = "spare-room-one-big-heater";

/// What to explain.
#[derive(Debug)]
pub enum Subject {
    /// A strategy, with or without guards, by its loaded file; whether it stands in the list.
    Strategy(StrategyFile, bool),
    /// A guard, with its defaults.
    Guard(&'static GuardEntry),
}

/// Why something cannot be explained.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ExplainError {
    /// It names something that the scenario does not have.
    #[error(transparent)]
    Bind(#[from] BindError),
    /// Its faults could not be tried.
    #[error(transparent)]
    Compare(#[from] CompareError),
    /// A guard's defaults do not stand.
    #[error(transparent)]
    Parameter(#[from] ParamError),
}

type Named = (String, Box<dyn StrategyRecipe>);

/// Explains on a scenario, and tries these of its fault sets there.
///
/// # Errors
/// [`ExplainError`].
pub fn explain(
    subject: Subject,
    scenario: &Scenario,
    seed: u64,
    sets: Vec<FaultSet>,
    progress: &dyn Progress,
) -> Result<Explanation, ExplainError> {
    WithoutFaults::on(subject, scenario)?.with_faults(seed, sets, progress)
}

/// Something explained but for the faults, which take their time.
#[derive(Debug)]
pub struct WithoutFaults {
    record: Explanation,
    /// Where faults are tried; `None`: it does not apply.
    scenario: Option<Scenario>,
    tried: Vec<Named>,
}

impl WithoutFaults {
    /// Law, parameters and way on a scenario.
    ///
    /// # Errors
    /// [`ExplainError`].
    pub fn on(subject: Subject, scenario: &Scenario) -> Result<Self, ExplainError> {
        let (mut record, tried, guards) = match subject {
            Subject::Strategy(file, listed) => of_strategy(file, listed),
            Subject::Guard(entry) => of_guard(entry)?,
        };
        let placed = placed(scenario, tried[0].1.as_ref())?;
        record.scenario.clone_from(&scenario.name);
        record.added.clone_from(&placed.added);
        let applies = placed.does_not_apply.is_none();
        record.does_not_apply = placed.does_not_apply;
        if applies {
            record.way = way::way(&placed.scenario, tried[0].1.as_ref(), &guards)?;
        }
        Ok(Self {
            record,
            scenario: applies.then_some(placed.scenario),
            tried,
        })
    }

    /// What is known before any fault is tried.
    #[must_use]
    pub fn record(&self) -> &Explanation {
        &self.record
    }

    /// Tries these fault sets; none: none.
    ///
    /// # Errors
    /// [`ExplainError::Compare`].
    pub fn with_faults(
        self,
        seed: u64,
        sets: Vec<FaultSet>,
        progress: &dyn Progress,
    ) -> Result<Explanation, ExplainError> {
        let mut record = self.record;
        let Some(scenario) = self.scenario.filter(|_| !sets.is_empty()) else {
            return Ok(record);
        };
        record.cautions.extend(cautions::for_equipment(&scenario));
        let (coverage, said) = coverage(scenario, sets, &self.tried, seed, progress)?;
        record.coverage = Some(coverage);
        record.cautions.extend(said);
        record.cautions = cautions::gathered(std::mem::take(&mut record.cautions));
        Ok(record)
    }
}

/// The scenario to explain it on where nobody names one: [`REFERENCE`], or else the first of the library on which it applies.
///
/// # Errors
/// [`ExplainError::Parameter`].
pub fn reference_for(subject: &Subject) -> Result<&'static str, ExplainError> {
    let guarded;
    let recipe = match subject {
        Subject::Strategy(file, _) => file.recipe.as_ref(),
        Subject::Guard(entry) => {
            guarded = of_guard(entry)?.1;
            guarded[0].1.as_ref()
        }
    };
    let applies = |name: &&str| {
        let scenario = tepid_scenarios::scenario(name, &[]).ok();
        scenario.is_some_and(|scenario| {
            placed(&scenario, recipe).is_ok_and(|placed| placed.does_not_apply.is_none())
        })
    };
    let found = std::iter::once(REFERENCE)
        .chain(tepid_scenarios::library::names())
        .find(applies);
    Ok(found.unwrap_or(REFERENCE))
}

/// The record so far, what to try (the thing itself, then what it is compared with), and the guards inside out.
type Begun = (Explanation, Vec<Named>, Vec<&'static GuardEntry>);

fn of_strategy(file: StrategyFile, listed: bool) -> Begun {
    let entry = tepid_strategies::find(file.strategy);
    let summary = entry.map_or("does what its own code says", |entry| entry.summary);
    let is = if listed {
        Explained::Strategy
    } else {
        Explained::StrategyFile
    };
    let mut record = blank(&file.name, is, summary.to_owned(), file.recipe.settings());
    record.page = entry.map_or_else(Vec::new, |entry| pages(entry.page));
    record.parameters = parameters(file.parameters);
    let guards: Vec<&GuardEntry> = file.guards.iter().filter_map(|name| find_guard(name)).collect();
    for guard in &guards {
        let of_guard = |part: &PagePart| ["Law", "Known weakness"].contains(&part.heading.as_str());
        record.page.extend(
            pages(guard.page)
                .into_iter()
                .filter(of_guard)
                .map(|part| PagePart {
                    heading: format!("{} of {}", part.heading, guard.name),
                    text: part.text,
                }),
        );
    }
    (record, vec![(file.name, file.recipe)], guards)
}

fn of_guard(entry: &'static GuardEntry) -> Result<Begun, ExplainError> {
    let recipe = (entry.build)(&entry.defaults())?;
    let mut record = blank(
        entry.name,
        Explained::Guard,
        entry.summary.to_owned(),
        recipe.settings(),
    );
    record.page = pages(entry.page);
    record.parameters = parameters(entry.params);
    let bare = || {
        let entry = tepid_strategies::find(GUARDED).unwrap_or(&tepid_strategies::registry()[0]);
        (entry.build)(&entry.defaults())
    };
    let tried = vec![
        (
            format!("{GUARDED} with {}", entry.name),
            Box::new(Guarded::new(bare()?, vec![recipe])) as Box<dyn StrategyRecipe>,
        ),
        (GUARDED.to_owned(), bare()?),
    ];
    Ok((record, tried, vec![entry]))
}

fn blank(name: &str, is: Explained, summary: String, settings: String) -> Explanation {
    let mut cautions = vec![Caution::StuckHeater.because("software opens no welded contact")];
    cautions.push(Caution::NoCertificate.because("faults tried by simulation"));
    Explanation {
        format: RecordKind::Explanation,
        version: FORMAT_VERSION,
        name: name.to_owned(),
        is,
        summary,
        settings,
        page: Vec::new(),
        parameters: Vec::new(),
        way: Vec::new(),
        scenario: String::new(),
        added: None,
        does_not_apply: None,
        coverage: None,
        cautions,
    }
}

fn pages(source: &'static str) -> Vec<PagePart> {
    let parts = page::parts(source).into_iter();
    parts
        .map(|part| PagePart {
            heading: part.heading.to_owned(),
            text: part.lines.join("\n"),
        })
        .collect()
}

fn parameters(params: &[Param]) -> Vec<ExplainedParameter> {
    params
        .iter()
        .map(|param| ExplainedParameter {
            name: param.name.to_owned(),
            takes: param.kind.to_string(),
            default: param.default_text(),
            range: param.range_text(),
            doc: param.doc.to_owned(),
            trade: param.trade.map(str::to_owned),
        })
        .collect()
}

/// A scenario on which the recipe applies, if that can be had.
struct Placed {
    scenario: Scenario,
    added: Option<String>,
    does_not_apply: Option<String>,
}

fn placed(scenario: &Scenario, recipe: &dyn StrategyRecipe) -> Result<Placed, BindError> {
    let missing = match binds(scenario, recipe) {
        Ok(()) => None,
        Err(BindError::DoesNotApply { missing }) => Some(missing),
        Err(unknown) => return Err(unknown),
    };
    if missing.is_some()
        && let Some((more, added)) = with_more_probes(scenario)
        && binds(&more, recipe).is_ok()
    {
        return Ok(Placed {
            scenario: more,
            added: Some(added),
            does_not_apply: None,
        });
    }
    Ok(Placed {
        scenario: scenario.clone(),
        added: None,
        does_not_apply: missing,
    })
}

/// The scenario with two more probes like its first control probe, in the same place.
fn with_more_probes(scenario: &Scenario) -> Option<(Scenario, String)> {
    let control = scenario
        .probes
        .iter()
        .find(|probe| probe.purpose == ProbePurpose::Control)?;
    let mut more = scenario.clone();
    for nth in ["second", "third"] {
        let mut probe = control.clone();
        probe.name = format!("{} {nth}", control.name);
        probe.purpose = ProbePurpose::Monitor;
        more.probes.push(probe);
    }
    Some((more, format!("two more probes beside `{}`", control.name)))
}

fn coverage(
    scenario: Scenario,
    sets: Vec<FaultSet>,
    tried: &[Named],
    seed: u64,
    progress: &dyn Progress,
) -> Result<(Coverage, Vec<Cautioned>), CompareError> {
    let request = CompareRequest {
        scenarios: &[(scenario, sets.clone())],
        strategies: tried,
        seed,
        replicates: 1,
    };
    let mut comparison = compare(&request, progress)?;
    let block = comparison.scenarios.remove(0);
    let covered = sets
        .iter()
        .filter(|set| !set.cases.is_empty())
        .map(|set| CoveredSet {
            set: set.name.clone(),
            cases: u32::try_from(set.cases.len()).unwrap_or(u32::MAX),
            past: block.rows.first().and_then(|row| past(row, &set.name)),
            past_without_guard: block.rows.get(1).and_then(|row| past(row, &set.name)),
        })
        .collect();
    let outcomes = block.rows.iter().flat_map(|row| &row.faults);
    let coverage = Coverage {
        followed_h: outcomes.map(|outcome| outcome.horizon_h).fold(0.0, f64::max),
        tried: tried[0].0.clone(),
        compared_with: tried.get(1).map(|(name, _)| name.clone()),
        sets: covered,
    };
    Ok((coverage, block.cautions))
}

/// The soonest of a set's cases that takes anything past the dose.
fn past(row: &StrategyRow, set: &str) -> Option<PastCase> {
    let of_set = row.faults.iter().filter(|outcome| outcome.set == set);
    let taken = of_set.filter_map(|outcome| {
        Some(PastCase {
            case: outcome.case.clone(),
            room: outcome.room,
            used_up_h: outcome.taken_past_h()?,
        })
    });
    taken.min_by(|a, b| a.used_up_h.total_cmp(&b.used_up_h))
}
