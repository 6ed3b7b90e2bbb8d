//! A fault's worst case run once more and looked at: what finally stopped the water.
//!
//! *What stopped it*: the water's extreme on the side to which the fault drove it, and what held it there within the two hours before (bodies of
//! heaters and pumped water lag behind): somebody's act; a contact without a command that alone kept a heater off; the end of the fault;
//! coolers that ran (hot side) or heaters that heated (cold side), where the water stayed below the dose. Else nothing did: it levelled off, or was still going on at the end.

use tepid_output::records::{FaultRow, StoppedBy};
use tepid_sim::run::{RunError, run};
use tepid_sim::scenario::{FaultCase, Happening, Lasts, Scenario, When};
use tepid_sim::strategy::ContactState;
use tepid_sim::time::{HOUR, Millis};
use tepid_sim::trace::{Mark, MarkKind, TraceRow, TraceSink};

use crate::exposure::Healthy;

/// How long before an extreme that which made it one may lie.
const LAG_MS: Millis = 2 * HOUR;
/// Water that moved no farther than this in the last hours has levelled off, K.
const LEVEL_K: f64 = 0.1;
/// These last hours.
const LAST_MS: Millis = 6 * HOUR;

/// Runs the case at the instant of the row's outcome and looks on.
pub(super) fn stopped_by(
    healthy: &Healthy<'_>,
    case: &FaultCase,
    row: &FaultRow,
) -> Result<StoppedBy, RunError> {
    let outcome = &row.outcome;
    let began_ms = millis(outcome.began_h.unwrap_or(0.0));
    let end_ms = began_ms + millis(outcome.horizon_h);
    let faults = happenings_from(case, began_ms);
    let mut course = Course::new(healthy.scenario, row, began_ms, end_ms);
    run(&healthy.request(&faults, began_ms, end_ms), Some(&mut course))?;
    Ok(course.stopped_by(case))
}

/// The happenings of a case, those that leave the instant open at `began_ms`.
pub(crate) fn happenings_from(case: &FaultCase, began_ms: Millis) -> Vec<Happening> {
    let happenings = case.happenings().map(|happening| Happening {
        when: if happening.when == When::WorstPhase {
            When::At(began_ms)
        } else {
            happening.when
        },
        ..happening.clone()
    });
    happenings.collect()
}

fn millis(length_h: f64) -> Millis {
    (length_h * HOUR as f64).round() as Millis
}

/// Whether the fault drove the water up.
fn drives_hot(row: &FaultRow) -> bool {
    let outcome = &row.outcome;
    let added = |farther: Option<f64>, nearer: Option<f64>| farther.zip(nearer).map_or(0.0, |(f, n)| f - n);
    row.exceeds.map_or_else(
        || {
            added(outcome.peak_c, outcome.peak_without_fault_c)
                >= added(outcome.lowest_without_fault_c, outcome.lowest_c)
        },
        |exceeded| exceeded.is_hot,
    )
}

/// When something was last seen to hold the water, by position in its list.
type LastSeen = Vec<Option<Millis>>;

#[derive(Clone)]
struct Holding {
    contacts: LastSeen,
    coolers: LastSeen,
    heaters: LastSeen,
    act: Option<(Millis, String)>,
}

struct Course<'a> {
    scenario: &'a Scenario,
    tank: usize,
    hot: bool,
    takes_past: bool,
    began_ms: Millis,
    end_ms: Millis,
    now: Holding,
    /// The extreme, when it was, and what had been seen to hold the water by then.
    extreme: Option<(f64, Millis, Holding)>,
    /// The water before the last hours, °C.
    before_last_c: Option<f64>,
}

impl<'a> Course<'a> {
    fn new(scenario: &'a Scenario, row: &FaultRow, began_ms: Millis, end_ms: Millis) -> Self {
        let named = |name: &String| scenario.tanks.iter().position(|tank| tank.name == *name);
        Self {
            scenario,
            tank: row.outcome.tank.as_ref().and_then(named).unwrap_or(0),
            hot: drives_hot(row),
            takes_past: row.takes_past(),
            began_ms,
            end_ms,
            now: Holding {
                contacts: vec![None; scenario.contacts.len()],
                coolers: vec![None; scenario.fans.len() + scenario.chillers.len()],
                heaters: vec![None; scenario.heaters.len()],
                act: None,
            },
            extreme: None,
            before_last_c: None,
        }
    }

