//! A run on its way, doubled.

use super::Loop;
use super::row::TraceBuffers;
use crate::run::RunError;
use crate::time::Millis;

impl Loop<'_, '_> {
    /// Another one in the same state, that shows no trace; `None` where the strategy cannot be doubled.
    pub(in crate::run) fn twin(&self) -> Option<Self> {
        Some(Self {
            scenario: self.scenario,
            plant: self.plant,
            start_ms: self.start_ms,
            end_ms: self.end_ms,
            judged_from_ms: self.judged_from_ms,
            interval_ms: self.interval_ms,
            stepper: self.stepper.clone(),
            surroundings: self.surroundings.clone(),
            timeline: self.timeline.clone(),
            still: self.still.clone(),
            supply: self.supply.clone(),
            chains: self.chains.clone(),
            probes: self.probes.clone(),
            watches: self.watches.clone(),
            lifelines: self.lifelines.clone(),
            people: self.people.clone(),
            first_act: self.first_act,
            controller: self.controller.twin()?,
            commands: self.commands.clone(),
            readings: self.readings.clone(),
            pending: self.pending.clone(),
            due_ms: self.due_ms,
            next_decision_ms: self.next_decision_ms,
            next_announcing_ms: self.next_announcing_ms,
            next_clock_ms: self.next_clock_ms,
            next_creep_ms: self.next_creep_ms,
            next_chiller_ms: self.next_chiller_ms,
            next_upkeep_ms: self.next_upkeep_ms,
            levels: self.levels.clone(),
            oxygen: self.oxygen.clone(),
            heights_m: self.heights_m.clone(),
            bodies_in_air: self.bodies_in_air.clone(),
            limits_itself: self.limits_itself,
            may_rest: self.may_rest,
            decides_at_ticks: self.decides_at_ticks,
            meters_loads: self.meters_loads,
            evaporated_before_kg: self.evaporated_before_kg,
            tally: self.tally.clone(),
            devices: self.devices.clone(),
            bill: self.bill.clone(),
            waits_for_contacts: self.waits_for_contacts,
            changes: self.changes.clone(),
            trace: None,
            trace_buffers: TraceBuffers::default(),
        })
    }

    /// Judges from an instant on, not yet reached, and ends at another.
    pub(in crate::run) fn judge(&mut self, from_ms: Millis, end_ms: Millis) {
        self.judged_from_ms = from_ms;
        self.end_ms = end_ms;
        self.due_ms = self.due_ms.min(from_ms);
        self.tally.judge_from(from_ms);
        if let Some(oxygen) = &mut self.oxygen {
            oxygen.judge_from(from_ms);
        }
    }

    /// Goes on from an instant that is not yet settled to a later one, which it leaves unsettled, or stays.
    pub(in crate::run) fn go_to(&mut self, from_ms: Millis, to_ms: Millis) -> Result<Millis, RunError> {
        let mut now_ms = from_ms;
        while now_ms < to_ms {
            if let Some(gain) = self.settle_instant(now_ms)? {
                self.surroundings.step(now_ms, gain);
            }
            now_ms = self.leave(now_ms, to_ms);
        }
        Ok(now_ms)
    }
}
