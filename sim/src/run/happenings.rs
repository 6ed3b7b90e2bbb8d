//! Happenings at work: what begins and ends, and what that makes of everything.

use super::RunError;
use super::chains::next_chatter_ms;
use super::loops::Loop;
use super::timeline::{Change, NEVER};
use crate::ids::ContactId;
use crate::scenario::{Effect, Happening, Load, Origin, Outputs};
use crate::time::{HOUR, MINUTE, Millis, hours, seconds};
use crate::trace::{Mark, MarkKind};

impl Loop<'_, '_> {
    /// Ends and starts what is due.
    pub(super) fn turn_happenings(&mut self, now_ms: Millis) -> Result<(), RunError> {
        for change in self.timeline.settle(now_ms) {
            let (index, what) = match change {
                Change::Began(index) => (index, MarkKind::Begins),
                Change::Ended(index) => (index, MarkKind::Ends),
            };
            let name = &self.timeline.happening(index).name;
            // Overlapping happenings of one effect begin with the first and end with the last of them.
            let effect = self.timeline.happening(index).effect;
            let alike = |other: &&Happening| other.effect == effect;
            let first = self
                .timeline
                .all()
                .position(|other| alike(&other))
                .unwrap_or(index);
            let under_way = self.timeline.active().filter(alike).count();
            // While something stays broken nothing is over, and what ends then is not to blame.
            let broken = self.supply.has_tripped()
                || self.timeline.active().any(|other| other.origin == Origin::Fault);
            if what == MarkKind::Ends && under_way == 0 && !broken {
                let (stepper, plant) = (&self.stepper, self.plant);
                self.tally
                    .ended(now_ms, first, name, |tank| stepper.temp_c(plant.water[tank]));
            }
            if what == MarkKind::Begins && under_way == 1 {
                let (stepper, plant) = (&self.stepper, self.plant);
                self.tally.began(first, |tank| stepper.temp_c(plant.water[tank]));
            }
            if let Some(trace) = self.trace.as_deref_mut() {
                trace.mark(&Mark {
                    at_ms: now_ms,
                    what,
                    name,
                });
            }
        }
        self.apply_happenings(now_ms)?;
        self.next_announcing_ms = now_ms;
        self.next_clock_ms = now_ms;
        Ok(())
    }

    /// Recomputes the state of everything from the set of active happenings.
    pub(super) fn apply_happenings(&mut self, now_ms: Millis) -> Result<(), RunError> {
        self.chains.apply(now_ms, self.timeline.active_since());
        self.controller.apply(self.timeline.active())?;
        if self.controller.hung() == Some(Outputs::Drop) {
            self.chains.drop_commands();
        }
        if self.controller.hung().is_some() {
            self.pending.clear();
        }
        self.probes.apply(now_ms, self.timeline.active_since());
        self.devices.apply(self.scenario, self.timeline.active());
        self.supply.apply(now_ms, self.timeline.active());
        if self
            .surroundings
            .apply(now_ms, self.timeline.active_since(), self.supply.grid_on())
        {
            self.stepper.air_changed();
        }
        self.levels.apply(self.scenario, self.timeline.active_since());
        self.next_creep_ms = next_creep_ms(now_ms, self.timeline.active_since());
        self.set_ice();
        self.power_changed(now_ms);
        Ok(())
    }

    /// Something tripped, started or ran out by itself.
    pub(super) fn turn_supply(&mut self, now_ms: Millis) {
        for notice in self.supply.advance(now_ms) {
            let name = notice.told(self.scenario);
            self.mark(now_ms, MarkKind::Begins, &name);
        }
        self.power_changed(now_ms);
    }

    /// Lets everything run or stand by whether it has electricity.
    pub(super) fn power_changed(&mut self, now_ms: Millis) {
        self.controller.wake();
        let controller_on = self.supply.powers(Load::Controller);
        self.chains.set_controller_on(controller_on);
        if !controller_on {
            self.pending.clear();
        }
        self.chains.power_changed();
        let hung = self.controller.hung().is_some();
        self.lifelines
            .apply(now_ms, &self.supply, hung, self.timeline.active());
        self.levels
            .set_power(self.scenario, self.supply.powers(Load::TopOff));
        self.stepper.set_topped_off(self.levels.topped_off());
        if self.levels.moving(self.scenario) {
            self.next_upkeep_ms = self
                .next_upkeep_ms
                .min((now_ms + MINUTE - 1).div_euclid(MINUTE) * MINUTE);
        }
        self.next_clock_ms = now_ms;
        self.set_flows(now_ms);
        self.switch_fans(now_ms);
        self.set_losses();
    }

    /// Tells the supply what everything draws, where that matters.
    pub(super) fn meter_loads(&mut self, now_ms: Millis) {
        let devices = &self.devices;
        let drawn_w: Vec<f64> = self
            .supply
            .loads()
            .iter()
            .map(|load| match *load {
                Load::Heater(heater) => devices.heaters[heater.0].power_w(),
                Load::Pump(pump) => devices.pumps[pump.0].power_w(),
                Load::Fan(fan) => devices.fans[fan.0].power_w(),
                Load::Chiller(chiller) => devices.chillers[chiller.0].meter.power_w(),
                Load::Light(light) => devices.lights[light.0].power_w(),
                Load::AirPump(pump) => devices.air_pumps[pump.0].power_w(),
                Load::TopOff | Load::Controller | Load::Router => self.scenario.rated_w(*load),
            })
            .collect();
        self.supply.draw(now_ms, &drawn_w);
    }

    /// Lets sealed ice take its heat.
    fn set_ice(&mut self) {
        for (tank, ice) in self.plant.ice.iter().enumerate() {
            let Some(ice) = ice else { continue };
            let rates = self.timeline.active().map(|one| match one.effect {
                Effect::SealedIce { tank: of, k_per_h } if of.0 == tank => k_per_h,
                _ => 0.0,
            });
            let k_per_h: f64 = rates.sum();
            let taken_w = ice.heat_capacity_j_per_k * k_per_h / seconds(HOUR);
            self.stepper.set_power(ice.source, -taken_w);
        }
    }

    /// Starts happenings that wait for one of these changes; true if any does. A weld that waits for an opening so takes hold before the
    /// contact parts.
    pub(super) fn start_waiting(&mut self, now_ms: Millis, changes: &[(ContactId, bool)]) -> bool {
        let mut due: Vec<usize> = Vec::new();
        for (changed, closes) in changes {
            due.extend(self.timeline.counted(now_ms, *changed, *closes));
        }
        for index in &due {
            self.timeline.start_now(*index, now_ms);
        }
        !due.is_empty()
    }
}

/// When something that goes on changing by itself must be looked at next: a contact that chatters at its next parting or closing, what drifts
/// every minute.
fn next_creep_ms<'a>(now_ms: Millis, active: impl Iterator<Item = (&'a Happening, Millis)>) -> Millis {
    active
        .map(|(happening, began_ms)| match happening.effect {
            Effect::ContactChatters { period_ms, .. } => {
                began_ms + next_chatter_ms(now_ms - began_ms, period_ms)
            }
            Effect::DialDrifts { .. } | Effect::ProbeDrifts { .. } => now_ms + MINUTE,
            Effect::RoomCooled { by_k, k_per_h } => {
                if k_per_h * hours(now_ms - began_ms) < by_k {
                    now_ms + MINUTE
                } else {
                    NEVER
                }
            }
            _ => NEVER,
        })
        .min()
        .unwrap_or(NEVER)
}
