//! Steps a network through time.
//!
//! # Equation
//! See `propagator.rs` (exact linear part), `leg.rs` (remainder of the losses). Between two whole minutes all sources are straight
//! lines in time, so a tick of any length is exact but for the remainder.
//!
//! # Units
//! State in K above the network's reference; time in ms.
//!
//! # Source
//! As in the two files named.
//!
//! # Valid for
//! Ticks of 1 ms to 60 s. The tick does not change the result beyond rounding; the refresh interval does, at second order.
//!
//! # Left out
//! The remainder within a refresh interval beyond a straight line: below 1 mK at 5 minutes.
//!
//! # Checked by
//! `tests/verification/solver_reference.rs`, `tests/verification/lumped_step.rs`.

use super::cache::PropagatorCache;
use super::leg::Remainder;
use super::ledger::Ledger;
use super::propagator::Propagator;
use super::{LossesId, Network, NodeId, SourceId, Vector};
use crate::physics::moist_air::Air;
use crate::scores::HeatBalance;
use crate::time::{MINUTE, Millis, seconds};

/// The air at whole minutes; straight lines between them.
pub trait AirCourse {
    /// The air at a whole minute, asked for in order of time but for looks one refresh interval ahead.
    fn air(&mut self, minute_ms: Millis) -> Air;

    /// The air at any instant.
    fn air_at(&mut self, at_ms: Millis) -> Air {
        let before_ms = at_ms.div_euclid(MINUTE) * MINUTE;
        let before = self.air(before_ms);
        if before_ms == at_ms {
            return before;
        }
        let after = self.air(before_ms + MINUTE);
        let share = seconds(at_ms - before_ms) / seconds(MINUTE);
        Air {
            temp_c: before.temp_c + (after.temp_c - before.temp_c) * share,
            vapour_pressure_pa: before.vapour_pressure_pa
                + (after.vapour_pressure_pa - before.vapour_pressure_pa) * share,
            pressure_pa: before.pressure_pa,
        }
    }
}

/// Watches the stepper at work.
pub trait Observer {
    /// Whether something switches in this state: the stepper then stops at the first millisecond at which this is true.
    fn crossed(&self, state: &Vector) -> bool;

    /// One step was made; within it the state is very nearly a straight line.
    fn observe(&mut self, from_ms: Millis, from: &Vector, to_ms: Millis, to: &Vector);
}

/// How finely to step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StepperSettings {
    /// Longest step, ms, 1..=60 000: how often the state is looked at.
    pub tick_ms: Millis,
    /// How often losses are evaluated, ms, a whole number of minutes, ≥ 1 min.
    pub refresh_ms: Millis,
}

impl Default for StepperSettings {
    fn default() -> Self {
        Self { tick_ms: 10_000, refresh_ms: 5 * MINUTE }
    }
}

/// A network's state and how far it has come.
#[derive(Debug)]
pub struct Stepper<'n> {
    network: &'n Network,
    settings: StepperSettings,
    cache: PropagatorCache,
    now_ms: Millis,
    state: Vector,
    start: Vector,
    mode: u32,
    entry: usize,
    loss_settings: Vec<u32>,
    power_w: Vec<f64>,
    power_since_ms: Vec<Millis>,
    leg: Leg,
    minute: Minute,
    sums: Sums,
    increment: Option<Increment>,
    ledger: Ledger,
}

/// One refresh interval.
#[derive(Debug, Default)]
struct Leg {
    start_ms: Millis,
    end_ms: Millis,
    /// Something changed: begin a new one.
    stale: bool,
    at_start: Remainder,
    at_end: Remainder,
}

/// One stretch between whole minutes (or shorter).
#[derive(Debug, Default)]
struct Minute {
    start_ms: Millis,
    end_ms: Millis,
    air_k: f64,
    air_k_per_s: f64,
    vapour_pa: f64,
    vapour_pa_per_s: f64,
    /// Sources now, K/s, and their slope, K/s².
    source: Vector,
    slope: Vector,
    /// ∫ state dt since the stretch began, K s.
    integral: Vector,
}

/// Whole ticks not yet in the minute's integral.
#[derive(Debug, Default)]
struct Sums {
    ticks: u32,
    state: Vector,
    source: Vector,
}

/// What a whole tick adds by its sources, and how that grows from tick to tick.
#[derive(Debug, Clone, Copy)]
struct Increment {
    value: Vector,
    growth: Vector,
}

