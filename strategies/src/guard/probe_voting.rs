//! Probe voting: replaces a reading that other probes contradict.
//!
//! # Law
//! A reading outside `lowest` to `highest`, or one that differs from the same probe's last one by more than
//! `largest_jump`, does not vote. Of three votes or more the median counts: the probe's own reading passes where it
//! votes and lies within `disagreement` of it, else the median takes its place. Two votes count where they lie
//! within `disagreement` of each other: then the probe's own passes, or their mean takes its place. Else there is no
//! reading.
//!
//! # Reads
//! `probe` and those that vote with it.
//!
//! # Commands
//! Nothing. It changes the reading of `probe` that the strategy, and guards before it in the file, see; and raises
//! an alert when it begins to.
//!
//! # Memory and reset
//! Each probe's last reading; kept over a power outage.
//!
//! # Parameters
//! - `probe`: default: the first control probe: whose reading is watched over.
//! - `voters`: default: every probe in its tank. Probes in other tanks read other water.
//! - `disagreement`: K, default 1: more than the probes differ by when all is well.
//! - `lowest`, `highest`: °C, default 5 and 45.
//! - `largest_jump`: K, default 2, from one decision to the next.
//!
//! # When the probe is silent
//! It does not vote; where two others agree, their mean takes its place.
//!
//! # Known weakness
//! Two probes that are wrong alike outvote one that is right: probes on one lead, of one batch, or out of the water
//! together. With two probes it can tell that one is wrong and not which: then there is no reading, and with
//! `without_reading = "off"` the tank cools. After a jump to a wrong value only the first reading is left out.
//!
//! # Source
//! The median of an odd number of redundant readings, textbook matter; from memory. The defaults are common
//! practice, no source.

use tepid_sim::ids::ProbeId;
use tepid_sim::quantity::Kind;
use tepid_sim::strategy::{BindError, Readings, Wiring};
use tepid_sim::time::Millis;

use super::{ActsOn, BelongsAfter, Correction, Guard, GuardEntry, GuardRecipe, Verdict};
use crate::control_loop::{PROBE, probe, reading_c};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;
use crate::wording::difference_text;

/// Its place among the guards.
pub const ENTRY: GuardEntry = GuardEntry {
    name: "probe-voting",
    summary: "replaces a reading that other probes contradict before the strategy sees it",
    acts_on: ActsOn::Readings,
    belongs_after: Some(BelongsAfter {
        guards: &["software-limit", "rate-of-rise", "fan-on-limit"],
        why: "guards after it read the probe itself, not what it puts in its place",
    }),
    params: &[VOTERS, DISAGREEMENT, LOWEST, HIGHEST, LARGEST_JUMP, PROBE],
    page: own_page!("probe_voting.rs"),
    build,
};

const VOTERS: Param = Param {
    name: "voters",
    kind: ParamKind::ProbeNames,
    default: ParamDefault::OfScenario("every probe in its tank"),
    range: None,
    doc: "the probes that vote: three, to outvote one",
    trade: None,
};

const DISAGREEMENT: Param = Param {
    name: "disagreement",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(1.0),
    range: Some(ParamRange { from: 0.05, to: 10.0 }),
    doc: "how far a reading may lie from the others",
    trade: Some("smaller: a drifting probe is outvoted sooner, and honest ones more often"),
};

const LOWEST: Param = bound_param("lowest", 5.0, "a colder reading cannot be")
    .trading("higher: catches more broken probes, and disbelieves a tank that has honestly gone cold");
const HIGHEST: Param = bound_param("highest", 45.0, "a warmer reading cannot be")
    .trading("lower: catches more broken probes, and disbelieves a tank that is honestly overheating");

const LARGEST_JUMP: Param = Param {
    name: "largest_jump",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(2.0),
    range: Some(ParamRange { from: 0.05, to: 20.0 }),
    doc: "a larger change from one decision to the next cannot be",
    trade: Some("smaller: catches more single wild readings, and holds back after a real water change"),
};

const fn bound_param(name: &'static str, default: f64, doc: &'static str) -> Param {
    Param {
        name,
        kind: ParamKind::Quantity(Kind::Temperature),
        default: ParamDefault::Number(default),
        range: Some(ParamRange {
            from: -5.0,
            to: 100.0,
        }),
        doc,
        trade: None,
    }
}

#[derive(Debug, Clone, Copy)]
struct Limits {
    disagreement_k: f64,
    lowest_c: f64,
    highest_c: f64,
    largest_jump_k: f64,
}

#[derive(Debug, Clone)]
struct ProbeVoting {
    limits: Limits,
    probe: Option<String>,
    voters: Option<Vec<String>>,
}

