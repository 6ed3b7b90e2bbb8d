//! Steps a network through time.
//!
//! # Equation
//! See `propagator.rs` (exact linear part), `stride.rs` (several ticks at once), `leg.rs` (remainder of the losses). Over a stretch all
//! sources are straight lines in time, so a step of any length is exact but for the remainder.
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

mod within;

use self::within::solution;
use super::cache::PropagatorCache;
use super::ledger::Ledger;
use super::leg::{Leg, Passed};
use super::stretch::{RemainderLine, Stretch};
use super::stride::{Passage, STRIDE_TICKS, Stride, WholeStrides};
use super::{LossesId, Network, NodeId, Present, Setting, SourceId, Vector};
use crate::physics::moist_air::Air;
use crate::scores::HeatBalance;
use crate::time::{MINUTE, Millis, seconds};

/// The air at whole minutes; straight lines between them.
pub trait AirCourse {
    /// Up to which whole minute the air runs straight from an instant on, ms.
    fn straight_to_ms(&self, from_ms: Millis) -> Millis {
        (from_ms.div_euclid(MINUTE) + 1) * MINUTE
    }

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
        before.towards(after, seconds(at_ms - before_ms) / seconds(MINUTE))
    }
}

/// Watches the stepper at work.
pub trait Observer {
    /// Whether something switches in this state: the stepper then stops at the first millisecond at which this is true.
    fn crossed(&self, state: &Vector) -> bool;

    /// Whether something may switch at a tick of this passage or at its end. Who does not know says so, and is asked at every tick.
    fn may_cross(&self, _passage: &Passage<'_>) -> bool {
        true
    }

    /// This passed.
    fn observe(&mut self, passage: &Passage<'_>);
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
    stretch: Stretch,
    /// Where the stride under way begins: where something last changed, or the last stride ended.
    from_ms: Millis,
    from: Vector,
    stride: Stride,
    /// ∫ state dt over what of the stride lies behind its last whole tick, K s, where there is such a part.
    part_k_s: Vector,
    whole_strides: WholeStrides,
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
            stretch: Stretch {
                start_ms,
                end_ms: start_ms,
                ..Stretch::default()
            },
            from_ms: start_ms,
            from: state,
            stride: Stride::default(),
            part_k_s: [0.0; super::MAX_NODES],
            whole_strides: WholeStrides::default(),
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
        self.change();
        self.settle_power(source.0);
        self.power_w[source.0] = power_w;
        let node = self.network.parts.sources[source.0].node;
        if let Some(capacity) = self.present.heat_capacity_j_per_k[node.0] {
            self.stretch.sources.value[node.0] += (power_w - old_w) / capacity;
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
            self.change();
            self.close_leg();
            self.present.mode = mode;
            self.entry = self.cache.entry_of(self.network, &self.present);
            self.leg.stale = true;
        }
    }

    /// Sets what covers, fans and levels do to a node's losses from now on.
    pub fn set_losses(&mut self, losses: LossesId, setting: Setting) {
        if self.present.losses[losses.0] != setting {
            self.change();
            self.present.losses[losses.0] = setting;
            self.leg.stale = true;
        }
    }

    /// Sets a lump's heat capacity from now on, J/K: water came or went at the lump's own temperature. The heat it carries is booked.
    pub fn set_heat_capacity(&mut self, node: NodeId, heat_capacity_j_per_k: f64) {
        if let Some(old) = self.present.heat_capacity_j_per_k[node.0]
            && old != heat_capacity_j_per_k
        {
            self.change();
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
            self.change();
            self.present.topped_off = topped_off;
            self.leg.stale = true;
        }
    }

    /// Looks at the losses at least this often from now on, ms: something hot, or a room that answers, changes fast.
    pub fn set_refresh(&mut self, at_least_every_ms: Option<Millis>) {
        let setting_ms = self.settings.refresh_ms;
        let refresh_ms = at_least_every_ms.map_or(setting_ms, |every_ms| every_ms.clamp(1, setting_ms));
        if self.refresh_ms != refresh_ms {
            self.change();
            self.refresh_ms = refresh_ms;
            self.leg.stale = true;
        }
    }