impl<'n> Stepper<'n> {
    /// A network at `start_ms` with all nodes at the given temperatures, °C.
    ///
    /// Settings out of their range are brought to its nearest end.
    #[must_use]
    pub fn new(network: &'n Network, settings: StepperSettings, start_ms: Millis, node_c: &[f64]) -> Self {
        let settings = StepperSettings {
            tick_ms: settings.tick_ms.clamp(1, MINUTE),
            refresh_ms: (settings.refresh_ms / MINUTE).max(1) * MINUTE,
        };
        let mut state = [0.0; super::MAX_NODES];
        for (theta_k, temp_c) in state.iter_mut().zip(node_c) {
            *theta_k = temp_c - network.reference_c();
        }
        let mut cache = PropagatorCache::new(settings.tick_ms);
        let entry = cache.entry_of(network, 0);
        Self {
            network,
            settings,
            cache,
            now_ms: start_ms,
            state,
            start: state,
            mode: 0,
            entry,
            loss_settings: vec![0; network.parts.losses.len()],
            power_w: vec![0.0; network.parts.sources.len()],
            power_since_ms: vec![start_ms; network.parts.sources.len()],
            leg: Leg { start_ms, end_ms: start_ms, stale: true, ..Leg::default() },
            minute: Minute { start_ms, end_ms: start_ms, ..Minute::default() },
            sums: Sums::default(),
            increment: None,
            ledger: Ledger::new(network),
        }
    }

    /// Now, ms.
    #[must_use]
    pub fn now_ms(&self) -> Millis {
        self.now_ms
    }

    /// The state, K above the reference.
    #[must_use]
    pub fn state(&self) -> &Vector {
        &self.state
    }

    /// Temperature of a node, °C.
    #[must_use]
    pub fn temp_c(&self, node: NodeId) -> f64 {
        self.network.reference_c() + self.state[node.0]
    }

    /// Sets a source's power from now on, W.
    pub fn set_power(&mut self, source: SourceId, power_w: f64) {
        let old_w = self.power_w[source.0];
        if old_w == power_w {
            return;
        }
        self.settle_power(source.0);
        self.power_w[source.0] = power_w;
        let node = self.network.parts.sources[source.0].node;
        if let Some(capacity) = self.network.parts.nodes[node.0].heat_capacity_j_per_k {
            self.flush();
            self.minute.source[node.0] += (power_w - old_w) / capacity;
            self.increment = None;
        }
    }

    /// Energy of a source so far, J.
    #[must_use]
    pub fn energy_j(&self, source: SourceId) -> f64 {
        self.ledger.source_j[source.0]
            + self.power_w[source.0] * seconds(self.now_ms - self.power_since_ms[source.0])
    }

    /// Sets which couplings hold from now on.
    pub fn set_mode(&mut self, mode: u32) {
        if mode != self.mode {
            self.close_minute();
            self.mode = mode;
            self.entry = self.cache.entry_of(self.network, mode);
            self.leg.stale = true;
        }
    }

    /// Sets what covers and fans do over a node's losses from now on.
    pub fn set_losses(&mut self, losses: LossesId, setting: u32) {
        if self.loss_settings[losses.0] != setting {
            self.loss_settings[losses.0] = setting;
            self.leg.stale = true;
        }
    }

    /// The air changed otherwise than its course said (a happening): look at it anew.
    pub fn air_changed(&mut self) {
        self.leg.stale = true;
    }

    /// Water evaporated at each losses entry so far, kg, up to the last whole minute or change.
    #[must_use]
    pub fn evaporated_kg(&mut self) -> &[f64] {
        self.close_minute();
        &self.ledger.evaporated_kg
    }

    /// The heat balance since the start.
    #[must_use]
    pub fn heat_balance(&mut self) -> HeatBalance {
        self.close_minute();
        for source in 0..self.power_w.len() {
            self.settle_power(source);
        }
        self.ledger.balance(self.network, &self.start, &self.state)
    }

    /// Steps to `to_ms`, or to the first millisecond at which the observer says that something switches; returns where it stopped.
    pub fn advance(&mut self, to_ms: Millis, air: &mut impl AirCourse, observer: &mut impl Observer) -> Millis {
        while self.now_ms < to_ms {
            if self.leg.stale || self.now_ms >= self.leg.end_ms {
                self.begin_leg(air);
            }
            if self.now_ms >= self.minute.end_ms {
                self.begin_minute(air);
            }
            let stop_ms = to_ms.min(self.minute.end_ms);
            if self.step(stop_ms, observer) {
                break;
            }
        }
        self.now_ms
    }