fn build(values: &Values) -> Result<Box<dyn GuardRecipe>, ParamError> {
    let limits = Limits {
        disagreement_k: values.get_number(DISAGREEMENT.name)?,
        lowest_c: values.get_number(LOWEST.name)?,
        highest_c: values.get_number(HIGHEST.name)?,
        largest_jump_k: values.get_number(LARGEST_JUMP.name)?,
    };
    let edges = (Some(limits.lowest_c), Some(limits.highest_c));
    super::check_edges(LOWEST.name, edges.0, HIGHEST.name, edges.1)?;
    Ok(Box::new(ProbeVoting {
        limits,
        probe: values.given_name(PROBE.name).map(str::to_owned),
        voters: values.given_names(VOTERS.name).map(<[String]>::to_vec),
    }))
}

impl GuardRecipe for ProbeVoting {
    fn name(&self) -> &'static str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        let voters = self
            .voters
            .as_ref()
            .map_or_else(|| "all probes of the tank".to_owned(), |voters| voters.join(", "));
        format!("{voters} within {}", difference_text(self.limits.disagreement_k))
    }

    fn bind(&self, wiring: &Wiring, _interval_ms: Millis) -> Result<Box<dyn Guard>, BindError> {
        let own = probe(wiring, self.probe.as_deref())?;
        let tank = &wiring.probes[own.0].tank;
        let mut voters: Vec<ProbeId> = match &self.voters {
            Some(names) => names
                .iter()
                .map(|name| wiring.probe(name))
                .collect::<Result<_, _>>()?,
            None => (0..wiring.probes.len())
                .map(ProbeId)
                .filter(|probe| wiring.probes[probe.0].tank == *tank)
                .collect(),
        };
        if !voters.contains(&own) {
            voters.push(own);
        }
        if voters.len() < 2 {
            let place = match tank {
                Some(tank) => format!("`{tank}`"),
                None => "the room's air".to_owned(),
            };
            return Err(BindError::DoesNotApply {
                missing: format!("no second probe in {place}"),
            });
        }
        Ok(Box::new(Bound {
            limits: self.limits,
            own,
            name: wiring.probes[own.0].name.clone(),
            last_c: vec![None; voters.len()],
            voters,
            corrects: false,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    limits: Limits,
    own: ProbeId,
    name: String,
    voters: Vec<ProbeId>,
    /// Each voter's last reading, °C.
    last_c: Vec<Option<f64>>,
    /// It replaced the last reading.
    corrects: bool,
}

impl Guard for Bound {
    fn correct(&mut self, seen: &Readings, verdict: &mut Verdict) -> Option<Correction> {
        let mut own_c = None;
        let mut votes_c = Vec::with_capacity(self.voters.len());
        for (voter, last_c) in self.voters.iter().zip(&mut self.last_c) {
            let read_c = reading_c(seen, *voter);
            let vote_c = read_c.filter(|temp_c| self.limits.are_kept(*temp_c, *last_c));
            *last_c = read_c.or(*last_c);
            votes_c.extend(vote_c);
            if *voter == self.own {
                own_c = vote_c;
            }
        }
        votes_c.sort_by(f64::total_cmp);
        let agreed_c = self.limits.agreed_c(own_c, &votes_c);
        let read_c = reading_c(seen, self.own);
        let corrects = agreed_c != read_c;
        if corrects && !self.corrects {
            verdict.raise(match agreed_c {
                Some(_) => format!("probe-voting: `{}` is outvoted", self.name),
                None => format!("probe-voting: no two probes agree about `{}`", self.name),
            });
        }
        self.corrects = corrects;
        corrects.then_some(Correction {
            probe: self.own,
            reading_c: agreed_c,
        })
    }

    fn twin(&self) -> Box<dyn Guard> {
        Box::new(self.clone())
    }
}

impl Limits {
    fn are_kept(&self, temp_c: f64, last_c: Option<f64>) -> bool {
        (self.lowest_c..=self.highest_c).contains(&temp_c)
            && last_c.is_none_or(|last_c| (temp_c - last_c).abs() <= self.largest_jump_k)
    }

    /// What the votes, in order, make of the probe's own, °C.
    fn agreed_c(&self, own_c: Option<f64>, votes_c: &[f64]) -> Option<f64> {
        let middle_c = median(votes_c)?;
        match votes_c {
            [_] => None,
            [low_c, high_c] if high_c - low_c > self.disagreement_k => None,
            [_, _] => Some(own_c.unwrap_or(middle_c)),
            _ => {
                let own_c = own_c.filter(|own_c| (own_c - middle_c).abs() <= self.disagreement_k);
                Some(own_c.unwrap_or(middle_c))
            }
        }
    }
}

/// The middle one of values in order, or the mean of the middle two.
fn median(sorted: &[f64]) -> Option<f64> {
    let middle = sorted.len() / 2;
    let upper = *sorted.get(middle)?;
    if sorted.len() % 2 == 1 {
        return Some(upper);
    }
    Some((sorted[middle - 1] + upper) / 2.0)
}
