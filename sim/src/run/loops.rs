//! The loop of a run: settle an instant, step to the next.

use super::circuit::Circuit;
use super::probes::Probes;
use super::timeline::{Change, NEVER, Timeline};
use super::watches::Watches;
use super::{RunError, RunRequest};
use crate::ids::{ContactId, HeaterId, TankId};
use crate::network::{AirCourse, Observer, Stepper, Vector};
use crate::plant::Plant;
use crate::scenario::{Cover, Effect, Happening, Light, Scenario, When};
use crate::scores::{Meters, ScoreTally, Scores};
use crate::strategy::{Announced, Command, Commands, Readings, Strategy};
use crate::time::{DAY, HOUR, MINUTE, Millis, time_of_day};
use crate::trace::{Mark, MarkKind, TraceRow, TraceSink};
use crate::weather::Weather;

/// How far ahead events are announced.
const ANNOUNCED_AHEAD_MS: Millis = DAY;

/// Everything a run holds.
pub(super) struct Loop<'a, 't> {
    scenario: &'a Scenario,
    plant: &'a Plant,
    start_ms: Millis,
    end_ms: Millis,
    interval_ms: Millis,
    stepper: Stepper<'a>,
    weather: Weather,
    timeline: Timeline,
    circuit: Circuit,
    probes: Probes,
    watches: Watches,
    strategy: Box<dyn Strategy>,
    commands: Commands,
    readings: Readings,
    pending: Vec<(Millis, Command)>,
    next_decision_ms: Millis,
    next_announcing_ms: Millis,
    /// The next time a light switches by its clock, so that no decision between need ask.
    next_light_ms: Millis,
    tally: ScoreTally,
    devices: Devices,
    /// Closings and openings of each contact since time zero, for happenings that wait for one.
    counts: Vec<(u32, u32)>,
    waits_for_contacts: bool,
    changes: Vec<(ContactId, bool)>,
    trace: Option<&'t mut (dyn TraceSink + 't)>,
    trace_buffers: TraceBuffers,
}

/// What is on, and for how long of the scored time it was.
struct Devices {
    heaters: Vec<OnTime>,
    fans: Vec<OnTime>,
    pumps: Vec<OnTime>,
    lights: Vec<OnTime>,
    pump_stopped: Vec<bool>,
    covers: Vec<Cover>,
}

/// On or off, and the scored time on so far.
#[derive(Debug, Clone, Copy, Default)]
struct OnTime {
    on: bool,
    since_ms: Millis,
    total_ms: Millis,
}

impl OnTime {
    /// Sets it; true if that is a change.
    fn set(&mut self, now_ms: Millis, on: bool) -> bool {
        if on == self.on {
            return false;
        }
        self.settle(now_ms);
        self.on = on;
        true
    }

    fn settle(&mut self, now_ms: Millis) -> Millis {
        if self.on {
            self.total_ms += now_ms.max(0) - self.since_ms.max(0);
        }
        self.since_ms = now_ms;
        self.total_ms
    }
}

#[derive(Default)]
struct TraceBuffers {
    water_c: Vec<f64>,
    heater_c: Vec<f64>,
    heater_w: Vec<f64>,
}

