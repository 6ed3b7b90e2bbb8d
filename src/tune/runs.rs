//! The runs of settings: each is a cell that is run once, written into the journal, and looked up from then on.

use std::collections::BTreeMap;
use std::sync::Mutex;

use rayon::prelude::*;
use tepid_output::records::RoomKind;
use tepid_scenarios::{SCORES, fault_sets};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Effect, FaultCase, Role, Scenario};
use tepid_sim::strategy::StrategyRecipe;

use super::TuneError;
use crate::compare::Progress;
use crate::exposure::{Healthy, worst_run};
use crate::rooms::{self, ROOMS};
use crate::study::{CellResult, CellScores, Journal};

/// Where a setting is run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Place {
    /// In a room of the scenario, with the random numbers of a replicate.
    Room(usize, u64),
    /// In another scenario, likewise.
    Other(usize, u64),
}

/// The scenario's own room.
pub(super) const OWN: usize = 0;

impl Place {
    /// The scenario's own room.
    pub(super) fn own(replicate: u64) -> Self {
        Self::Room(OWN, replicate)
    }

    /// A room that never changes, or the scenario's own, with the first random numbers.
    pub(super) fn room(room: RoomKind) -> Self {
        Self::Room(ROOMS.iter().position(|kind| *kind == room).unwrap_or(OWN), 0)
    }
}

/// A single fault, by its set.
#[derive(Debug, Clone)]
pub(super) struct Single {
    pub(super) set: String,
    pub(super) case: FaultCase,
}

/// All that can be run.
pub(super) struct Runs<'a> {
    placed: Vec<Scenario>,
    others: &'a [Scenario],
    pub(super) singles: Vec<Single>,
    /// Replicates kept apart by number: none has as many.
    seed: u64,
    known: Mutex<BTreeMap<u64, CellResult>>,
    journal: Option<Mutex<Journal>>,
    broken: Mutex<Option<TuneError>>,
    progress: &'a dyn Progress,
}

/// Most replicates of one place: cells are numbered by it.
const MOST_REPLICATES: u64 = 1 << 16;

impl<'a> Runs<'a> {
    pub(super) fn new(
        scenario: &Scenario,
        others: &'a [Scenario],
        seed: u64,
        mut journal: Option<Journal>,
        progress: &'a dyn Progress,
    ) -> Result<Self, TuneError> {
        let sets = fault_sets(scenario).into_iter();
        let singles = sets.flat_map(|set| {
            let name = set.name;
            let single = set.cases.into_iter().filter(|case| case.already.is_empty());
            single.map(move |case| Single {
                set: name.clone(),
                case,
            })
        });
        let mut known = BTreeMap::new();
        if let Some(journal) = &mut journal {
            let cells: Vec<u64> = journal.cells().collect();
            for cell in cells {
                if let Some(result) = journal.get(cell)? {
                    known.insert(cell, result);
                }
            }
        }
        Ok(Self {
            placed: ROOMS.map(|room| rooms::in_room(scenario, room)).to_vec(),
            others,
            singles: singles.collect(),
            seed,
            known: Mutex::new(known),
            journal: journal.map(Mutex::new),
            broken: Mutex::default(),
            progress,
        })
    }

    /// The welded contacts that heat, by the number of their case.
    pub(super) fn welds(&self) -> Vec<usize> {
        let heats = |case: &FaultCase| match case.fault.effect {
            Effect::ContactWelded(contact) => self.placed[OWN].contacts[contact.0].role == Some(Role::Heat),
            _ => false,
        };
        let numbered = self.singles.iter().enumerate();
        numbered
            .filter(|(_, single)| heats(&single.case))
            .map(|(number, _)| number)
            .collect()
    }

    /// Runs what is missing of these settings with nothing broken in these places.
    pub(super) fn run_sound(
        &self,
        settings: &[(usize, &dyn StrategyRecipe)],
        places: &[Place],
    ) -> Result<(), TuneError> {
        let pieces: Vec<_> = settings
            .iter()
            .flat_map(|setting| places.iter().map(move |place| (*setting, *place, Vec::new())))
            .collect();
        self.run_all(pieces)
    }

    /// Runs what is missing of these settings under these single faults in these rooms.
    pub(super) fn run_broken(
        &self,
        settings: &[(usize, &dyn StrategyRecipe)],
        broken: &BTreeMap<usize, Vec<usize>>,
    ) -> Result<(), TuneError> {
        let pieces: Vec<_> = settings
            .iter()
            .flat_map(|setting| {
                let rooms = broken.iter();
                rooms.map(move |(room, cases)| (*setting, Place::Room(*room, 0), cases.clone()))
            })
            .collect();
        self.run_all(pieces)
    }