    /// Something changes now: what lies ahead is other than it was. What passed must have been settled, or nobody would have observed it.
    fn change(&mut self) {
        debug_assert_eq!(self.now_ms, self.from_ms, "settle first");
        self.stride.is_known = false;
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
        self.change();
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

    /// Steps to `to_ms`, or to the first millisecond at which the observer says that something switches, and settles there; returns where it
    /// stopped.
    pub fn advance(
        &mut self,
        to_ms: Millis,
        air: &mut impl AirCourse,
        observer: &mut impl Observer,
    ) -> Millis {
        let at_ms = self.glide(to_ms, air, observer);
        self.settle(observer);
        at_ms
    }

    /// The same for a look at the state there: unless something switches the stride under way goes on, and is the same to the bit however often
    /// somebody looks. Whoever changes something settles first.
    pub fn glide(&mut self, to_ms: Millis, air: &mut impl AirCourse, observer: &mut impl Observer) -> Millis {
        self.switches = false;
        while self.now_ms < to_ms {
            let stride = self.stride(air, observer);
            let (end_ms, may_cross) = (stride.end_ms, stride.may_cross);
            let stop_ms = to_ms.min(end_ms);
            if may_cross && let Some(crossed_ms) = self.first_crossing(stop_ms, observer) {
                (self.state, self.part_k_s) = self.at(crossed_ms);
                self.now_ms = crossed_ms;
                self.switches = true;
                self.settle(observer);
                break;
            }
            self.now_ms = stop_ms;
            if stop_ms < end_ms {
                (self.state, self.part_k_s) = self.at(stop_ms);
            } else {
                (self.state, self.part_k_s) = (self.stride.to, self.stride.part_k_s);
                self.settle(observer);
            }
        }
        self.now_ms
    }

    /// The stride under way, to its end.
    pub fn look_ahead(&mut self, air: &mut impl AirCourse, observer: &impl Observer) -> Passage<'_> {
        self.stride(air, observer);
        self.passage(self.stride.end_ms, &self.stride.to, &self.stride.off_line_k)
    }

    /// Ends the stride under way here: what passed is observed and booked.
    pub fn settle(&mut self, observer: &mut impl Observer) {
        if self.now_ms == self.from_ms {
            return;
        }
        if self.now_ms == self.stride.end_ms {
            observer.observe(&self.passage(self.now_ms, &self.state, &self.stride.off_line_k));
        } else {
            let off_line_k = self.off_line_k(self.now_ms - self.from_ms);
            observer.observe(&self.passage(self.now_ms, &self.state, &off_line_k));
        }
        self.leave_behind();
    }