impl<'a, 't> Loop<'a, 't> {
    pub(super) fn new(
        request: &'a RunRequest<'a>,
        plant: &'a Plant,
        happenings: Vec<Happening>,
        strategy: Box<dyn Strategy>,
        trace: Option<&'t mut (dyn TraceSink + 't)>,
    ) -> Self {
        let scenario = request.scenario;
        let start_ms = -scenario.warm_up_ms;
        let interval_ms = request.recipe.interval_ms().max(1);
        let node_c = [scenario.water.target_c; crate::network::MAX_NODES];
        let waits_for_contacts =
            happenings.iter().any(|happening| matches!(happening.when, When::Closing { .. } | When::Opening { .. }));
        Self {
            scenario,
            plant,
            start_ms,
            end_ms: request.end_ms,
            interval_ms,
            stepper: Stepper::new(&plant.network, request.stepper, start_ms, &node_c),
            weather: Weather::new(scenario, request.seed, request.replicate),
            timeline: Timeline::new(happenings, start_ms),
            circuit: Circuit::new(scenario, plant, request.seed, request.replicate),
            probes: Probes::new(scenario, plant, request.seed, request.replicate),
            watches: Watches::new(scenario),
            strategy,
            commands: Commands::default(),
            readings: Readings {
                now_ms: start_ms,
                probes_c: vec![None; scenario.probes.len()],
                drawn_w: vec![0.0; scenario.heaters.len()],
                announced: Vec::new(),
            },
            pending: Vec::new(),
            // The grid of decisions counts from time zero; a run that starts off it decides at once.
            next_decision_ms: start_ms.div_euclid(interval_ms) * interval_ms,
            next_announcing_ms: start_ms,
            next_light_ms: start_ms,
            tally: ScoreTally::new(scenario),
            devices: Devices {
                heaters: vec![OnTime::default(); scenario.heaters.len()],
                fans: vec![OnTime::default(); scenario.fans.len()],
                pumps: vec![OnTime::default(); scenario.pumps.len()],
                lights: vec![OnTime::default(); scenario.lights.len()],
                pump_stopped: vec![false; scenario.pumps.len()],
                covers: scenario.tanks.iter().map(|tank| tank.cover).collect(),
            },
            counts: vec![(0, 0); scenario.contacts.len()],
            waits_for_contacts,
            changes: Vec::new(),
            trace,
            trace_buffers: TraceBuffers::default(),
        }
    }

    pub(super) fn run(mut self) -> Result<Scores, RunError> {
        let mut now_ms = self.start_ms;
        self.apply_happenings(now_ms);
        self.switch_lights(now_ms);
        loop {
            self.settle_instant(now_ms)?;
            if now_ms >= self.end_ms {
                break;
            }
            self.show_row(now_ms);
            let stop_ms = self.next_stop(now_ms);
            now_ms = self.advance(stop_ms);
        }
        self.show_row(now_ms);
        Ok(self.finish())
    }

    /// Everything that is due at one instant, in the order of the contract.
    fn settle_instant(&mut self, now_ms: Millis) -> Result<(), RunError> {
        if now_ms >= self.timeline.next_ms() {
            self.turn_happenings(now_ms);
        }
        self.circuit.sense(self.stepper.state());
        let decides = now_ms >= self.next_decision_ms;
        let looks = !self.watches.is_empty() && now_ms.rem_euclid(MINUTE) == 0;
        if decides || looks {
            let readings_c = &mut self.readings.probes_c;
            self.probes.sample(now_ms, self.stepper.state(), &mut self.weather, readings_c);
        }
        if looks {
            self.look(now_ms);
        }
        if self.watches.next_act_ms().is_some_and(|at_ms| at_ms <= now_ms) && self.watches.act_now(now_ms) {
            self.circuit.unplug();
            self.tally.act(now_ms);
            self.mark(now_ms, MarkKind::Act, "heaters unplugged");
        }
        if decides {
            self.next_decision_ms += self.interval_ms;
            if self.circuit.power_on() {
                self.decide(now_ms)?;
            }
        }
        if !self.pending.is_empty() {
            self.obey(now_ms);
        }
        if now_ms >= self.next_light_ms {
            self.switch_lights(now_ms);
        }
        self.resolve(now_ms);
        Ok(())
    }

    fn turn_happenings(&mut self, now_ms: Millis) {
        for change in self.timeline.settle(now_ms) {
            let (index, what) = match change {
                Change::Began(index) => (index, MarkKind::Begins),
                Change::Ended(index) => (index, MarkKind::Ends),
            };
            let name = &self.timeline.happening(index).name;
            if let Some(trace) = self.trace.as_deref_mut() {
                trace.mark(&Mark { at_ms: now_ms, what, name });
            }
        }
        self.apply_happenings(now_ms);
        self.next_announcing_ms = now_ms;
        self.next_light_ms = now_ms;
    }

    /// Recomputes the state of everything from the set of active happenings.
    fn apply_happenings(&mut self, now_ms: Millis) {
        let had_power = self.circuit.power_on();
        self.circuit.apply(self.timeline.active());
        if had_power && !self.circuit.power_on() {
            self.pending.clear();
        }
        self.probes.apply(self.timeline.active());
        self.devices.pump_stopped.fill(false);
        for (cover, tank) in self.devices.covers.iter_mut().zip(&self.scenario.tanks) {
            *cover = tank.cover;
        }
        let mut shift_k = 0.0;
        for happening in self.timeline.active() {
            match happening.effect {
                Effect::PumpStopped(pump) => self.devices.pump_stopped[pump.0] = true,
                Effect::Covered { tank, cover } => self.devices.covers[tank.0] = cover,
                Effect::RoomShift { by_k } => shift_k += by_k,
                _ => {}
            }
        }
        if self.weather.set_shift(shift_k) {
            self.stepper.air_changed();
        }
        let running: Vec<bool> =
            self.devices.pump_stopped.iter().map(|stopped| !stopped && self.circuit.power_on()).collect();
        for (index, pump) in self.scenario.pumps.iter().enumerate() {
            if self.devices.pumps[index].set(now_ms, running[index]) {
                let to_water_w = if running[index] { pump.power_w * pump.share_to_water_frac } else { 0.0 };
                self.stepper.set_power(self.plant.pump_sources[index], to_water_w);
            }
        }
        self.stepper.set_mode(self.plant.mode(&running, &self.probes.in_air()));
        self.set_losses();
    }

    /// Tells the network what covers and fans do.
    fn set_losses(&mut self) {
        let fans: Vec<bool> = self.devices.fans.iter().map(|fan| fan.on).collect();
        for (index, cover) in self.devices.covers.iter().enumerate() {
            let setting = self.plant.loss_setting(TankId(index), *cover, &fans);
            self.stepper.set_losses(self.plant.losses[index], setting);
        }
    }

    fn switch_lights(&mut self, now_ms: Millis) {
        for (index, light) in self.scenario.lights.iter().enumerate() {
            let on = self.circuit.power_on() && light.is_on(now_ms);
            if self.devices.lights[index].set(now_ms, on) {
                let to_water_w = if on { light.power_w * light.share_to_water_frac } else { 0.0 };
                self.stepper.set_power(self.plant.light_sources[index], to_water_w);
            }
        }
        let lights = self.scenario.lights.iter();
        self.next_light_ms = lights.map(|light| light.next_switch_ms(now_ms)).min().unwrap_or(NEVER);
    }

    fn look(&mut self, now_ms: Millis) {
        let power_on = self.circuit.power_on();
        let (tally, trace) = (&mut self.tally, &mut self.trace);
        self.watches.look(now_ms, &self.readings.probes_c, power_on, |name| {
            tally.alert(now_ms);
            if let Some(trace) = trace.as_deref_mut() {
                trace.mark(&Mark { at_ms: now_ms, what: MarkKind::Alert, name });
            }
        });
    }

    fn decide(&mut self, now_ms: Millis) -> Result<(), RunError> {
        if now_ms >= self.next_announcing_ms {
            self.next_announcing_ms = (now_ms.div_euclid(HOUR) + 1) * HOUR;
            self.readings.announced = self
                .timeline
                .announced(now_ms, now_ms + ANNOUNCED_AHEAD_MS)
                .into_iter()
                .map(|(name, start_ms, end_ms)| Announced { name: name.to_owned(), start_ms, end_ms })
                .collect();
        }
        self.readings.now_ms = now_ms;
        for (index, drawn_w) in self.readings.drawn_w.iter_mut().enumerate() {
            *drawn_w = if self.devices.heaters[index].on { self.scenario.heaters[index].power_w } else { 0.0 };
        }
        self.commands.clear();
        self.strategy
            .decide(&self.readings, &mut self.commands)
            .map_err(|failure| RunError::Strategy { at_ms: now_ms, failure })?;
        self.pending.clear();
        for command in self.commands.list() {
            if command.delay_ms == 0 {
                self.circuit.command(command.contact, command.state);
            } else {
                self.pending.push((now_ms + command.delay_ms, *command));
            }
        }
        for alert in self.commands.alerts() {
            self.tally.alert(now_ms);
            if let Some(trace) = self.trace.as_deref_mut() {
                trace.mark(&Mark { at_ms: now_ms, what: MarkKind::Alert, name: alert });
            }
        }
        Ok(())
    }

    /// Carries out the delayed commands that are due, in the order given.
    fn obey(&mut self, now_ms: Millis) {
        let circuit = &mut self.circuit;
        self.pending.retain(|(at_ms, command)| {
            let due = *at_ms <= now_ms;
            if due {
                circuit.command(command.contact, command.state);
            }
            !due
        });
    }

    /// Resolves the contacts and switches what hangs on them. At nearly every decision there is nothing to resolve.
    fn resolve(&mut self, now_ms: Millis) {
        if self.circuit.is_resolved() {
            return;
        }
        let mut changes = std::mem::take(&mut self.changes);
        self.circuit.pending_changes(&mut changes);
        if now_ms >= 0 && self.waits_for_contacts && self.start_waiting(now_ms, &changes) {
            self.turn_happenings(now_ms);
            self.circuit.pending_changes(&mut changes);
        }
        self.circuit.carry_out(&changes);
        for (contact, closed) in &changes {
            self.tally.contact(contact.0, now_ms, *closed);
        }
        self.changes = changes;
        for (index, heater) in self.scenario.heaters.iter().enumerate() {
            let on = self.circuit.heater_on(HeaterId(index));
            if self.devices.heaters[index].set(now_ms, on) {
                let power_w = if on { heater.power_w } else { 0.0 };
                self.stepper.set_power(self.plant.heater_sources[index], power_w);
            }
        }
        let mut fans_changed = false;
        for index in 0..self.scenario.fans.len() {
            fans_changed |= self.devices.fans[index].set(now_ms, self.circuit.fan_on(index));
        }
        if fans_changed {
            self.set_losses();
        }
    }

    /// Starts happenings that wait for one of these changes; true if any does. A weld that waits for an opening so takes hold before the
    /// contact parts.
    fn start_waiting(&mut self, now_ms: Millis, changes: &[(ContactId, bool)]) -> bool {
        let mut due: Vec<usize> = Vec::new();
        for (changed, closes) in changes {
            let (closings, openings) = &mut self.counts[changed.0];
            *(if *closes { &mut *closings } else { &mut *openings }) += 1;
            let (closings, openings) = (*closings, *openings);
            let waits = |happening: &Happening| match happening.when {
                When::Closing { contact, nth } => *closes && contact == *changed && nth == closings,
                When::Opening { contact, nth } => !*closes && contact == *changed && nth == openings,
                _ => false,
            };
            due.extend(self.timeline.all().enumerate().filter(|(_, one)| waits(one)).map(|(index, _)| index));
        }
        for index in &due {
            self.timeline.start_now(*index, now_ms);
        }
        !due.is_empty()
    }

    /// The next instant at which anything but a self-acting contact may happen.
    fn next_stop(&self, now_ms: Millis) -> Millis {
        let mut stop_ms = self.end_ms.min(self.next_decision_ms).min(self.next_light_ms);
        stop_ms = stop_ms.min(self.timeline.next_ms());
        if now_ms < 0 {
            stop_ms = stop_ms.min(0);
        }
        for (at_ms, _) in &self.pending {
            stop_ms = stop_ms.min(*at_ms);
        }
        if !self.watches.is_empty() {
            stop_ms = stop_ms.min((now_ms.div_euclid(MINUTE) + 1) * MINUTE);
            stop_ms = stop_ms.min(self.watches.next_act_ms().unwrap_or(NEVER));
        }
        stop_ms.max(now_ms + 1)
    }

    fn advance(&mut self, stop_ms: Millis) -> Millis {
        let mut watching = Watching { plant: self.plant, circuit: &self.circuit, tally: &mut self.tally };
        self.stepper.advance(stop_ms, &mut self.weather, &mut watching)
    }

    fn mark(&mut self, at_ms: Millis, what: MarkKind, name: &str) {
        if let Some(trace) = self.trace.as_deref_mut() {
            trace.mark(&Mark { at_ms, what, name });
        }
    }

    fn show_row(&mut self, now_ms: Millis) {
        let Some(trace) = self.trace.as_deref_mut() else { return };
        let air = self.weather.air_at(now_ms);
        let buffers = &mut self.trace_buffers;
        let stepper = &self.stepper;
        buffers.water_c.clear();
        buffers.water_c.extend(self.plant.water.iter().map(|node| stepper.temp_c(*node)));
        buffers.heater_c.clear();
        buffers.heater_c.extend(self.plant.bodies.iter().map(|node| stepper.temp_c(*node)));
        buffers.heater_w.clear();
        let heaters = self.scenario.heaters.iter().zip(&self.devices.heaters);
        buffers.heater_w.extend(heaters.map(|(heater, on)| if on.on { heater.power_w } else { 0.0 }));
        trace.row(&TraceRow {
            at_ms: now_ms,
            water_c: &buffers.water_c,
            heater_c: &buffers.heater_c,
            room_c: air.temp_c,
            humidity_frac: air.relative_humidity_frac(),
            readings_c: &self.readings.probes_c,
            heater_w: &buffers.heater_w,
            contacts: self.circuit.states(),
        });
    }

    fn finish(mut self) -> Scores {
        let end_ms = self.end_ms;
        let on_times =
            |list: &mut Vec<OnTime>| list.iter_mut().map(|device| device.settle(end_ms)).collect::<Vec<Millis>>();
        let meters = Meters {
            heater_on_ms: on_times(&mut self.devices.heaters),
            fan_on_ms: on_times(&mut self.devices.fans),
            pump_on_ms: on_times(&mut self.devices.pumps),
            light_on_ms: on_times(&mut self.devices.lights),
            evaporated_kg: self.stepper.evaporated_kg().iter().sum(),
        };
        let heat_balance = self.stepper.heat_balance();
        self.tally.finish(self.scenario, end_ms, &meters, heat_balance)
    }
}

