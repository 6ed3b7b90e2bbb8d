//! The smallest tank: one mass that loses heat to a room, C dT/dt = P u − UA (T − T_room), in closed form.

use tepid_sim::strategy::ContactState;
use tepid_sim::time::{Millis, seconds};

use crate::support::bench::Bench;

/// A tank with one heater or fan per contact.
#[derive(Debug, Clone)]
pub struct FirstOrderTank {
    pub temp_c: f64,
    pub room_c: f64,
    pub capacity_j_per_k: f64,
    pub loss_w_per_k: f64,
    /// Heat into the water while each contact is closed, W; negative for a fan.
    pub heat_w: Vec<f64>,
}

impl FirstOrderTank {
    /// Some 340 L of water in an invented tank, at `temp_c`, in a room of 21 °C, with these heaters.
    pub fn at(temp_c: f64, heat_w: &[f64]) -> Self {
        Self {
            temp_c,
            room_c: 21.0,
            capacity_j_per_k: 1.41e6,
            loss_w_per_k: 44.0,
            heat_w: heat_w.to_vec(),
        }
    }

    /// The exact course over a stretch with constant contacts.
    pub fn pass(&mut self, length_ms: Millis, states: &[ContactState]) {
        let closed = self
            .heat_w
            .iter()
            .zip(states)
            .filter(|(_, state)| state.is_closed());
        let rest_c = self.room_c + closed.map(|(heat_w, _)| heat_w).sum::<f64>() / self.loss_w_per_k;
        let time_constant_s = self.capacity_j_per_k / self.loss_w_per_k;
        self.temp_c = rest_c + (self.temp_c - rest_c) * libm::exp(-seconds(length_ms) / time_constant_s);
    }

    /// Lets a strategy that reads the water exactly run it for `length_ms`; `see` is shown the temperature at
    /// each decision.
    pub fn run(&mut self, bench: &mut Bench, length_ms: Millis, mut see: impl FnMut(Millis, f64)) {
        let until_ms = bench.now_ms + length_ms;
        while bench.now_ms < until_ms {
            see(bench.now_ms, self.temp_c);
            bench.step(Some(self.temp_c), |stretch_ms, states| {
                self.pass(stretch_ms, states)
            });
        }
    }
}