    /// One step of at most a tick towards `stop_ms`; true if something switched.
    fn step(&mut self, stop_ms: Millis, observer: &mut impl Observer) -> bool {
        let tick_ms = self.settings.tick_ms;
        let whole = stop_ms - self.now_ms >= tick_ms;
        let length_ms = if whole { tick_ms } else { stop_ms - self.now_ms };
        let before = self.state;
        if whole {
            let next = self.whole_tick();
            if observer.crossed(&next) {
                self.creep(self.now_ms + length_ms, observer);
                return true;
            }
            self.commit_tick(next);
        } else {
            let end_ms = stop_ms;
            self.flush();
            let saved = (self.now_ms, self.minute.source, self.minute.integral);
            self.pieces_to(end_ms);
            if observer.crossed(&self.state) {
                self.state = before;
                (self.now_ms, self.minute.source, self.minute.integral) = saved;
                self.creep(end_ms, observer);
                return true;
            }
        }
        observer.observe(self.now_ms - length_ms, &before, self.now_ms, &self.state);
        false
    }

    /// The state one whole tick on.
    fn whole_tick(&mut self) -> Vector {
        let propagator = self.cache.tick(self.entry);
        let increment = match self.increment {
            Some(increment) => increment,
            None => {
                let mut value = [0.0; super::MAX_NODES];
                propagator.p1.multiply_add(&self.minute.source, &mut value);
                propagator.p2.multiply_add(&self.minute.slope, &mut value);
                let mut growth = [0.0; super::MAX_NODES];
                propagator.p1.multiply_add(&self.minute.slope, &mut growth);
                for entry in &mut growth {
                    *entry *= propagator.length_s;
                }
                let increment = Increment { value, growth };
                self.increment = Some(increment);
                increment
            }
        };
        let mut change = increment.value;
        propagator.d.multiply_add(&self.state, &mut change);
        let mut next = self.state;
        for (theta_k, by_k) in next.iter_mut().zip(&change) {
            *theta_k += by_k;
        }
        next
    }

    fn commit_tick(&mut self, next: Vector) {
        let tick_s = seconds(self.settings.tick_ms);
        self.sums.ticks += 1;
        for i in 0..super::MAX_NODES {
            self.sums.state[i] += self.state[i];
            self.sums.source[i] += self.minute.source[i];
            self.minute.source[i] += self.minute.slope[i] * tick_s;
        }
        if let Some(increment) = &mut self.increment {
            for i in 0..super::MAX_NODES {
                increment.value[i] += increment.growth[i];
            }
        }
        self.state = next;
        self.now_ms += self.settings.tick_ms;
    }

    /// Steps to `end_ms` in powers of two of a millisecond.
    fn pieces_to(&mut self, end_ms: Millis) {
        while self.now_ms < end_ms {
            let (propagator, length_ms) = self.cache.largest_power(self.entry, end_ms - self.now_ms);
            let next = piece(propagator, &self.state, &mut self.minute);
            self.state = next;
            self.now_ms += length_ms;
        }
        self.increment = None;
    }

    /// Goes to the first millisecond before or at `crossed_ms` at which something switches, known to be so there and not yet now: the
    /// longest pieces that do not cross, then one millisecond more.
    fn creep(&mut self, crossed_ms: Millis, observer: &mut impl Observer) {
        let (from_ms, from) = (self.now_ms, self.state);
        self.flush();
        let mut limit_ms = crossed_ms;
        while limit_ms - self.now_ms > 1 {
            let (propagator, length_ms) = self.cache.largest_power(self.entry, limit_ms - self.now_ms - 1);
            let saved = (self.minute.source, self.minute.integral);
            let next = piece(propagator, &self.state, &mut self.minute);
            if observer.crossed(&next) {
                (self.minute.source, self.minute.integral) = saved;
                limit_ms = self.now_ms + length_ms;
            } else {
                self.state = next;
                self.now_ms += length_ms;
            }
        }
        self.pieces_to(limit_ms);
        observer.observe(from_ms, &from, self.now_ms, &self.state);
    }

