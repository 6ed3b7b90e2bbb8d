//! Alert rules at work, looked at once a minute.

use std::collections::VecDeque;

use super::lifelines::Lifelines;
use super::timeline::NEVER;
use crate::ids::{HeaterId, ProbeId};
use crate::scenario::{Need, Scenario, Watch, WatchRule};
use crate::strategy::Rest;
use crate::time::{MINUTE, Millis, hours};

/// All watches of a run.
#[derive(Debug, Clone)]
pub(super) struct Watches {
    list: Vec<Watching>,
    /// What readings need no look while no rule holds; `None` where a rule hangs on more than one reading of the minute.
    quiet: Option<Vec<Rest>>,
    any_holds: bool,
}

#[derive(Debug, Clone)]
struct Watching {
    watch: Watch,
    holds_since_ms: Option<Millis>,
    /// Its alert got out since the rule began to hold.
    alerted: bool,
    /// It acted by itself since then.
    acted: bool,
    /// Alerts so far.
    count: i64,
    /// Readings of the last minutes, the latest last, for a rate.
    past_c: VecDeque<Option<f64>>,
}

/// What watches look at.
pub(super) struct Seen<'a, D> {
    pub(super) now_ms: Millis,
    /// By probe.
    pub(super) readings_c: &'a [Option<f64>],
    /// What a heater draws and is told.
    pub(super) drawn: D,
    pub(super) lifelines: &'a Lifelines,
}

/// What a heater draws, and what the commanded contacts of its chain should do.
#[derive(Debug, Clone, Copy)]
pub(super) struct Drawn {
    pub(super) power_w: f64,
    /// All commanded contacts of its chain should be closed; `None`: there is none.
    pub(super) commanded: Option<bool>,
}

/// A watch that alerts or acts at this look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Raised {
    pub(super) watch: usize,
    /// Its alert gets out, and is its n-th, from 0 on.
    pub(super) alert: Option<i64>,
    /// It acts by itself.
    pub(super) acts: bool,
}

impl Watches {
    pub(super) fn new(scenario: &Scenario) -> Self {
        let watching = |watch: &Watch| Watching {
            watch: watch.clone(),
            holds_since_ms: None,
            alerted: false,
            acted: false,
            count: 0,
            past_c: VecDeque::new(),
        };
        Self {
            list: scenario.watches.iter().map(watching).collect(),
            quiet: quiet(&scenario.watches),
            any_holds: false,
        }
    }

