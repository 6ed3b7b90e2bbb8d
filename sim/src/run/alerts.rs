//! Alerts on their way: watches look, people hear and act.

use super::RunError;
use super::loops::Loop;
use super::people::DueWhat;
use super::watches::{Drawn, Seen};
use crate::ids::HeaterId;
use crate::scenario::Origin;
use crate::time::Millis;
use crate::trace::MarkKind;

impl Loop<'_, '_> {
    /// Lets the watches look at this minute.
    pub(super) fn look(&mut self, now_ms: Millis) {
        let (devices, chains) = (&self.devices, &self.chains);
        let raised = self.watches.look(&Seen {
            now_ms,
            readings_c: &self.readings.probes_c,
            drawn: |heater: HeaterId| Drawn {
                power_w: devices.heaters[heater.0].power_w(),
                commanded: chains.heater_commanded(heater),
            },
            lifelines: &self.lifelines,
        });
        let scenario = self.scenario;
        for one in raised {
            let watch = &scenario.watches[one.watch];
            if let Some(nth) = one.alert {
                self.alert(now_ms, &watch.name);
                self.people.told(now_ms, one.watch, watch, nth);
            }
            if one.acts {
                self.people.acts_itself(now_ms, one.watch, watch);
            }
        }
    }

    /// An alert gets out. It is a nuisance where nothing is broken and no stocked tank is beyond a line of danger.
    pub(super) fn alert(&mut self, now_ms: Millis, name: &str) {
        let broken = self.timeline.active().any(|one| one.origin == Origin::Fault);
        let (stepper, plant) = (&self.stepper, self.plant);
        self.tally
            .alert(now_ms, broken, |tank| stepper.temp_c(plant.water[tank]));
        self.mark(now_ms, MarkKind::Alert, name);
    }

    /// Lets people hear and do what is due.
    pub(super) fn people_act(&mut self, now_ms: Millis) -> Result<(), RunError> {
        if self.people.next_ms().is_none_or(|at_ms| at_ms > now_ms) {
            return Ok(());
        }
        let mut acted = false;
        for due in self.people.take_due(now_ms) {
            match due.what {
                DueWhat::Heard(person) => {
                    let name = self.people.name(person).to_owned();
                    self.tally.heard(now_ms, &name);
                    self.mark(now_ms, MarkKind::Heard, &name);
                }
                DueWhat::Acts { act, by } => {
                    let happening = self.first_act + self.acts_before(due.watch) + act;
                    // Whoever comes looks first.
                    if !self.watches.holds(due.watch) || self.timeline.is_active(happening) {
                        continue;
                    }
                    self.timeline.start_now(happening, now_ms);
                    acted = true;
                    let what = &self.timeline.happening(happening).name;
                    let told = match by {
                        Some(person) => format!("{what} by {}", self.people.name(person)),
                        None => format!("{what} by itself"),
                    };
                    self.tally.act(now_ms);
                    self.mark(now_ms, MarkKind::Act, &told);
                }
            }
        }
        if acted {
            self.turn_happenings(now_ms)?;
        }
        Ok(())
    }

    /// How many acts the watches before this one have.
    fn acts_before(&self, watch: usize) -> usize {
        let before = self.scenario.watches[..watch].iter();
        before.map(|watch| watch.acts.len()).sum()
    }
}