    fn run_all(&self, pieces: Vec<Piece<'_>>) -> Result<(), TuneError> {
        let missing: Vec<Piece<'_>> = pieces
            .into_iter()
            .filter_map(|((setting, recipe), place, cases)| {
                let cases: Vec<usize> = cases
                    .into_iter()
                    .filter(|case| !self.has(self.cell(setting, place, Some(*case))))
                    .collect();
                let wanted = !cases.is_empty() || !self.has(self.cell(setting, place, None));
                wanted.then_some(((setting, recipe), place, cases))
            })
            .collect();
        self.progress
            .expect(missing.iter().map(|(_, _, cases)| 1 + cases.len() as u64).sum());
        missing.par_iter().for_each(|piece| self.piece(piece));
        match self.broken.lock() {
            Ok(mut broken) => broken.take().map_or(Ok(()), Err),
            Err(_) => Ok(()),
        }
    }

    fn piece(&self, ((setting, recipe), place, cases): &Piece<'_>) {
        let (scenario, replicate) = match place {
            Place::Room(room, replicate) => (&self.placed[*room], *replicate),
            Place::Other(other, replicate) => (&self.others[*other], *replicate),
        };
        let request = RunRequest {
            replicate,
            ..RunRequest::new(scenario, *recipe, self.seed)
        };
        let sound = match run(&request, None) {
            Ok(scores) => scores,
            Err(error) => {
                let failed = CellResult::Failed(error.to_string());
                self.put(self.cell(*setting, *place, None), failed.clone());
                for case in cases {
                    self.put(self.cell(*setting, *place, Some(*case)), failed.clone());
                }
                return;
            }
        };
        self.put(
            self.cell(*setting, *place, None),
            CellResult::Scored(CellScores::healthy(&sound, request.end_ms)),
        );
        let kind = match place {
            Place::Room(room, _) => ROOMS[*room],
            Place::Other(..) => RoomKind::Scenario,
        };
        let healthy = Healthy::new(&request, kind, &sound);
        cases.par_iter().for_each(|case| {
            let result = match worst_run(&healthy, &self.singles[*case].case) {
                Ok(worst) => CellResult::Scored(CellScores::under_fault(
                    &worst.scores,
                    worst.began_ms,
                    worst.end_ms,
                )),
                Err(error) => CellResult::Failed(error.to_string()),
            };
            self.put(self.cell(*setting, *place, Some(*case)), result);
        });
    }

    /// The number of a run among all.
    fn cell(&self, setting: usize, place: Place, case: Option<usize>) -> u64 {
        let (place, replicate) = match place {
            Place::Room(room, replicate) => (room, replicate),
            Place::Other(other, replicate) => (ROOMS.len() + other, replicate),
        };
        let places = (ROOMS.len() + self.others.len()) as u64;
        let cases = 1 + self.singles.len() as u64;
        let at = (setting as u64 * places + place as u64) * MOST_REPLICATES + replicate;
        at * cases + case.map_or(0, |case| 1 + case as u64)
    }

    fn has(&self, cell: u64) -> bool {
        self.known.lock().is_ok_and(|known| known.contains_key(&cell))
    }

    fn put(&self, cell: u64, result: CellResult) {
        // What was run before is told of again by a run whose faults were missing.
        if self.has(cell) {
            return;
        }
        let written = match &self.journal {
            Some(journal) => journal
                .lock()
                .map_or(Ok(()), |mut journal| journal.add(cell, &result)),
            None => Ok(()),
        };
        if let Err(error) = written
            && let Ok(mut broken) = self.broken.lock()
        {
            broken.get_or_insert(error.into());
        }
        if let Ok(mut known) = self.known.lock() {
            known.insert(cell, result);
        }
        self.progress.done();
    }

    /// The scores of a run.
    ///
    /// # Errors
    /// [`TuneError::Failed`] with the reason why it gave none.
    pub(super) fn scores(
        &self,
        setting: usize,
        place: Place,
        case: Option<usize>,
    ) -> Result<CellScores, TuneError> {
        let cell = self.cell(setting, place, case);
        let found = self.known.lock().ok().and_then(|known| known.get(&cell).cloned());
        match found {
            Some(CellResult::Scored(scores)) => Ok(scores),
            Some(CellResult::Failed(reason)) => Err(TuneError::Failed(reason)),
            None => Err(TuneError::Failed(
                "a run that was asked for is missing".to_owned(),
            )),
        }
    }

    /// The journal, all runs written.
    pub(super) fn into_journal(self) -> Option<Journal> {
        let journal = self.journal?;
        Some(
            journal
                .into_inner()
                .unwrap_or_else(|poisoned| poisoned.into_inner()),
        )
    }
}

/// A setting in a place, with nothing broken and under faults.
type Piece<'r> = ((usize, &'r dyn StrategyRecipe), Place, Vec<usize>);

/// The value of a score in its published unit; `None`: it has none in this run.
pub(super) fn value(scores: &CellScores, name: &str) -> Option<f64> {
    let place = SCORES.iter().position(|score| score.name == name)?;
    scores.values.get(place).copied().flatten()
}