    /// Puts the whole ticks so far into the minute's integral.
    fn flush(&mut self) {
        if self.sums.ticks == 0 {
            return;
        }
        let propagator = self.cache.tick(self.entry);
        let ticks = f64::from(self.sums.ticks);
        propagator.p1.multiply_add(&self.sums.state, &mut self.minute.integral);
        propagator.p2.multiply_add(&self.sums.source, &mut self.minute.integral);
        let slopes = self.minute.slope.map(|slope| slope * ticks);
        propagator.p3.multiply_add(&slopes, &mut self.minute.integral);
        self.sums = Sums::default();
    }

    fn settle_power(&mut self, source: usize) {
        let elapsed_s = seconds(self.now_ms - self.power_since_ms[source]);
        self.ledger.source_j[source] += self.power_w[source] * elapsed_s;
        self.power_since_ms[source] = self.now_ms;
    }

    /// Books the stretch since the last whole minute (or change).
    fn close_minute(&mut self) {
        self.flush();
        let elapsed_s = seconds(self.now_ms - self.minute.start_ms);
        if elapsed_s <= 0.0 {
            return;
        }
        let half_s2 = 0.5 * elapsed_s * elapsed_s;
        let air_k_s = self.minute.air_k * elapsed_s + self.minute.air_k_per_s * half_s2;
        let vapour_pa_s = self.minute.vapour_pa * elapsed_s + self.minute.vapour_pa_per_s * half_s2;
        let leg_s = seconds(self.leg.end_ms - self.leg.start_ms);
        // Position of the stretch's middle in the leg, 0..=1: a line's mean over the stretch is its value there.
        let middle = (seconds(self.minute.start_ms - self.leg.start_ms) + 0.5 * elapsed_s) / leg_s;
        let mean = |start: f64, end: f64| start + (end - start) * middle;
        let mut path = 0;
        for (index, entry) in self.network.parts.losses.iter().enumerate() {
            let node_k_s = self.minute.integral[entry.node.0];
            for linear in &entry.linear {
                let remainder_w = mean(self.leg.at_start.path_w[path], self.leg.at_end.path_w[path]);
                self.ledger.path_j[path] += (linear.at_reference_w + remainder_w) * elapsed_s
                    + linear.per_node_w_per_k * node_k_s
                    + linear.per_air_w_per_k * air_k_s
                    + linear.per_vapour_w_per_pa * vapour_pa_s;
                path += 1;
            }
            self.ledger.evaporated_kg[index] += elapsed_s
                * mean(
                    self.leg.at_start.evaporation_kg_per_s[index],
                    self.leg.at_end.evaporation_kg_per_s[index],
                );
        }
        self.ledger.make_up_j += elapsed_s * mean(self.leg.at_start.make_up_w, self.leg.at_end.make_up_w);
        self.minute.start_ms = self.now_ms;
        self.minute.end_ms = self.now_ms;
        self.minute.integral = [0.0; super::MAX_NODES];
    }

    fn begin_leg(&mut self, air: &mut impl AirCourse) {
        self.close_minute();
        let refresh_ms = self.settings.refresh_ms;
        let contiguous = !self.leg.stale && self.now_ms == self.leg.end_ms;
        self.leg.start_ms = self.now_ms;
        self.leg.end_ms = (self.now_ms.div_euclid(refresh_ms) + 1) * refresh_ms;
        self.leg.stale = false;
        let air_now = air.air_at(self.now_ms);
        let air_then = air.air(self.leg.end_ms);
        if contiguous {
            std::mem::swap(&mut self.leg.at_start, &mut self.leg.at_end);
        } else {
            self.network.evaluate(&self.state, air_now, &self.loss_settings, &mut self.leg.at_start);
        }
        let predicted = self.predict(air_now, air_then);
        self.network.evaluate(&predicted, air_then, &self.loss_settings, &mut self.leg.at_end);
    }

    /// Where the state will be at the leg's end if the remainder stays as it is and nothing is switched.
    fn predict(&mut self, air_now: Air, air_then: Air) -> Vector {
        let length_s = seconds(self.leg.end_ms - self.leg.start_ms);
        let (air_k, vapour_pa) = self.network.above_reference(air_now);
        let (air_then_k, vapour_then_pa) = self.network.above_reference(air_then);
        let mut ahead = Minute {
            air_k,
            air_k_per_s: (air_then_k - air_k) / length_s,
            vapour_pa,
            vapour_pa_per_s: (vapour_then_pa - vapour_pa) / length_s,
            ..Minute::default()
        };
        self.fill_sources(&mut ahead, &self.leg.at_start, &self.leg.at_start, 0.0, length_s);
        let mut state = self.state;
        let mut left_ms = self.leg.end_ms - self.leg.start_ms;
        while left_ms > 0 {
            let (propagator, length_ms) = self.cache.largest_power(self.entry, left_ms);
            state = piece(propagator, &state, &mut ahead);
            left_ms -= length_ms;
        }
        state
    }

