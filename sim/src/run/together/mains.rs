//! The circuits and backups of a house that several water systems share.

use crate::run::loops::Loop;
use crate::run::supply::Supply;
use crate::run::timeline::Timeline;
use crate::scenario::{Happening, Load, Scenario, WaterSystem};
use crate::time::Millis;
use crate::trace::MarkKind;

/// The supply of all systems, which each of them follows.
pub(super) struct Mains<'a> {
    scenario: &'a Scenario,
    supply: Supply,
    timeline: Timeline,
    /// Per system: its loads as those of the whole.
    of_whole: Vec<Vec<Load>>,
    /// Per load of the whole: the first system that has it, and what it is there.
    drawn_by: Vec<(usize, Load)>,
    drawn_w: Vec<f64>,
}

impl<'a> Mains<'a> {
    pub(super) fn new(
        scenario: &'a Scenario,
        systems: &[WaterSystem],
        happenings: Vec<Happening>,
        start_ms: Millis,
    ) -> Self {
        let supply = Supply::new(scenario, start_ms);
        let of_whole = systems.iter().map(|system| {
            let loads = system.scenario.loads();
            loads.map(|load| system.members.load_of_whole(load)).collect()
        });
        let holder = |load: &Load| {
            let mut systems = systems.iter().enumerate();
            systems.find_map(|(at, system)| Some((at, system.members.load(*load)?)))
        };
        Self {
            scenario,
            of_whole: of_whole.collect(),
            drawn_by: supply.loads().iter().filter_map(holder).collect(),
            drawn_w: Vec::new(),
            supply,
            timeline: Timeline::new(happenings, start_ms),
        }
    }

    /// The next instant at which something of it changes.
    pub(super) fn next_ms(&self) -> Millis {
        self.supply.next_ms().min(self.timeline.next_ms())
    }

    /// Whether a happening of the whole is under way.
    pub(super) fn is_under_way(&self, index: usize) -> bool {
        self.timeline.is_active(index)
    }

    /// Somebody does now what the happening at this position is.
    pub(super) fn start(&mut self, index: usize, now_ms: Millis) {
        self.timeline.start_now(index, now_ms);
    }

    /// Lets what is due at an instant happen, and every system that it bears on follow.
    pub(super) fn turn(&mut self, now_ms: Millis, loops: &mut [Loop<'_, '_>]) {
        if now_ms < self.next_ms() {
            return;
        }
        if now_ms >= self.timeline.next_ms() {
            self.timeline.settle(now_ms);
            self.supply.apply(now_ms, self.timeline.active());
        }
        if now_ms >= self.supply.next_ms() {
            for notice in self.supply.advance(now_ms) {
                if let Some(first) = loops.first_mut() {
                    first.mark(now_ms, MarkKind::Begins, &notice.told(self.scenario));
                }
            }
        }
        for at in self.lead(loops) {
            loops[at].power_changed(now_ms);
        }
    }

    /// Lets every system follow, and tells for which that is a change.
    pub(super) fn lead(&self, loops: &mut [Loop<'_, '_>]) -> Vec<usize> {
        let systems = loops.iter_mut().zip(&self.of_whole).enumerate();
        systems
            .filter_map(|(at, (each, loads))| each.supply.follow(&self.supply, loads).then_some(at))
            .collect()
    }

    /// Sees what every system draws from an instant on.
    pub(super) fn draw(&mut self, now_ms: Millis, loops: &[Loop<'_, '_>]) {
        if !self.supply.meters_loads() {
            return;
        }
        self.drawn_w.clear();
        let drawn = self
            .drawn_by
            .iter()
            .map(|(at, load)| loops[*at].supply.drawn_w(*load));
        self.drawn_w.extend(drawn);
        self.supply.draw(now_ms, &self.drawn_w);
    }

    pub(super) fn supply(&self) -> &Supply {
        &self.supply
    }
}
