//! The loop of a run: settle an instant, step to the next.

mod row;
mod twin;

use self::row::TraceBuffers;
use super::bill::Bill;
use super::chains::Chains;
use super::controller::Controller;
use super::devices::{Devices, Meter};
use super::levels::Levels;
use super::lifelines::Lifelines;
use super::oxygen::OxygenCourse;
use super::people::People;
use super::probes::Probes;
use super::stopwatch::Stopwatch;
use super::supply::Supply;
use super::surroundings::Surroundings;
use super::timeline::{NEVER, Timeline};
use super::watches::Watches;
use super::{Enough, Glance, RunError, RunRequest};
use crate::ids::{ContactId, FanId, LightId, TankId};
use crate::network::{Observer, Passage, Stepper, Vector};
use crate::plant::Plant;
use crate::room::RoomGain;
use crate::scenario::{Happening, HeaterKind, Load, Scenario, When};
use crate::scores::{Meters, ScoreTally, Scores};
use crate::strategy::{Announced, AnnouncedKind, Command, Commands, NewWater, Readings};
use crate::time::{DAY, HOUR, MINUTE, Millis};
use crate::trace::{Mark, MarkKind, TraceSink};

/// How far ahead events are announced, ms. A choice. Valid for tanks whose time constant is below
/// a day.
const ANNOUNCED_AHEAD_MS: Millis = DAY;

/// How often a run is asked whether it has shown enough, ms: as often as it is looked after at least. A choice. Valid for waters that take hours.
const ASKED_EVERY_MS: Millis = 10 * MINUTE;

/// Whether a run is asked at this instant whether it has shown enough.
pub(super) fn is_asked(now_ms: Millis, judged_from_ms: Millis) -> bool {
    now_ms > judged_from_ms && now_ms.rem_euclid(ASKED_EVERY_MS) == 0
}

/// Everything a run holds.
pub(super) struct Loop<'a, 't> {
    pub(super) scenario: &'a Scenario,
    pub(super) plant: &'a Plant,
    pub(super) start_ms: Millis,
    end_ms: Millis,
    pub(super) judged_from_ms: Millis,
    pub(super) interval_ms: Millis,
    pub(super) stepper: Stepper<'a>,
    pub(super) surroundings: Surroundings,
    pub(super) timeline: Timeline,
    /// The time that nothing turns each tank's water.
    pub(super) still: Vec<Stopwatch>,
    pub(super) supply: Supply,
    pub(super) chains: Chains,
    pub(super) probes: Probes,
    pub(super) watches: Watches,
    pub(super) lifelines: Lifelines,
    pub(super) people: People,
    /// Position of the first act among the timeline's happenings.
    pub(super) first_act: usize,
    pub(super) controller: Controller<'a>,
    commands: Commands,
    pub(super) readings: Readings,
    pub(super) pending: Vec<(Millis, Command)>,
    /// When anything but a decision is due next.
    pub(super) due_ms: Millis,
    pub(super) next_decision_ms: Millis,
    pub(super) next_announcing_ms: Millis,
    /// The next time a light or pump switches by its clock, so that no decision between need ask.
    pub(super) next_clock_ms: Millis,
    /// The next time something that chatters or drifts is looked at.
    pub(super) next_creep_ms: Millis,
    pub(super) next_chiller_ms: Millis,
    pub(super) next_upkeep_ms: Millis,
    pub(super) levels: Levels,
    pub(super) oxygen: Option<OxygenCourse>,
    /// Height of each tank's water as the network has it, m.
    pub(super) heights_m: Vec<f64>,
    /// Which heaters' bodies are in air.
    pub(super) bodies_in_air: Vec<bool>,
    limits_itself: bool,
    /// What would change nothing may be left out.
    pub(super) may_rest: bool,
    /// Decisions fall on ticks, and nothing need be looked at whenever one is due.
    pub(super) decides_at_ticks: bool,
    meters_loads: bool,
    /// Water evaporated in the warm-up, kg: scores count from time zero.
    evaporated_before_kg: f64,
    pub(super) tally: ScoreTally,
    pub(super) devices: Devices,
    bill: Option<Bill<'a>>,
    /// Closings and openings of each contact since time zero, for happenings that wait for one.
    waits_for_contacts: bool,
    changes: Vec<(ContactId, bool)>,
    pub(super) trace: Option<&'t mut (dyn TraceSink + 't)>,
    trace_buffers: TraceBuffers,
}