    /// The readings, one entry a probe, at which a look would find nothing and leave everything as it is; `None`: every minute must be looked at.
    pub(super) fn rest(&self) -> Option<&[Rest]> {
        self.quiet.as_deref().filter(|_| !self.any_holds)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Whether the rule of a watch holds, as of the last look.
    pub(super) fn holds(&self, watch: usize) -> bool {
        self.list[watch].holds_since_ms.is_some()
    }

    /// Looks at this minute; alerts come from time zero on.
    pub(super) fn look(&mut self, seen: &Seen<'_, impl Fn(HeaterId) -> Drawn>) -> Vec<Raised> {
        let mut raised = Vec::new();
        for (watch, entry) in self.list.iter_mut().enumerate() {
            if !entry.holds(seen) {
                entry.holds_since_ms = None;
                entry.alerted = false;
                entry.acted = false;
                continue;
            }
            let since_ms = *entry.holds_since_ms.get_or_insert(seen.now_ms);
            if seen.now_ms < 0 || seen.now_ms - since_ms < entry.watch.lasting_ms {
                continue;
            }
            let alerts = !entry.alerted && entry.gets_out(seen.now_ms, seen.lifelines);
            let acts = !entry.acted && entry.works(seen.now_ms, seen.lifelines);
            entry.alerted |= alerts;
            entry.acted |= acts;
            if alerts || acts {
                raised.push(Raised {
                    watch,
                    alert: alerts.then_some(entry.count),
                    acts,
                });
            }
            entry.count += i64::from(alerts);
        }
        self.any_holds = (0..self.list.len()).any(|watch| self.holds(watch));
        raised
    }
}

/// The readings at which no rule holds, by probe, where all hang on this minute's alone.
fn quiet(watches: &[Watch]) -> Option<Vec<Rest>> {
    let mut quiet: Vec<Rest> = Vec::new();
    for watch in watches {
        let (probe, above_c, below_c) = match watch.rule {
            WatchRule::Above { probe, line_c } => (probe, f64::NEG_INFINITY, line_c),
            WatchRule::Below { probe, line_c } => (probe, line_c, f64::INFINITY),
            _ => return None,
        };
        match quiet.iter_mut().find(|rest| rest.probe == Some(probe)) {
            Some(rest) => {
                rest.above_c = rest.above_c.max(above_c);
                rest.below_c = rest.below_c.min(below_c);
            }
            None => quiet.push(Rest {
                probe: Some(probe),
                above_c,
                below_c,
                until_ms: NEVER,
            }),
        }
    }
    Some(quiet)
}

impl Watching {
    fn holds(&mut self, seen: &Seen<'_, impl Fn(HeaterId) -> Drawn>) -> bool {
        let reading_c = |probe: ProbeId| seen.readings_c.get(probe.0).copied().flatten();
        match self.watch.rule {
            WatchRule::Above { probe, line_c } => reading_c(probe).is_some_and(|now_c| now_c > line_c),
            WatchRule::Below { probe, line_c } => reading_c(probe).is_some_and(|now_c| now_c < line_c),
            WatchRule::Faster {
                probe,
                k_per_h,
                over_ms,
            } => {
                let minutes = (over_ms / MINUTE) as usize;
                self.past_c.push_back(reading_c(probe));
                if self.past_c.len() <= minutes {
                    return false;
                }
                let then_c = self.past_c.pop_front().flatten();
                then_c
                    .zip(reading_c(probe))
                    .is_some_and(|(then_c, now_c)| (now_c - then_c).abs() > k_per_h * hours(over_ms))
            }
            WatchRule::Disagree { probe, other, by_k } => reading_c(probe)
                .zip(reading_c(other))
                .is_some_and(|(one_c, other_c)| (one_c - other_c).abs() > by_k),
            WatchRule::NoReading { probe } => reading_c(probe).is_none(),
            WatchRule::DrawsAbove { heater, line_w } => (seen.drawn)(heater).power_w > line_w,
            WatchRule::DrawsBelow { heater, line_w } => (seen.drawn)(heater).power_w < line_w,
            WatchRule::DrawnNotCommanded { heater } => {
                let drawn = (seen.drawn)(heater);
                drawn.power_w > 0.0 && drawn.commanded == Some(false)
            }
            WatchRule::CommandedNotDrawn { heater } => {
                let drawn = (seen.drawn)(heater);
                drawn.power_w <= 0.0 && drawn.commanded == Some(true)
            }
            WatchRule::NoSignOfLife => {
                !seen
                    .lifelines
                    .alive(seen.now_ms, &self.watch.needs, self.watch.battery_ms)
            }
        }
    }

    /// Whether its alert gets out. One from outside the house always does: a mute is one of the box.
    fn gets_out(&self, now_ms: Millis, lifelines: &Lifelines) -> bool {
        self.watch.rule == WatchRule::NoSignOfLife
            || !lifelines.muted() && lifelines.alive(now_ms, &self.watch.needs, self.watch.battery_ms)
    }

    /// Whether it can act by itself: of what its alert needs, controller and circuits must be alive; a switch without electricity is open anyway.
    fn works(&self, now_ms: Millis, lifelines: &Lifelines) -> bool {
        let by_the_switch = |need: &&Need| matches!(need, Need::Controller | Need::Circuit(_));
        let needs: Vec<Need> = self.watch.needs.iter().filter(by_the_switch).copied().collect();
        lifelines.alive(now_ms, &needs, self.watch.battery_ms)
    }
}