    fn look(&mut self, row: &TraceRow<'_>) {
        let open = |contact: &tepid_sim::ids::ContactId| row.contacts[contact.0] == ContactState::Open;
        for (heater, drawn_w) in self.scenario.heaters.iter().zip(row.heater_w) {
            let opened: Vec<usize> = heater
                .chain
                .iter()
                .filter(|one| open(one))
                .map(|one| one.0)
                .collect();
            let all_by_themselves = opened
                .iter()
                .all(|one| self.scenario.contacts[*one].role.is_none());
            if *drawn_w == 0.0 && all_by_themselves {
                for contact in opened {
                    self.now.contacts[contact] = Some(row.at_ms);
                }
            }
        }
        for (seen, drawn_w) in self.now.heaters.iter_mut().zip(row.heater_w) {
            if *drawn_w > 0.0 {
                *seen = Some(row.at_ms);
            }
        }
        let chains = self.scenario.fans.iter().map(|fan| &fan.chain);
        let chains = chains.chain(self.scenario.chillers.iter().map(|chiller| &chiller.chain));
        for (seen, chain) in self.now.coolers.iter_mut().zip(chains) {
            if !chain.iter().any(open) {
                *seen = Some(row.at_ms);
            }
        }
    }

    fn stopped_by(&self, case: &FaultCase) -> StoppedBy {
        let Some((extreme_c, at_ms, held)) = &self.extreme else {
            return StoppedBy::Nothing;
        };
        let lately = |seen: &Option<Millis>| seen.is_some_and(|seen_ms| seen_ms >= at_ms - LAG_MS);
        let which =
            |seen: &LastSeen| -> Vec<usize> { (0..seen.len()).filter(|one| lately(&seen[*one])).collect() };
        if let Some((acted_ms, what)) = &held.act
            && lately(&Some(*acted_ms))
        {
            return StoppedBy::Person { what: what.clone() };
        }
        if let Lasts::For(length_ms) = case.fault.lasts
            && (self.began_ms + length_ms..=self.began_ms + length_ms + LAG_MS).contains(at_ms)
        {
            return StoppedBy::FaultEnded;
        }
        let contacts = which(&held.contacts);
        if self.hot && !contacts.is_empty() {
            let name = |one: usize| self.scenario.contacts[one].name.clone();
            return StoppedBy::Contacts {
                names: contacts.into_iter().map(name).collect(),
            };
        }
        let level = self
            .before_last_c
            .is_some_and(|before_c| (extreme_c - before_c).abs() < LEVEL_K);
        if !level && *at_ms > self.end_ms - LAG_MS {
            return StoppedBy::Nothing;
        }
        if self.takes_past {
            // What ran then did not keep the water.
            StoppedBy::LevelledOff
        } else if self.hot {
            self.cooled(&which(&held.coolers))
        } else {
            self.heated(&which(&held.heaters))
        }
    }

    fn cooled(&self, coolers: &[usize]) -> StoppedBy {
        let fans = self.scenario.fans.iter().map(|fan| &fan.name);
        let all: Vec<&String> = fans
            .chain(self.scenario.chillers.iter().map(|one| &one.name))
            .collect();
        let names: Vec<String> = coolers.iter().map(|one| all[*one].clone()).collect();
        if names.is_empty() {
            StoppedBy::LevelledOff
        } else {
            StoppedBy::Cooling { names }
        }
    }

    fn heated(&self, heaters: &[usize]) -> StoppedBy {
        let names: Vec<String> = heaters
            .iter()
            .map(|one| self.scenario.heaters[*one].name.clone())
            .collect();
        if names.is_empty() {
            StoppedBy::LevelledOff
        } else {
            StoppedBy::Heating { names }
        }
    }
}

impl TraceSink for Course<'_> {
    fn row(&mut self, row: &TraceRow<'_>) {
        if row.at_ms < self.began_ms {
            return;
        }
        self.look(row);
        let water_c = row.water_c[self.tank];
        if row.at_ms <= self.end_ms - LAST_MS {
            self.before_last_c = Some(water_c);
        }
        let farther = |known_c: f64| {
            if self.hot {
                water_c > known_c
            } else {
                water_c < known_c
            }
        };
        if self
            .extreme
            .as_ref()
            .is_none_or(|(known_c, _, _)| farther(*known_c))
        {
            self.extreme = Some((water_c, row.at_ms, self.now.clone()));
        }
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        if mark.at_ms < self.began_ms {
            return;
        }
        if mark.what == MarkKind::Act {
            self.now.act = Some((mark.at_ms, mark.name.to_owned()));
        }
    }
}
