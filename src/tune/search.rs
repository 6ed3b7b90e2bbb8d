//! A search on its way: settings that were tried, what became of each, and what stands beside the one that is chosen.

use std::collections::BTreeMap;

use tepid_output::cautions;
use tepid_output::records::{
    ALIKE_STEPS, RoomKind, Shown, TuningFault, TuningHeldOut, TuningMerits, TuningNear, TuningOrigin,
    TuningParameter, TuningSafety, TuningSetting, TuningStart, TuningUnsupported,
};
use tepid_scenarios::fault_sets;
use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::run::binds;
use tepid_sim::scenario::{ProbePurpose, Scenario};
use tepid_sim::strategy::StrategyRecipe;
use tepid_strategies::parameter::ParamKind;
use tepid_strategies::values::Value;

use super::merits::{Judged, pareto};
use super::runs::{Place, Runs};
use super::space::{Axis, Point, default_point, sampled, values_at};
use super::{TuneError, TuneRequest, safety, start};
use crate::budget::room_words;
use crate::rooms::ROOMS;
use crate::statistics::difference;
use crate::study::CONFIDENCE_FRAC;

/// Share of the settings that fill the space; the others are steps from the best. A choice.
const SAMPLED_FRAC: f64 = 0.6;

/// First and last length of a step from the best, as a share of an axis. A choice.
const FIRST_STRIDE: f64 = 0.16;
const LAST_STRIDE: f64 = 0.01;

/// How many settings are tried on every single fault before none is recommended. A choice: each takes as long as a comparison under all faults.
const TRIED_FOR_SAFETY: usize = 5;

/// How far a dial is off, K. The question asked of every recommendation.
const DIAL_OFF_K: f64 = 0.3;

/// A setting with its recipe.
pub(super) struct Candidate {
    point: Point,
    texts: Vec<String>,
    origin: TuningOrigin,
    recipe: Box<dyn StrategyRecipe>,
}

fn replicates(count: u64) -> String {
    if count == 1 {
        "1 replicate".to_owned()
    } else {
        format!("{count} replicates")
    }
}

/// A search on its way.
pub(super) struct Search<'a> {
    request: &'a TuneRequest<'a>,
    axes: Vec<Axis>,
    pub(super) runs: Runs<'a>,
    welds: Vec<usize>,
    /// The scenario's own room with the replicates of the search.
    places: Vec<Place>,
    pub(super) candidates: Vec<Candidate>,
    merits: Vec<TuningMerits>,
}

impl<'a> Search<'a> {
    pub(super) fn new(request: &'a TuneRequest<'a>, runs: Runs<'a>) -> Result<Self, TuneError> {
        let sets = fault_sets(request.scenario);
        let known = || {
            sets.iter()
                .filter(|set| !set.cases.is_empty())
                .map(|set| set.name.as_str())
        };
        if let Some(set) = request
            .despite
            .iter()
            .find(|set| !known().any(|known| known == *set))
        {
            return Err(TuneError::NoSuchFaultSet {
                set: set.clone(),
                known: known().collect::<Vec<_>>().join(", "),
            });
        }
        let entry = request.entry;
        let recipe = (entry.build)(&entry.defaults())?;
        binds(request.scenario, recipe.as_ref())?;
        for other in request.also {
            binds(other, recipe.as_ref())?;
        }
        let axes: Vec<Axis> = request.varied.iter().map(Axis::new).collect();
        let defaults = entry.defaults();
        let texts = axes
            .iter()
            .map(|axis| defaults.text(axis.param.name).unwrap_or_default());
        let defaults = Candidate {
            point: default_point(&axes),
            texts: texts.collect(),
            origin: TuningOrigin::Default,
            recipe,
        };
        Ok(Self {
            request,
            welds: runs.welds(),
            places: (0..request.replicates).map(Place::own).collect(),
            axes,
            runs,
            candidates: vec![defaults],
            merits: Vec::new(),
        })
    }

    /// The setting at a point, made if it is new; `None`: its values do not fit together.
    fn at(&mut self, point: Point, origin: TuningOrigin) -> Option<usize> {
        let texts: Vec<String> = self
            .axes
            .iter()
            .zip(&point)
            .map(|(axis, step)| axis.text(*step))
            .collect();
        if let Some(known) = self.candidates.iter().position(|known| known.texts == texts) {
            return Some(known);
        }
        let values = values_at(self.request.entry, &self.axes, &point).ok()?;
        let recipe = (self.request.entry.build)(&values).ok()?;
        self.candidates.push(Candidate {
            point,
            texts,
            origin,
            recipe,
        });
        Some(self.candidates.len() - 1)
    }