    fn passage<'a>(&'a self, to_ms: Millis, to: &'a Vector, off_line_k: &'a Vector) -> Passage<'a> {
        Passage {
            from_ms: self.from_ms,
            from: &self.from,
            to_ms,
            to,
            off_line_k,
            tick_ms: self.settings.tick_ms,
            chords: self.cache.chords(self.entry),
            rate: &self.stride.rate,
            slope: &self.stretch.sources.slope,
        }
    }

    /// The stride under way, begun if there is none.
    fn stride(&mut self, air: &mut impl AirCourse, observer: &impl Observer) -> &Stride {
        if !self.stride.is_known {
            if self.leg.stale || self.now_ms >= self.leg.end_ms {
                self.begin_leg(air);
            }
            if self.now_ms >= self.stretch.end_ms {
                self.begin_stretch(air);
            }
            self.begin_stride();
            self.stride.may_cross = observer.may_cross(&self.passage(
                self.stride.end_ms,
                &self.stride.to,
                &self.stride.off_line_k,
            ));
        }
        &self.stride
    }

    /// Strides end at whole minutes and at multiples of their greatest length; what begins off the grid of ticks first goes there.
    fn begin_stride(&mut self) {
        let (tick_ms, whole_ms) = (
            self.settings.tick_ms,
            STRIDE_TICKS as Millis * self.settings.tick_ms,
        );
        let over_ms = self.now_ms.rem_euclid(whole_ms);
        let to_grid_ms = match over_ms {
            0 => whole_ms,
            _ if over_ms % tick_ms == 0 => whole_ms - over_ms,
            _ => tick_ms - over_ms % tick_ms,
        };
        let minute_ms = (self.now_ms.div_euclid(MINUTE) + 1) * MINUTE;
        let end_ms = (self.now_ms + to_grid_ms).min(minute_ms).min(self.stretch.end_ms);
        self.stride.is_known = true;
        self.stride.end_ms = end_ms;
        let (a, sources) = (self.cache.matrix(self.entry), &self.stretch.sources);
        let length_ms = end_ms - self.now_ms;
        if length_ms == whole_ms {
            let chord = &self.cache.chords(self.entry)[STRIDE_TICKS - 1];
            let slope = self.stretch.slope_in_ticks[STRIDE_TICKS - 1]
                .get_or_init(|| chord.slope_effect(&sources.slope));
            self.stride.run_over(chord, a, &self.from, &sources.value, slope);
        } else {
            self.stride.rate = sources.value;
            a.multiply_add_all(&self.from, &mut self.stride.rate);
            (self.stride.to, self.stride.part_k_s) = self.at(end_ms);
            self.stride.off_line_k = self.off_line_k(length_ms);
        }
    }

    /// Begins anew from here, with what passed booked.
    fn leave_behind(&mut self) {
        let length_ms = self.now_ms - self.from_ms;
        if length_ms == 0 {
            return;
        }
        let (ticks, left_ms) = self.in_ticks(length_ms);
        let sources = &mut self.stretch.sources;
        if length_ms == STRIDE_TICKS as Millis * self.settings.tick_ms {
            self.whole_strides.add(
                self.network.parts.nodes.len(),
                &self.from,
                sources,
                seconds(length_ms),
            );
        } else {
            let integral = &mut self.leg.passed.node_k_s;
            if let Some(chord) = ticks.checked_sub(1).map(|at| &self.cache.chords(self.entry)[at]) {
                chord
                    .whole
                    .book(&self.from, &sources.value, &sources.slope, integral);
            }
            if left_ms > 0 {
                for (sum, part) in integral.iter_mut().zip(&self.part_k_s) {
                    *sum += part;
                }
            }
            sources.advance(seconds(length_ms));
        }
        self.from_ms = self.now_ms;
        self.from = self.state;
        self.stride.is_known = false;
    }

    fn settle_power(&mut self, source: usize) {
        let elapsed_s = seconds(self.now_ms - self.power_since_ms[source]);
        self.ledger.source_j[source] += self.power_w[source] * elapsed_s;
        self.power_since_ms[source] = self.now_ms;
    }

    /// Ends the stretch here.
    fn close_stretch(&mut self) {
        self.leave_behind();
        let elapsed_s = seconds(self.now_ms - self.stretch.start_ms);
        if elapsed_s > 0.0 {
            self.leg.pass(self.stretch.start_ms, elapsed_s, &self.stretch.air);
            self.stretch.start_ms = self.now_ms;
        }
        self.stretch.end_ms = self.now_ms;
        self.stride.is_known = false;
    }

    /// Books the leg so far.
    fn close_leg(&mut self) {
        self.close_stretch();
        if self.leg.passed.elapsed_s > 0.0 {
            let chord = &self.cache.chords(self.entry)[STRIDE_TICKS - 1];
            self.whole_strides
                .book(&chord.whole, &mut self.leg.passed.node_k_s);
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

    fn begin_stretch(&mut self, air: &mut impl AirCourse) {
        self.close_stretch();
        let end_ms = self.leg.end_ms.min(air.straight_to_ms(self.now_ms));
        let line = self.network.air_line(
            air.air_at(self.now_ms),
            air.air_at(end_ms),
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
        self.stretch = Stretch {
            start_ms: self.now_ms,
            end_ms,
            air: line,
            sources,
            slope_in_ticks: Default::default(),
        };
    }
}
