//! Building blocks of the checks that step a network: constant air, linear losses, a closure as observer; and of whole runs: an outage, water by the hour.

use tepid_sim::network::{AirCourse, Losses, Observer, Passage, Setting, Vector};
use tepid_sim::physics::moist_air::Air;
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, When};
use tepid_sim::time::{HOUR, Millis};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

/// Air as a function of time, asked for at whole minutes.
pub struct AirOf<F>(pub F);

impl<F: FnMut(Millis) -> f64> AirCourse for AirOf<F> {
    fn air(&mut self, minute_ms: Millis) -> Air {
        dry_air((self.0)(minute_ms))
    }
}

/// Air whose vapour does not matter.
pub fn dry_air(temp_c: f64) -> Air {
    Air {
        temp_c,
        vapour_pressure_pa: 1000.0,
        pressure_pa: 101_325.0,
    }
}

/// A loss proportional to the difference from the air, W/K.
#[derive(Debug)]
pub struct LinearLoss(pub f64);

impl Losses for LinearLoss {
    fn paths(&self) -> Vec<String> {
        vec!["loss".to_owned()]
    }

    fn evaluate(&self, node_c: f64, air: Air, _setting: Setting, heat_w: &mut [f64]) -> f64 {
        heat_w[0] = -self.0 * (node_c - air.temp_c);
        0.0
    }
}

/// Nothing switches, nobody looks.
pub struct Blind;

impl Observer for Blind {
    fn crossed(&self, _state: &Vector) -> bool {
        false
    }

    fn observe(&mut self, _passage: &Passage<'_>) {}
}

/// Follows the first tank's water, °C, by the hour from time zero on.
#[derive(Default)]
pub struct WaterByHour(pub Vec<f64>);

impl TraceSink for WaterByHour {
    fn row(&mut self, row: &TraceRow<'_>) {
        if row.at_ms >= 0 && row.at_ms % HOUR == 0 {
            self.0.push(row.water_c[0]);
        }
    }

    fn mark(&mut self, _mark: &Mark<'_>) {}
}

/// No electricity from time zero on.
pub fn lasting_outage() -> Happening {
    Happening {
        name: "outage".to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect: Effect::PowerOut,
        origin: Origin::Fault,
    }
}