    /// Runs and judges whatever has not been.
    fn judge(&mut self) -> Result<(), TuneError> {
        let new: Vec<(usize, &dyn StrategyRecipe)> = (self.merits.len()..self.candidates.len())
            .map(|setting| (setting, self.candidates[setting].recipe.as_ref()))
            .collect();
        self.runs.run_sound(&new, &self.places)?;
        let warmest = ROOMS.iter().position(|room| *room == RoomKind::Warmest);
        let welded = warmest.map(|room| (room, self.welds.clone()));
        self.runs.run_broken(&new, &welded.into_iter().collect())?;
        let judged = self.judged();
        let mut found = self.merits.clone();
        for setting in found.len()..self.candidates.len() {
            let of_defaults = found.first().map(|merits| merits.energy_kwh_per_day);
            found.push(judged.merits(&self.runs, setting, of_defaults)?);
        }
        self.merits = found;
        Ok(())
    }

    fn judged(&self) -> Judged<'_> {
        Judged {
            scenario: self.request.scenario,
            places: &self.places,
            welds: &self.welds,
            warmest: Place::room(RoomKind::Warmest),
        }
    }

    pub(super) fn start(&mut self) -> Result<Vec<TuningStart>, TuneError> {
        let found = start::starts(self.request.scenario, self.request.entry, &self.axes)?;
        let starts = found.into_iter().filter_map(|start| {
            Some(TuningStart {
                rule: start.rule.to_owned(),
                source: start.source.to_owned(),
                reckoned: start.reckoned,
                setting: self.at(start.point, TuningOrigin::Formula)?,
            })
        });
        Ok(starts.collect())
    }

    pub(super) fn sample(&mut self) -> Result<(), TuneError> {
        let wanted = (SAMPLED_FRAC * self.request.settings as f64).ceil() as usize;
        // A coarse space has fewer settings than are wanted: points that are known again and again end the sample.
        for number in 0..4 * wanted as u64 {
            if self.candidates.len() >= wanted {
                break;
            }
            let point = sampled(&self.axes, self.request.seed, number);
            self.at(point, TuningOrigin::Sample);
        }
        self.judge()
    }

    /// Steps from the best along each axis, shorter where none is better.
    pub(super) fn refine(&mut self) -> Result<(), TuneError> {
        let mut stride = FIRST_STRIDE;
        while stride >= LAST_STRIDE && self.candidates.len() < self.request.settings {
            let best = self.best_first()[0];
            let known = self.candidates.len();
            let from = self.candidates[best].point.clone();
            for (index, axis) in self.axes.clone().iter().enumerate() {
                for by in [stride, -stride] {
                    if let Some(step) = axis.moved(from[index], by) {
                        let mut point = from.clone();
                        point[index] = step;
                        self.at(point, TuningOrigin::Refined);
                    }
                }
            }
            self.candidates.truncate(self.request.settings.max(known));
            self.judge()?;
            if self.best_first()[0] == best {
                stride *= 0.5;
            }
        }
        Ok(())
    }

    /// Settings by their steps, best first.
    fn best_first(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.merits.len()).collect();
        order.sort_by(|a, b| {
            self.merits[*a]
                .steps
                .total_cmp(&self.merits[*b].steps)
                .then(a.cmp(b))
        });
        order
    }

    /// The single faults that count, by their numbers.
    pub(super) fn asked_about(&self) -> Vec<usize> {
        let singles = self.runs.singles.iter().enumerate();
        let asked = singles.filter(|(_, single)| !self.request.despite.contains(&single.set));
        asked.map(|(number, _)| number).collect()
    }

    /// The most promising settings on every single fault, until one stands all; the defaults, whatever their place, show what to fear.
    pub(super) fn safety(&self) -> Result<(Vec<RoomKind>, Vec<TuningSafety>), TuneError> {
        let all: BTreeMap<usize, Vec<usize>> =
            (0..ROOMS.len()).map(|room| (room, self.asked_about())).collect();
        let recipe = |setting: usize| (setting, self.candidates[setting].recipe.as_ref());
        self.runs.run_broken(&[recipe(0)], &all)?;
        let unfit = safety::unfit_rooms(&self.runs, 0)?;
        let of_defaults = safety::past(&self.runs, 0, &all, &unfit)?;
        // What takes the defaults past it is not looked for first where it is not held against a setting.
        let feared = if self.request.no_worse {
            &[]
        } else {
            of_defaults.as_slice()
        };
        let mut tried = vec![TuningSafety {
            setting: 0,
            past: of_defaults.clone(),
        }];
        for setting in self.best_first() {
            if setting == 0 {
                if self.is_safe(&of_defaults, &tried) {
                    break;
                }
                continue;
            }
            if tried.len() >= TRIED_FOR_SAFETY {
                break;
            }
            let past = safety::tried(&self.runs, recipe(setting), &all, feared, &unfit)?;
            let safe = self.is_safe(&past, &tried);
            tried.push(TuningSafety { setting, past });
            if safe {
                break;
            }
        }
        let place = |tried: &TuningSafety| self.merits[tried.setting].steps;
        tried.sort_by(|a, b| place(a).total_cmp(&place(b)).then(a.setting.cmp(&b.setting)));
        Ok((unfit, tried))
    }

    /// Whether what takes a setting past the dose is held against it.
    pub(super) fn is_safe(&self, past: &[TuningFault], tried: &[TuningSafety]) -> bool {
        let of_defaults = tried.iter().find(|tried| tried.setting == 0);
        let excused = |fault: &TuningFault| {
            self.request.no_worse
                && of_defaults.is_some_and(|tried| tried.past.iter().any(|known| known.case == fault.case))
        };
        past.iter().all(excused)
    }

    /// A step along each axis, and a dial that is off.
    pub(super) fn near(&mut self, setting: usize) -> Result<Vec<TuningNear>, TuneError> {
        let mut asked: Vec<(String, usize)> = Vec::new();
        let from = self.candidates[setting].point.clone();
        for (index, axis) in self.axes.clone().iter().enumerate() {
            for by in [-1, 1] {
                let Some(step) = axis.next(from[index], by) else {
                    continue;
                };
                let mut point = from.clone();
                point[index] = step;
                if let Some(near) = self.at(point, TuningOrigin::Refined) {
                    asked.push((format!("{} {}", axis.param.name, axis.text(step)), near));
                }
            }
        }
        if self.request.entry.param("setpoint").is_some() {
            for by_k in [-DIAL_OFF_K, DIAL_OFF_K] {
                let mut values = if setting == 0 {
                    self.request.entry.defaults()
                } else {
                    values_at(self.request.entry, &self.axes, &from)?
                };
                values.set(
                    "setpoint",
                    Value::Number(self.request.scenario.water.target_c + by_k),
                )?;
                let side = if by_k > 0.0 { "high" } else { "low" };
                let what = format!("the dial {DIAL_OFF_K} K too {side}");
                self.candidates.push(Candidate {
                    point: from.clone(),
                    texts: vec![what.clone()],
                    origin: TuningOrigin::Refined,
                    recipe: (self.request.entry.build)(&values)?,
                });
                asked.push((what, self.candidates.len() - 1));
            }
        }
        self.judge()?;
        let told = asked.into_iter().map(|(what, near)| TuningNear {
            what,
            merits: self.merits[near],
        });
        Ok(told.collect())
    }

    /// The recommended setting and the defaults where neither was searched.
    pub(super) fn held_out(&self, setting: usize) -> Result<Vec<TuningHeldOut>, TuneError> {
        let request = self.request;
        if setting == 0 {
            return Ok(Vec::new());
        }
        let (from, to) = (request.replicates, request.replicates + request.held_out);
        // A welded contact is judged in the warmest room of this scenario alone, and there it was run.
        let own_welds: &[usize] = &self.welds;
        let mut asked = vec![(
            format!(
                "{}, {} that the search has not seen",
                request.scenario.name,
                replicates(request.held_out)
            ),
            request.scenario,
            own_welds,
            (from..to).map(Place::own).collect::<Vec<_>>(),
        )];
        for room in [RoomKind::Coldest, RoomKind::Warmest] {
            asked.push((
                format!(
                    "{}, {}",
                    request.scenario.name,
                    room_words(request.scenario, room)
                ),
                request.scenario,
                own_welds,
                vec![Place::room(room)],
            ));
        }
        for (other, scenario) in request.also.iter().enumerate() {
            let places = (0..request.held_out).map(|replicate| Place::Other(other, replicate));
            asked.push((
                format!("{}, {}", scenario.name, replicates(request.held_out)),
                scenario,
                &[],
                places.collect(),
            ));
        }
        let both = [0, setting].map(|setting| (setting, self.candidates[setting].recipe.as_ref()));
        let told = asked.into_iter().map(|(words, scenario, welds, places)| {
            self.runs.run_sound(&both, &places)?;
            let judged = |places: &[Place], setting: usize, of_defaults: Option<f64>| {
                let judged = Judged {
                    scenario,
                    places,
                    welds,
                    warmest: Place::room(RoomKind::Warmest),
                };
                judged.merits(&self.runs, setting, of_defaults)
            };
            let defaults = judged(&places, 0, None)?;
            let recommended = judged(&places, setting, Some(defaults.energy_kwh_per_day))?;
            let mut pairs = Vec::new();
            for place in &places {
                let defaults = judged(std::slice::from_ref(place), 0, None)?;
                let energy = Some(defaults.energy_kwh_per_day);
                let found = judged(std::slice::from_ref(place), setting, energy)?;
                pairs.push((found.steps, defaults.steps));
            }
            Ok(TuningHeldOut {
                runs: words,
                recommended,
                defaults,
                steps: (pairs.len() > 1)
                    .then(|| difference(&pairs, true, CONFIDENCE_FRAC, request.seed))
                    .flatten(),
            })
        });
        told.collect()
    }

    /// Why a safe setting is no reason to leave the defaults; `None`: it is one.
    pub(super) fn unsupported(
        &self,
        setting: usize,
        held_out: &[TuningHeldOut],
    ) -> Option<TuningUnsupported> {
        let gained = self.merits[0].steps - self.merits[setting].steps;
        let unseen = held_out.first().and_then(|held| held.steps.as_ref());
        if gained < ALIKE_STEPS {
            Some(TuningUnsupported::Alike)
        } else if unseen.is_none_or(|steps| steps.shown != Shown::Better) {
            Some(TuningUnsupported::NotShown)
        } else {
            None
        }
    }

    /// What must be known of values that are recommended in place of the defaults.
    pub(super) fn remarks(&self, setting: usize) -> Vec<String> {
        if setting == 0 {
            return Vec::new();
        }
        let mut remarks = Vec::new();
        let candidate = &self.candidates[setting];
        let step_k = self
            .request
            .scenario
            .probes
            .iter()
            .filter(|probe| probe.purpose == ProbePurpose::Control)
            .map(|probe| probe.resolution_k)
            .fold(0.0, f64::max);
        for (axis, step) in self.axes.iter().zip(&candidate.point) {
            let (name, text) = (axis.param.name, axis.text(*step));
            if let Some(end) = axis.open_end(*step) {
                remarks.push(format!(
                    "{name} {text} is the {end} value that was searched: a better one may lie beyond (--vary '{name}=FROM..TO')"
                ));
            }
            let in_kelvin = axis.param.kind == ParamKind::Quantity(Kind::TemperatureDifference);
            // A little slack: both are whole tenths that no binary fraction holds.
            if in_kelvin && axis.value(*step) <= step_k * 1.001 {
                remarks.push(format!(
                    "{name} {text} is no more than one step of the probe's display ({}): it switches on what the probe cannot tell apart",
                    print(Kind::TemperatureDifference, step_k, System::Metric)
                ));
            }
        }
        remarks
    }

    pub(super) fn scenario(&self) -> &Scenario {
        self.request.scenario
    }

    pub(super) fn parameters(&self) -> Vec<TuningParameter> {
        let axes = self.axes.iter().zip(&self.candidates[0].texts);
        let told = axes.map(|(axis, default)| {
            let [from, to] = axis.ends();
            TuningParameter {
                parameter: axis.param.name.to_owned(),
                from,
                to,
                step: axis.step_text(),
                default: default.clone(),
            }
        });
        told.collect()
    }

    /// The settings of the search.
    pub(super) fn told(&self, settings: usize) -> Vec<TuningSetting> {
        let merits = &self.merits[..settings];
        let front = pareto(
            merits,
            merits.first().map_or(0.0, |merits| merits.energy_kwh_per_day),
        );
        let candidates = self.candidates.iter().zip(merits).zip(front);
        let told = candidates.map(|((candidate, merits), pareto)| TuningSetting {
            values: candidate.texts.clone(),
            origin: candidate.origin,
            merits: *merits,
            pareto,
        });
        told.collect()
    }

    pub(super) fn assumptions(&self) -> Vec<String> {
        let mut all = vec![
            format!(
                "all settings meet the same weather, noise and draws: seed {}, {} of the scenario's own room",
                self.request.seed,
                replicates(self.request.replicates)
            ),
            "one step: half the closings, 0.1 K of overshoot and undershoot together, 15 min a day outside the band, a tenth of the dose with a contact welded, 2 % of \
             the electricity (a choice, no source)"
                .to_owned(),
            "settings are those that hardware offers: 0.1 K; 1 min, 1 s where the default is shorter than 2 min, 5 min where it is half an hour or more; 5 % (common practice, no \
             source)"
                .to_owned(),
            "safe: no single fault, from the worst instant, for 72 h, in the scenario's own room and in rooms as cold and as warm as the year gets, uses up a dose \
             that would not be used up with nothing broken"
                .to_owned(),
        ];
        all.extend(self.request.scenario.assumptions.iter().cloned());
        all
    }

    pub(super) fn cautions(&self) -> Vec<cautions::Cautioned> {
        let scenario = self.request.scenario;
        let faults = self.runs.singles.iter().map(|single| &single.case.fault);
        let mut all = cautions::for_happenings(scenario, scenario.happenings.iter().chain(faults));
        all.extend(cautions::for_equipment(scenario));
        cautions::gathered(all)
    }
}
