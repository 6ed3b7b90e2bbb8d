//! What a run shows of its course, on request.

use crate::scores::Scores;
use crate::strategy::ContactState;
use crate::time::Millis;

/// Receives the course of a run; the run itself stores nothing of it.
pub trait TraceSink {
    /// One row per internal tick, and one at every switching instant; times rise strictly.
    fn row(&mut self, row: &TraceRow<'_>);

    /// A happening, an act or an alert begins or ends.
    fn mark(&mut self, mark: &Mark<'_>);

    /// How often it wants the scores so far, ms, whole minutes; `None`: never. Where several water systems run beside each other, or the strategy
    /// cannot be doubled, there are none so far.
    fn scores_every_ms(&self) -> Option<Millis> {
        None
    }

    /// The scores of the run up to an instant, as if it ended there.
    fn scores(&mut self, at_ms: Millis, scores: &Scores) {
        let _ = (at_ms, scores);
    }
}

/// The state at one instant: the truth beside the readings.
#[derive(Debug, Clone, Copy)]
pub struct TraceRow<'a> {
    /// ms; 0 = start of scoring.
    pub at_ms: Millis,
    /// Water temperature of each tank, °C.
    pub water_c: &'a [f64],
    /// Body temperature of each heater, °C.
    pub heater_c: &'a [f64],
    /// Room air, °C.
    pub room_c: f64,
    /// Relative humidity of the room, 0..=1.
    pub humidity_frac: f64,
    /// Last reading of each probe, °C; `None`: no reading.
    pub readings_c: &'a [Option<f64>],
    /// Power drawn by each heater from this instant on, W.
    pub heater_w: &'a [f64],
    /// Power drawn by each fan from this instant on, W.
    pub fan_w: &'a [f64],
    /// Power drawn by each pump from this instant on, W.
    pub pump_w: &'a [f64],
    /// Power drawn by each light from this instant on, W.
    pub light_w: &'a [f64],
    /// Power drawn by each chiller from this instant on, W.
    pub chiller_w: &'a [f64],
    /// Oxygen of each tank, mg/L; empty where no stock is stated.
    pub oxygen_mg_per_l: &'a [f64],
    /// Height of the water of each tank, m.
    pub level_m: &'a [f64],
    /// State of each contact from this instant on.
    pub contacts: &'a [ContactState],
}

/// A mark on the time axis.
#[derive(Debug, Clone, Copy)]
pub struct Mark<'a> {
    /// ms.
    pub at_ms: Millis,
    /// What it is.
    pub what: MarkKind,
    /// Name of the happening or text of the alert.
    pub name: &'a str,
}

/// Kinds of mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkKind {
    /// An event or fault begins.
    Begins,
    /// It ends.
    Ends,
    /// An alert got out.
    Alert,
    /// Somebody heard of it.
    Heard,
    /// Somebody acted.
    Act,
}