    fn begin_minute(&mut self, air: &mut impl AirCourse) {
        self.close_minute();
        let end_ms = (self.now_ms.div_euclid(MINUTE) + 1) * MINUTE;
        let length_s = seconds(end_ms - self.now_ms);
        let (air_k, vapour_pa) = self.network.above_reference(air.air_at(self.now_ms));
        let (air_then_k, vapour_then_pa) = self.network.above_reference(air.air(end_ms));
        let mut minute = Minute {
            start_ms: self.now_ms,
            end_ms,
            air_k,
            air_k_per_s: (air_then_k - air_k) / length_s,
            vapour_pa,
            vapour_pa_per_s: (vapour_then_pa - vapour_pa) / length_s,
            ..Minute::default()
        };
        let into_leg_s = seconds(self.now_ms - self.leg.start_ms);
        let leg_s = seconds(self.leg.end_ms - self.leg.start_ms);
        self.fill_sources(&mut minute, &self.leg.at_start, &self.leg.at_end, into_leg_s, leg_s);
        self.minute = minute;
        self.increment = None;
    }

    /// Sources at a point of a leg and their slope: power, the losses' parts that do not depend on the node, air at lags.
    fn fill_sources(&self, minute: &mut Minute, from: &Remainder, to: &Remainder, into_leg_s: f64, leg_s: f64) {
        let share = into_leg_s / leg_s;
        let parts = &self.network.parts;
        let mut power_w = [0.0; super::MAX_NODES];
        let mut power_w_per_s = [0.0; super::MAX_NODES];
        for (source, watts) in parts.sources.iter().zip(&self.power_w) {
            power_w[source.node.0] += watts;
        }
        let mut path = 0;
        for entry in &parts.losses {
            let node = entry.node.0;
            for linear in &entry.linear {
                let (start_w, end_w) = (from.path_w[path], to.path_w[path]);
                power_w[node] += linear.heat_w(0.0, minute.air_k, minute.vapour_pa) + start_w + (end_w - start_w) * share;
                power_w_per_s[node] += linear.per_air_w_per_k * minute.air_k_per_s
                    + linear.per_vapour_w_per_pa * minute.vapour_pa_per_s
                    + (end_w - start_w) / leg_s;
                path += 1;
            }
        }
        if let Some(make_up) = parts.make_up {
            power_w[make_up.node.0] += from.make_up_w + (to.make_up_w - from.make_up_w) * share;
            power_w_per_s[make_up.node.0] += (to.make_up_w - from.make_up_w) / leg_s;
        }
        for (i, node) in parts.nodes.iter().enumerate() {
            if let Some(capacity) = node.heat_capacity_j_per_k {
                minute.source[i] = power_w[i] / capacity;
                minute.slope[i] = power_w_per_s[i] / capacity;
            }
        }
        let above_reference_k = parts.reference_air.temp_c - parts.reference_c + minute.air_k;
        for lag in parts.lags.iter().filter(|lag| lag.hangs_in_air(self.mode)) {
            minute.source[lag.node.0] = above_reference_k / lag.lag_s;
            minute.slope[lag.node.0] = minute.air_k_per_s / lag.lag_s;
        }
    }
}

/// The state one propagator on; moves the minute's sources and integral with it.
fn piece(propagator: &Propagator, state: &Vector, minute: &mut Minute) -> Vector {
    propagator.p1.multiply_add(state, &mut minute.integral);
    propagator.p2.multiply_add(&minute.source, &mut minute.integral);
    propagator.p3.multiply_add(&minute.slope, &mut minute.integral);
    let mut change = [0.0; super::MAX_NODES];
    propagator.d.multiply_add(state, &mut change);
    propagator.p1.multiply_add(&minute.source, &mut change);
    propagator.p2.multiply_add(&minute.slope, &mut change);
    for (source, slope) in minute.source.iter_mut().zip(&minute.slope) {
        *source += slope * propagator.length_s;
    }
    let mut next = *state;
    for (theta_k, by_k) in next.iter_mut().zip(&change) {
        *theta_k += by_k;
    }
    next
}
