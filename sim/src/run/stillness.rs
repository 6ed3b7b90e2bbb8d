//! How long nothing turned each tank's water: no flow through it, no pump in it.

use super::loops::Loop;
use crate::ids::TankId;
use crate::time::Millis;

/// Since when, and for how long at most, each tank's water has stood still.
#[derive(Debug)]
pub(super) struct Stillness {
    since_ms: Vec<Option<Millis>>,
    longest_ms: Vec<Millis>,
}

impl Stillness {
    pub(super) fn new(tanks: usize) -> Self {
        Self {
            since_ms: vec![None; tanks],
            longest_ms: vec![0; tanks],
        }
    }

    /// A tank's water is turned from now on, or not; only the scored time counts.
    fn note(&mut self, tank: usize, now_ms: Millis, turned: bool) {
        if let Some(since_ms) = self.since_ms[tank] {
            let lasted_ms = now_ms.max(0) - since_ms.max(0);
            self.longest_ms[tank] = self.longest_ms[tank].max(lasted_ms);
        }
        self.since_ms[tank] = match (turned, self.since_ms[tank]) {
            (true, _) => None,
            (false, since_ms) => Some(since_ms.unwrap_or(now_ms)),
        };
    }

    /// The longest time of each tank up to the end, ms.
    pub(super) fn finish(mut self, end_ms: Millis) -> Vec<Millis> {
        for tank in 0..self.since_ms.len() {
            let turned = self.since_ms[tank].is_none();
            self.note(tank, end_ms, turned);
        }
        self.longest_ms
    }
}

impl Loop<'_, '_> {
    /// Takes note of which tanks' water is turned, with these pumps moving water.
    pub(super) fn note_stillness(&mut self, now_ms: Millis, pumps_moving: &[bool]) {
        let scenario = self.scenario;
        for tank in 0..scenario.tanks.len() {
            let id = TankId(tank);
            let flows = scenario
                .flows
                .iter()
                .filter(|flow| flow.from == id || flow.to == id);
            let flushed = flows
                .map(|flow| flow.pump)
                .any(|pump| pump.is_none_or(|pump| pumps_moving[pump.0]));
            let mut pumps = scenario.pumps.iter().zip(pumps_moving);
            let stirred = pumps.any(|(pump, moves)| *moves && pump.tank == id);
            self.stillness.note(tank, now_ms, flushed || stirred);
        }
    }
}