impl<'a, 't> Loop<'a, 't> {
    pub(super) fn new(
        request: &'a RunRequest<'a>,
        plant: &'a Plant,
        happenings: Vec<Happening>,
        controller: Controller<'a>,
        trace: Option<&'t mut (dyn TraceSink + 't)>,
    ) -> Self {
        let scenario = request.scenario;
        let start_ms = -scenario.warm_up_ms;
        let interval_ms = request.recipe.interval_ms().max(1);
        let node_c = [scenario.begins_at_c(); crate::network::MAX_NODES];
        let supply = Supply::new(scenario, start_ms);
        let meters_loads = supply.meters_loads();
        let first_act = happenings.len() - scenario.acts().count();
        let waits_for_contacts = happenings
            .iter()
            .any(|happening| matches!(happening.when, When::Closing { .. } | When::Opening { .. }));
        // A trace shows every reading, and what waits for a contact may freeze one.
        let may_rest = trace.is_none() && !waits_for_contacts;
        let controller = controller.resting(may_rest);
        let limits_itself = scenario
            .heaters
            .iter()
            .any(|heater| matches!(heater.kind, HeaterKind::SelfLimiting { .. }));
        Self {
            scenario,
            plant,
            start_ms,
            end_ms: request.end_ms,
            interval_ms,
            stepper: Stepper::new(&plant.network, request.stepper, start_ms, &node_c),
            surroundings: Surroundings::new(scenario, request.seed, request.replicate),
            timeline: Timeline::new(happenings, start_ms),
            still: vec![Stopwatch::default(); scenario.tanks.len()],
            supply,
            chains: Chains::new(scenario, plant, request.seed, request.replicate),
            probes: Probes::new(scenario, plant, request.seed, request.replicate),
            watches: Watches::new(scenario),
            lifelines: Lifelines::new(scenario),
            people: People::new(scenario, request.seed, request.replicate),
            first_act,
            controller,
            commands: Commands::default(),
            readings: Readings {
                now_ms: start_ms,
                probes_c: vec![None; scenario.probes.len()],
                drawn_w: vec![0.0; scenario.heaters.len()],
                announced: Vec::new(),
            },
            pending: Vec::new(),
            due_ms: start_ms,
            // The grid of decisions counts from time zero; a run that starts off it decides at once.
            next_decision_ms: start_ms.div_euclid(interval_ms) * interval_ms,
            next_announcing_ms: start_ms,
            next_clock_ms: start_ms,
            next_creep_ms: NEVER,
            next_chiller_ms: NEVER,
            evaporated_before_kg: 0.0,
            next_upkeep_ms: start_ms,
            levels: Levels::new(scenario),
            oxygen: None,
            heights_m: scenario.tanks.iter().map(|tank| tank.water_height_m).collect(),
            bodies_in_air: vec![false; scenario.heaters.len()],
            meters_loads,
            limits_itself,
            may_rest,
            decides_at_ticks: !limits_itself && interval_ms % request.stepper.tick_ms.max(1) == 0,
            tally: ScoreTally::new(scenario, request.judged_from_ms),
            judged_from_ms: request.judged_from_ms,
            devices: Devices::new(scenario),
            bill: Bill::new(scenario, start_ms),
            waits_for_contacts,
            changes: Vec::new(),
            trace,
            trace_buffers: TraceBuffers::default(),
        }
    }

    pub(super) fn run(mut self, enough: Option<Enough<'_>>) -> Result<Scores, RunError> {
        let now_ms = self.begin()?;
        self.run_from(now_ms, enough)
    }

    /// Goes on from an instant that is not yet settled to the end.
    pub(super) fn run_from(
        mut self,
        mut now_ms: Millis,
        mut enough: Option<Enough<'_>>,
    ) -> Result<Scores, RunError> {
        loop {
            if let Some(gain) = self.settle_instant(now_ms)? {
                self.surroundings.step(now_ms, gain);
            }
            if now_ms >= self.end_ms {
                break;
            }
            if let Some(enough) = enough.as_deref_mut()
                && is_asked(now_ms, self.judged_from_ms)
                && enough(&self.glance(now_ms))
            {
                break;
            }
            now_ms = self.leave(now_ms, NEVER);
        }
        self.show_row(now_ms);
        self.finish(now_ms)
    }

    /// A look at the stocked tanks as they are now.
    pub(super) fn glance(&self, now_ms: Millis) -> Glance {
        let water_c = |tank: usize| self.stepper.temp_c(self.plant.water[tank]);
        self.tally.glance(now_ms, water_c)
    }

    /// Puts everything as it is at the start, whose instant it returns.
    pub(super) fn begin(&mut self) -> Result<Millis, RunError> {
        self.start_oxygen();
        self.apply_happenings(self.start_ms)?;
        self.switch_by_clock(self.start_ms);
        Ok(self.start_ms)
    }

    /// Goes on from a settled instant to the next at which anything is due, at most to `limit_ms`.
    pub(super) fn leave(&mut self, now_ms: Millis, limit_ms: Millis) -> Millis {
        if now_ms == 0 {
            self.evaporated_before_kg = self.stepper.evaporated_kg().iter().sum();
        }
        self.show_row(now_ms);
        self.show_scores(now_ms);
        self.due_ms = self.next_due(now_ms);
        let limit_ms = self.due_ms.min(limit_ms);
        loop {
            let stride_end_ms = self.leaves_out_ahead(limit_ms);
            let decision_ms = self.next_decision_ms;
            let stop_ms = limit_ms.min(decision_ms).min(stride_end_ms);
            let at_ms = self.glide(stop_ms.max(self.stepper.now_ms() + 1));
            let over = at_ms >= limit_ms || self.stepper.switches() || self.limits_itself;
            let looks = || self.watches_due(at_ms) && !self.leaves_unlooked(at_ms);
            if over || looks() || (at_ms >= decision_ms && !self.leaves_out(at_ms)) {
                return at_ms;
            }
        }
    }

    /// Goes on from a settled instant to a later one at which others may change what bears on it, and which it leaves unsettled but for its steps.
    pub(super) fn travel(&mut self, now_ms: Millis, to_ms: Millis) -> Result<(), RunError> {
        let mut at_ms = self.leave(now_ms, to_ms);
        while at_ms < to_ms {
            // Between whole minutes no room is due to be moved.
            self.settle_instant(at_ms)?;
            at_ms = self.leave(at_ms, to_ms);
        }
        self.settle_steps();
        Ok(())
    }

    /// Everything that is due at one instant, in the order of the contract; what a room that answers is given from now on, where it is time
    /// to move it.
    pub(super) fn settle_instant(&mut self, now_ms: Millis) -> Result<Option<RoomGain>, RunError> {
        if now_ms >= self.due_ms.min(self.timeline.next_ms()) || self.limits_itself {
            self.settle_steps();
        }
        if now_ms >= self.timeline.next_ms() {
            self.turn_happenings(now_ms)?;
        } else if now_ms >= self.next_creep_ms {
            self.apply_happenings(now_ms)?;
        }
        if now_ms >= self.supply.next_ms() {
            self.turn_supply(now_ms);
        }
        self.chains.sense(self.stepper.state());
        let decides = now_ms >= self.next_decision_ms && !self.leaves_out(now_ms);
        let looks = self.watches_due(now_ms) && !self.leaves_unlooked(now_ms);
        if decides || looks {
            let readings_c = &mut self.readings.probes_c;
            self.probes
                .sample(now_ms, self.stepper.state(), &mut self.surroundings, readings_c);
        }
        if looks {
            self.look(now_ms);
        }
        self.people_act(now_ms)?;
        if decides {
            self.next_decision_ms += self.interval_ms;
            if self.supply.powers(Load::Controller) && self.controller.hung().is_none() {
                self.decide(now_ms)?;
            }
        }
        if !self.pending.is_empty() {
            self.obey(now_ms);
        }
        if now_ms >= self.next_clock_ms {
            self.switch_by_clock(now_ms);
        }
        self.resolve(now_ms)?;
        if self.limits_itself {
            self.power_heaters(now_ms);
        }
        if now_ms >= self.next_chiller_ms {
            self.switch_chillers(now_ms);
        }
        self.devices.note_fight(now_ms);
        let gain = if now_ms >= self.next_upkeep_ms {
            self.upkeep(now_ms)?
        } else {
            None
        };
        if self.meters_loads {
            self.meter_loads(now_ms);
        }
        Ok(gain)
    }

    /// Tells the network what covers, fans and levels do.
    pub(super) fn set_losses(&mut self) {
        let fans: Vec<bool> = self.devices.fans.iter().map(Meter::is_on).collect();
        for (index, cover) in self.devices.covers.iter().enumerate() {
            let setting = self.plant.loss_setting(
                TankId(index),
                *cover,
                &fans,
                self.moved_height_m(index),
                self.devices.wraps_m2_k_per_w[index],
            );
            self.stepper.set_losses(self.plant.losses[index], setting);
        }
    }

    /// Switches what goes by the clock.
    fn switch_by_clock(&mut self, now_ms: Millis) {
        for (index, light) in self.scenario.lights.iter().enumerate() {
            let asked = light.hours().holds(now_ms) || self.devices.light_left_on[index];
            let on =
                self.supply.powers(Load::Light(LightId(index))) && asked && !self.devices.light_out[index];
            let power_w = if on { light.power_w } else { 0.0 };
            if self.devices.lights[index].set(now_ms, power_w) {
                self.stepper.set_power(
                    self.plant.light_sources[index],
                    power_w * light.share_to_water_frac,
                );
            }
        }
        let mut next_ms = NEVER;
        for light in &self.scenario.lights {
            next_ms = next_ms.min(light.hours().next_change_ms(now_ms));
        }
        let pump_hours = || self.scenario.pumps.iter().filter_map(|pump| pump.hours);
        if pump_hours().next().is_some() {
            for hours in pump_hours() {
                next_ms = next_ms.min(hours.next_change_ms(now_ms));
            }
            self.set_flows(now_ms);
        }
        if let Some(bill) = &mut self.bill {
            if now_ms >= bill.next_ms {
                bill.settle(now_ms, &mut self.devices);
            }
            next_ms = next_ms.min(bill.next_ms);
        }
        self.next_clock_ms = next_ms;
    }

    fn decide(&mut self, now_ms: Millis) -> Result<(), RunError> {
        if now_ms >= self.next_announcing_ms {
            // As of the hour that runs, so that it does not matter which decision asks first.
            let hour_ms = now_ms.div_euclid(HOUR) * HOUR;
            self.next_announcing_ms = hour_ms + HOUR;
            self.readings.announced = self
                .timeline
                .announced(now_ms, hour_ms + ANNOUNCED_AHEAD_MS)
                .into_iter()
                .map(|(event, start_ms, end_ms)| Announced {
                    name: event.name.clone(),
                    kind: AnnouncedKind::of(event.effect),
                    start_ms,
                    end_ms,
                    new_water: NewWater::of(self.scenario, event.effect),
                })
                .collect();
        }
        self.readings.now_ms = now_ms;
        for (index, drawn_w) in self.readings.drawn_w.iter_mut().enumerate() {
            *drawn_w = self.devices.heaters[index].power_w();
        }
        self.commands.clear();
        self.controller
            .decide(&self.readings, &mut self.commands)
            .map_err(|failure| RunError::Strategy {
                at_ms: now_ms,
                failure,
            })?;
        self.pending.clear();
        for command in self.commands.list() {
            if command.delay_ms == 0 {
                self.chains.command(command.contact, command.state);
            } else {
                self.pending.push((now_ms + command.delay_ms, *command));
            }
        }
        let alerts: Vec<String> = self.commands.alerts().to_vec();
        for alert in alerts {
            self.alert(now_ms, &alert);
            // Whoever stands before the controller reads it: a strategy's alert has no way of its own.
            self.tally.heard(now_ms, "whoever reads the controller");
        }
        Ok(())
    }

    /// Carries out the delayed commands that are due, in the order given.
    fn obey(&mut self, now_ms: Millis) {
        let chains = &mut self.chains;
        self.pending.retain(|(at_ms, command)| {
            let due = *at_ms <= now_ms;
            if due {
                chains.command(command.contact, command.state);
            }
            !due
        });
    }

    /// Resolves the contacts and switches what hangs on them. At nearly every decision there is nothing to resolve.
    fn resolve(&mut self, now_ms: Millis) -> Result<(), RunError> {
        if self.chains.is_resolved() {
            return Ok(());
        }
        self.settle_steps();
        let mut changes = std::mem::take(&mut self.changes);
        self.chains.pending_changes(&mut changes);
        if now_ms >= 0 && self.waits_for_contacts && self.start_waiting(now_ms, &changes) {
            self.turn_happenings(now_ms)?;
            self.chains.pending_changes(&mut changes);
        }
        self.chains.carry_out(&changes);
        for (contact, closed) in &changes {
            self.tally.contact(contact.0, now_ms, *closed);
        }
        self.changes = changes;
        self.power_heaters(now_ms);
        if self.switch_fans(now_ms) {
            self.set_losses();
        }
        self.switch_chillers(now_ms);
        Ok(())
    }

    /// Lets fans turn where their chain is closed; true if one changed.
    pub(super) fn switch_fans(&mut self, now_ms: Millis) -> bool {
        let mut changed = false;
        for (index, fan) in self.scenario.fans.iter().enumerate() {
            let turns = self.supply.powers(Load::Fan(FanId(index)))
                && self.chains.fan_on(index)
                && !self.devices.fan_stopped[index];
            let power_w = if turns { fan.power_w } else { 0.0 };
            changed |= self.devices.fans[index].set(now_ms, power_w);
        }
        changed
    }

    /// The next instant at which anything but a decision or a self-acting contact may happen.
    fn next_due(&self, now_ms: Millis) -> Millis {
        let mut stop_ms = self.end_ms.min(self.next_clock_ms);
        stop_ms = stop_ms.min(self.next_chiller_ms).min(self.next_upkeep_ms);
        stop_ms = stop_ms.min(self.timeline.next_ms()).min(self.next_creep_ms);
        stop_ms = stop_ms.min(self.supply.next_ms());
        for border_ms in [0, self.judged_from_ms] {
            if now_ms < border_ms {
                stop_ms = stop_ms.min(border_ms);
            }
        }
        for (at_ms, _) in &self.pending {
            stop_ms = stop_ms.min(*at_ms);
        }
        if !self.watches.is_empty() {
            stop_ms = stop_ms.min(self.people.next_ms().unwrap_or(NEVER));
        }
        stop_ms
    }

    /// Whether it is time for the watches to look.
    fn watches_due(&self, now_ms: Millis) -> bool {
        !self.watches.is_empty() && now_ms.rem_euclid(MINUTE) == 0
    }

    fn glide(&mut self, stop_ms: Millis) -> Millis {
        let mut watching = Watching {
            plant: self.plant,
            chains: &self.chains,
            tally: &mut self.tally,
            oxygen: self.oxygen.as_mut(),
        };
        self.stepper.glide(stop_ms, &mut self.surroundings, &mut watching)
    }

    /// Has the steps so far observed and booked: something is due, or changes.
    fn settle_steps(&mut self) {
        self.stepper.settle(&mut Watching {
            plant: self.plant,
            chains: &self.chains,
            tally: &mut self.tally,
            oxygen: self.oxygen.as_mut(),
        });
    }

    pub(super) fn mark(&mut self, at_ms: Millis, what: MarkKind, name: &str) {
        if let Some(trace) = self.trace.as_deref_mut() {
            trace.mark(&Mark { at_ms, what, name });
        }
    }

    /// The scores, at the end.
    pub(super) fn finish(mut self, end_ms: Millis) -> Result<Scores, RunError> {
        self.check_finite(end_ms)?;
        self.settle_steps();
        self.settle_oxygen(end_ms);
        let read = |list: &mut Vec<Meter>| {
            list.iter_mut()
                .map(|meter| meter.read(end_ms))
                .collect::<Vec<_>>()
        };
        self.levels.note(self.scenario, end_ms);
        for watch in self.still.iter_mut().chain(&mut self.devices.heaters_in_air) {
            watch.set(end_ms, false);
        }
        self.devices.heating_against_cooling.set(end_ms, false);
        let total_ms = |watch: &Stopwatch| watch.total_ms;
        let cost_by_hours = self.bill.as_mut().map(|bill| {
            bill.settle(end_ms, &mut self.devices);
            bill.cost()
        });
        let meters = Meters {
            heaters: read(&mut self.devices.heaters),
            heaters_in_air_ms: self.devices.heaters_in_air.iter().map(total_ms).collect(),
            fans: read(&mut self.devices.fans),
            heating_against_cooling_ms: self.devices.heating_against_cooling.total_ms,
            pumps: read(&mut self.devices.pumps),
            lights: read(&mut self.devices.lights),
            chillers: self
                .devices
                .chillers
                .iter_mut()
                .map(|compressor| {
                    (
                        compressor.meter.read(end_ms),
                        compressor.starts,
                        compressor.shortest_off_ms,
                    )
                })
                .collect(),
            air_pumps: read(&mut self.devices.air_pumps),
            oxygen: self.oxygen.as_ref().map_or_else(Vec::new, OxygenCourse::scores),
            evaporated_kg: self.stepper.evaporated_kg().iter().sum::<f64>() - self.evaporated_before_kg,
            salinity: self.levels.salinity_scores(self.scenario),
            levels: self.levels.level_scores(self.scenario, &self.still),
            room: self.surroundings.scores(),
            circuits: self.supply.circuit_scores(self.scenario),
            backups: self.supply.backup_scores(self.scenario),
            cost_by_hours,
        };
        let heat_balance = self.stepper.heat_balance();
        Ok(self.tally.finish(self.scenario, end_ms, &meters, heat_balance))
    }
}

/// Passes steps on to the scores, and crossings of self-acting contacts to the stepper.
pub(super) struct Watching<'a> {
    pub(super) plant: &'a Plant,
    pub(super) chains: &'a Chains,
    pub(super) tally: &'a mut ScoreTally,
    pub(super) oxygen: Option<&'a mut OxygenCourse>,
}

impl Observer for Watching<'_> {
    #[inline]
    fn crossed(&self, state: &Vector) -> bool {
        self.chains.crossed(state)
    }

    #[inline]
    fn may_cross(&self, passage: &Passage<'_>) -> bool {
        self.chains.may_cross(passage)
    }

    #[inline]
    fn observe(&mut self, passage: &Passage<'_>) {
        let reference_c = self.plant.network.reference_c();
        if let Some(oxygen) = &mut self.oxygen {
            oxygen.observe(passage.to_ms, |tank| {
                reference_c + passage.to[self.plant.water[tank].0]
            });
        }
        if passage.from_ms >= 0 {
            self.tally
                .observe(passage, reference_c, &self.plant.water, &self.plant.bodies);
        }
    }
}
