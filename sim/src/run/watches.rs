//! Alert rules at work, and what people do about them.

use crate::scenario::{Act, Scenario, Watch, WatchRule};
use crate::time::Millis;

/// All watches of a run.
#[derive(Debug)]
pub(super) struct Watches {
    list: Vec<Watching>,
}

#[derive(Debug)]
struct Watching {
    watch: Watch,
    holds_since_ms: Option<Millis>,
    alerted: bool,
    act_at_ms: Option<Millis>,
}

impl Watches {
    pub(super) fn new(scenario: &Scenario) -> Self {
        let watching = |watch: &Watch| Watching {
            watch: watch.clone(),
            holds_since_ms: None,
            alerted: false,
            act_at_ms: None,
        };
        Self {
            list: scenario.watches.iter().map(watching).collect(),
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Looks at the readings of this minute; calls `alert` with the name of each watch whose alert gets out.
    pub(super) fn look(
        &mut self,
        now_ms: Millis,
        readings_c: &[Option<f64>],
        power_on: bool,
        mut alert: impl FnMut(&str),
    ) {
        for entry in &mut self.list {
            let reading = readings_c.get(entry.watch.probe.0).copied().flatten();
            let holds = match (entry.watch.rule, reading) {
                (WatchRule::Above(limit_c), Some(reading_c)) => reading_c > limit_c,
                (WatchRule::Below(limit_c), Some(reading_c)) => reading_c < limit_c,
                (WatchRule::NoReading, reading) => reading.is_none(),
                (_, None) => false,
            };
            if !holds {
                entry.holds_since_ms = None;
                entry.alerted = false;
                continue;
            }
            let since_ms = *entry.holds_since_ms.get_or_insert(now_ms);
            let gets_out = power_on || !entry.watch.needs_power;
            if !entry.alerted && gets_out && now_ms - since_ms >= entry.watch.lasting_ms {
                entry.alerted = true;
                alert(&entry.watch.name);
                if let Some(Act::UnplugHeaters { after_ms }) = entry.watch.acts
                    && now_ms >= 0
                {
                    entry.act_at_ms.get_or_insert(now_ms + after_ms);
                }
            }
        }
    }

    /// The next instant at which somebody acts.
    pub(super) fn next_act_ms(&self) -> Option<Millis> {
        self.list.iter().filter_map(|entry| entry.act_at_ms).min()
    }

    /// Whether somebody acts now; the act is then over.
    pub(super) fn act_now(&mut self, now_ms: Millis) -> bool {
        let mut acted = false;
        for entry in &mut self.list {
            if entry.act_at_ms.is_some_and(|at_ms| at_ms <= now_ms) {
                entry.act_at_ms = None;
                acted = true;
            }
        }
        acted
    }
}
