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
//! The remainder within a refresh interval beyond a straight line: below 1 mK at 15 minutes.
//!
//! # Checked by
//! `tests/verification/solver_reference.rs`, `tests/verification/lumped_step.rs`.

use super::cache::PropagatorCache;
use super::ledger::Ledger;
use super::leg::{Leg, Passed};
use super::minute::{Minute, RemainderLine};
use super::propagator::Propagator;
use super::tick::{Sources, Ticks};
use super::{LossesId, Network, NodeId, Present, Setting, SourceId, Vector};
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
    /// Ten seconds and fifteen minutes. A choice: `tests/verification/solver_reference.rs` and `step_size.rs` say what it costs.
    fn default() -> Self {
        Self {
            tick_ms: 10_000,
            refresh_ms: 15 * MINUTE,
        }
    }
}

/// A network's state and how far it has come.
#[derive(Debug, Clone)]
pub struct Stepper<'n> {
    network: &'n Network,
    settings: StepperSettings,
    cache: PropagatorCache,
    now_ms: Millis,
    /// It stopped at `now_ms` because something switches.
    switches: bool,
    state: Vector,
    start: Vector,
    present: Present,
    entry: usize,
    refresh_ms: Millis,
    power_w: Vec<f64>,
    power_since_ms: Vec<Millis>,
    leg: Leg,
    minute: Minute,
    ticks: Ticks,
    ledger: Ledger,
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
        let mut cache = PropagatorCache::new(settings.tick_ms, settings.refresh_ms);
        let present = network.as_built();
        let entry = cache.entry_of(network, &present);
        Self {
            network,
            settings,
            cache,
            now_ms: start_ms,
            switches: false,
            state,
            start: state,
            present,
            entry,
            refresh_ms: settings.refresh_ms,
            power_w: vec![0.0; network.parts.sources.len()],
            power_since_ms: vec![start_ms; network.parts.sources.len()],
            leg: Leg {
                start_ms,
                end_ms: start_ms,
                stale: true,
                ..Leg::default()
            },
            minute: Minute {
                start_ms,
                end_ms: start_ms,
                ..Minute::default()
            },
            ticks: Ticks::default(),
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
        if let Some(capacity) = self.present.heat_capacity_j_per_k[node.0] {
            self.catch_up();
            self.minute.sources.value[node.0] += (power_w - old_w) / capacity;
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
        if mode != self.present.mode {
            self.close_leg();
            self.present.mode = mode;
            self.entry = self.cache.entry_of(self.network, &self.present);
            self.leg.stale = true;
        }
    }

    /// Sets what covers, fans and levels do to a node's losses from now on.
    pub fn set_losses(&mut self, losses: LossesId, setting: Setting) {
        if self.present.losses[losses.0] != setting {
            self.present.losses[losses.0] = setting;
            self.leg.stale = true;
        }
    }

    /// Sets a lump's heat capacity from now on, J/K: water came or went at the lump's own temperature. The heat it carries is booked.
    pub fn set_heat_capacity(&mut self, node: NodeId, heat_capacity_j_per_k: f64) {
        if let Some(old) = self.present.heat_capacity_j_per_k[node.0]
            && old != heat_capacity_j_per_k
        {
            self.close_leg();
            self.ledger.carried_j += (heat_capacity_j_per_k - old) * self.state[node.0];
            self.present.heat_capacity_j_per_k[node.0] = Some(heat_capacity_j_per_k);
            self.cache.clear();
            self.entry = self.cache.entry_of(self.network, &self.present);
            self.leg.stale = true;
        }
    }

    /// Whether evaporated water is replaced from now on.
    pub fn set_topped_off(&mut self, topped_off: bool) {
        if self.present.topped_off != topped_off {
            self.present.topped_off = topped_off;
            self.leg.stale = true;
        }
    }

    /// Looks at the losses at least this often from now on, ms: something hot, or a room that answers, changes fast.
    pub fn set_refresh(&mut self, at_least_every_ms: Option<Millis>) {
        let setting_ms = self.settings.refresh_ms;
        let refresh_ms = at_least_every_ms.map_or(setting_ms, |every_ms| every_ms.clamp(1, setting_ms));
        if self.refresh_ms != refresh_ms {
            self.refresh_ms = refresh_ms;
            self.leg.stale = true;
        }
    }

    /// Whether it stopped where it is because something switches.
    #[must_use]
    pub fn switches(&self) -> bool {
        self.switches
    }

    /// What a node loses now in this air, W, without one of its paths where one is named, and what it evaporates, kg/s, condensation negative: as it is
    /// booked, or worked out anew where something changed since.
    #[must_use]
    pub fn loss_now(&self, losses: LossesId, air: Air, left_out: Option<usize>) -> (f64, f64) {
        let counts = |path: &usize| Some(*path) != left_out;
        if self.leg.stale {
            let node = self.network.parts.losses[losses.0].node;
            let setting = self.present.losses[losses.0];
            let (_, loss_w, evaporation) = self.network.losses_at(losses, self.temp_c(node), air, setting);
            let counted = (0..loss_w.len()).filter(counts).map(|path| loss_w[path]);
            return (counted.sum(), evaporation);
        }
        let heat_w = self
            .leg
            .heat_w(self.network, losses, &self.state, air, self.now_ms, counts);
        (-heat_w, self.evaporation_kg_per_s(losses))
    }

    /// Name of a node whose temperature is no number, if there is one.
    #[must_use]
    pub fn not_finite(&self) -> Option<&str> {
        let nodes = &self.network.parts.nodes;
        let at = self.state[..nodes.len()]
            .iter()
            .position(|theta_k| !theta_k.is_finite());
        at.map(|at| nodes[at].name.as_str())
    }

    /// What a node evaporates now, kg/s, as it is booked; condensation negative.
    #[must_use]
    pub fn evaporation_kg_per_s(&self, losses: LossesId) -> f64 {
        self.leg.evaporation_kg_per_s(losses, self.now_ms)
    }

    /// The air changed otherwise than its course said (a happening): look at it anew.
    pub fn air_changed(&mut self) {
        self.leg.stale = true;
    }

    /// Water evaporated at each losses entry so far, kg.
    #[must_use]
    pub fn evaporated_kg(&mut self) -> &[f64] {
        self.close_leg();
        &self.ledger.evaporated_kg
    }

    /// The heat balance since the start.
    #[must_use]
    pub fn heat_balance(&mut self) -> HeatBalance {
        self.close_leg();
        for source in 0..self.power_w.len() {
            self.settle_power(source);
        }
        self.ledger.balance(
            self.network,
            &self.start,
            &self.state,
            &self.present.heat_capacity_j_per_k,
        )
    }

    /// Steps to `to_ms`, or to the first millisecond at which the observer says that something switches; returns where it stopped.
    pub fn advance(
        &mut self,
        to_ms: Millis,
        air: &mut impl AirCourse,
        observer: &mut impl Observer,
    ) -> Millis {
        self.switches = false;
        while self.now_ms < to_ms {
            if self.leg.stale || self.now_ms >= self.leg.end_ms {
                self.begin_leg(air);
            }
            if self.now_ms >= self.minute.end_ms {
                self.begin_minute(air);
            }
            let stop_ms = to_ms.min(self.minute.end_ms);
            if self.step(stop_ms, observer) {
                self.switches = true;
                break;
            }
        }
        self.now_ms
    }

    /// One step of at most a tick towards `stop_ms`; true if something switched.
    fn step(&mut self, stop_ms: Millis, observer: &mut impl Observer) -> bool {
        let tick_end_ms = self.now_ms + self.settings.tick_ms;
        if stop_ms >= tick_end_ms {
            let tick = self.cache.tick(self.entry);
            self.ticks.look_ahead(tick, &self.state, &self.minute.sources);
            if observer.crossed(self.ticks.next()) {
                self.creep(tick_end_ms, observer);
                return true;
            }
            observer.observe(self.now_ms, &self.state, tick_end_ms, self.ticks.next());
            self.ticks.commit(tick, &mut self.state);
            self.now_ms = tick_end_ms;
            return false;
        }
        self.catch_up();
        let saved = self.save();
        self.pieces_to(stop_ms);
        if observer.crossed(&self.state) {
            self.restore(&saved);
            self.creep(stop_ms, observer);
            return true;
        }
        observer.observe(saved.now_ms, &saved.state, self.now_ms, &self.state);
        false
    }

    fn save(&self) -> Saved {
        Saved {
            now_ms: self.now_ms,
            state: self.state,
            sources: self.minute.sources.clone(),
            node_k_s: self.leg.passed.node_k_s,
        }
    }

    fn restore(&mut self, saved: &Saved) {
        self.now_ms = saved.now_ms;
        self.state = saved.state;
        self.minute.sources = saved.sources.clone();
        self.leg.passed.node_k_s = saved.node_k_s;
    }

    /// Makes the longest piece not above `limit_ms`. Whole ticks must have been caught up with.
    fn piece(&mut self, limit_ms: Millis) {
        let (propagator, length_ms) = self.cache.largest_power(self.entry, limit_ms);
        let (sources, integral) = (&mut self.minute.sources, &mut self.leg.passed.node_k_s);
        propagator.p1.multiply_add(&self.state, integral);
        propagator.p2.multiply_add(&sources.value, integral);
        propagator.p3.multiply_add(&sources.slope, integral);
        self.state = solution(propagator, &self.state, sources);
        sources.advance(propagator.length_s);
        self.now_ms += length_ms;
    }

    /// Steps to `end_ms` in powers of two of a millisecond.
    fn pieces_to(&mut self, end_ms: Millis) {
        while self.now_ms < end_ms {
            self.piece(end_ms - self.now_ms);
        }
    }

    /// Goes to the first millisecond before or at `crossed_ms` at which something switches, known to be so there and not yet now: the
    /// longest pieces that do not cross, then one millisecond more.
    fn creep(&mut self, crossed_ms: Millis, observer: &mut impl Observer) {
        let (from_ms, from) = (self.now_ms, self.state);
        self.catch_up();
        let mut limit_ms = crossed_ms;
        while limit_ms - self.now_ms > 1 {
            let saved = self.save();
            self.piece(limit_ms - self.now_ms - 1);
            if observer.crossed(&self.state) {
                limit_ms = self.now_ms;
                self.restore(&saved);
            }
        }
        self.pieces_to(limit_ms);
        observer.observe(from_ms, &from, self.now_ms, &self.state);
    }

    /// Brings the sources up to the whole ticks made.
    fn catch_up(&mut self) {
        self.ticks
            .catch_up(seconds(self.settings.tick_ms), &mut self.minute.sources);
    }

    fn settle_power(&mut self, source: usize) {
        let elapsed_s = seconds(self.now_ms - self.power_since_ms[source]);
        self.ledger.source_j[source] += self.power_w[source] * elapsed_s;
        self.power_since_ms[source] = self.now_ms;
    }

    /// Ends the stretch since the last whole minute (or change).
    fn close_minute(&mut self) {
        self.catch_up();
        let elapsed_s = seconds(self.now_ms - self.minute.start_ms);
        if elapsed_s > 0.0 {
            self.leg.pass(self.minute.start_ms, elapsed_s, &self.minute.air);
            self.minute.start_ms = self.now_ms;
            self.minute.end_ms = self.now_ms;
        }
    }

    /// Books the leg so far.
    fn close_leg(&mut self) {
        self.close_minute();
        if self.leg.passed.elapsed_s > 0.0 {
            self.ticks
                .book(self.cache.tick(self.entry), &mut self.leg.passed.node_k_s);
            self.ledger.book(self.network, &self.leg);
            self.leg.passed = Passed::default();
        }
    }

    fn begin_leg(&mut self, air: &mut impl AirCourse) {
        self.close_leg();
        let refresh_ms = self.refresh_ms;
        let contiguous = !self.leg.stale && self.now_ms == self.leg.end_ms;
        self.leg.start_ms = self.now_ms;
        self.leg.end_ms = (self.now_ms.div_euclid(refresh_ms) + 1) * refresh_ms;
        self.leg.stale = false;
        let air_now = air.air_at(self.now_ms);
        let air_then = air.air_at(self.leg.end_ms);
        if contiguous {
            std::mem::swap(&mut self.leg.at_start, &mut self.leg.at_end);
        } else {
            self.network
                .evaluate(&self.state, air_now, &self.present, &mut self.leg.at_start);
        }
        let predicted = self.predict(air_now, air_then);
        self.network
            .evaluate(&predicted, air_then, &self.present, &mut self.leg.at_end);
    }

    /// Where the state will be at the leg's end if the remainder stays as it is and nothing is switched.
    fn predict(&self, air_now: Air, air_then: Air) -> Vector {
        let length_s = self.leg.length_s();
        let air = self.network.air_line(air_now, air_then, length_s);
        let start = &self.leg.at_start;
        let unchanged = RemainderLine {
            from: start,
            to: start,
            length_s,
            over_s: 0.0,
        };
        let mut sources = self
            .network
            .sources(&self.present, &self.power_w, &air, unchanged);
        let mut left_ms = self.leg.end_ms - self.leg.start_ms;
        if left_ms == self.settings.refresh_ms {
            return solution(self.cache.refresh(self.entry), &self.state, &sources);
        }
        let mut state = self.state;
        while left_ms > 0 {
            let (propagator, length_ms) = self.cache.largest_power(self.entry, left_ms);
            state = solution(propagator, &state, &sources);
            sources.advance(propagator.length_s);
            left_ms -= length_ms;
        }
        state
    }

    fn begin_minute(&mut self, air: &mut impl AirCourse) {
        self.close_minute();
        let end_ms = (self.now_ms.div_euclid(MINUTE) + 1) * MINUTE;
        let line = self.network.air_line(
            air.air_at(self.now_ms),
            air.air(end_ms),
            seconds(end_ms - self.now_ms),
        );
        let remainder = RemainderLine {
            from: &self.leg.at_start,
            to: &self.leg.at_end,
            length_s: self.leg.length_s(),
            over_s: seconds(self.now_ms - self.leg.start_ms),
        };
        let sources = self
            .network
            .sources(&self.present, &self.power_w, &line, remainder);
        self.minute = Minute {
            start_ms: self.now_ms,
            end_ms,
            air: line,
            sources,
        };
    }
}

/// What a trial step changes.
struct Saved {
    now_ms: Millis,
    state: Vector,
    sources: Sources,
    node_k_s: Vector,
}

/// The state one propagator on.
fn solution(propagator: &Propagator, state: &Vector, sources: &Sources) -> Vector {
    let mut change = [0.0; super::MAX_NODES];
    propagator.d.multiply_add(state, &mut change);
    propagator.p1.multiply_add(&sources.value, &mut change);
    propagator.p2.multiply_add(&sources.slope, &mut change);
    let mut next = *state;
    for (theta_k, by_k) in next.iter_mut().zip(&change) {
        *theta_k += by_k;
    }
    next
}