/// Passes steps on to the scores, and crossings of self-acting contacts to the stepper.
struct Watching<'a> {
    plant: &'a Plant,
    circuit: &'a Circuit,
    tally: &'a mut ScoreTally,
}

impl Observer for Watching<'_> {
    #[inline]
    fn crossed(&self, state: &Vector) -> bool {
        self.circuit.crossed(state)
    }

    #[inline]
    fn observe(&mut self, from_ms: Millis, from: &Vector, to_ms: Millis, to: &Vector) {
        if from_ms < 0 {
            return;
        }
        let reference_c = self.plant.network.reference_c();
        self.tally.observe(
            from_ms,
            to_ms,
            |tank| {
                let node = self.plant.water[tank].0;
                (reference_c + from[node], reference_c + to[node])
            },
            |heater| reference_c + to[self.plant.bodies[heater].0],
        );
    }
}

impl Light {
    /// Whether it is on at an instant.
    fn is_on(&self, at_ms: Millis) -> bool {
        let of_day_ms = time_of_day(at_ms);
        if self.on_ms <= self.off_ms {
            self.on_ms == self.off_ms || (self.on_ms..self.off_ms).contains(&of_day_ms)
        } else {
            of_day_ms >= self.on_ms || of_day_ms < self.off_ms
        }
    }

    /// The next time it switches.
    fn next_switch_ms(&self, after_ms: Millis) -> Millis {
        let until = |of_day_ms: Millis| {
            let ahead_ms = (of_day_ms - time_of_day(after_ms)).rem_euclid(DAY);
            after_ms + if ahead_ms == 0 { DAY } else { ahead_ms }
        };
        until(self.on_ms).min(until(self.off_ms))
    }
}
