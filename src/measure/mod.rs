//! Home tests: what a thermometer and a clock say of a tank, by closed formulas.
//!
//! All are the same balance of heat over the time of the test:
//!
//! ```text
//! stored = given − lost,   C (T_end − T_start) = (P + Q) t − UA ∫ (T − T_room) dt
//! ```
//!
//! C heat capacity J/K, P heaters W, Q all else that heats (pumps, lamps) W, UA loss for each kelvin of lift W/K. The integral is made of the
//! logarithmic mean of the lift between two readings, which is exact for water that goes exponentially towards the room.
//!
//! UA is a secant: heat lost over lift, evaporation included, at this lift, cover and humidity. An open tank loses heat to a room as warm as itself, so its
//! figure at a smaller lift is larger.

mod balance;
mod duty;
mod guide;

pub use balance::{Capacity, Cooling, Heating, HeatingFor, Reading, cooling, heating};
pub use duty::{Duty, Known, Lift, Looked, duty, lift};
pub use guide::guide;

use statrs::distribution::{ContinuousCDF, StudentsT};
use tepid_output::cautions::{Caution, Cautioned, gathered};
use tepid_output::records::{FORMAT_VERSION, HomeTest, MeasureChange, Measured, Measurement, RecordKind};

/// Confidence of the intervals.
pub const CONFIDENCE: f64 = 0.95;

/// Why a test says nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MeasureError {
    /// A difference needs two readings.
    #[error("{readings} reading(s); expected two at least, such as \"0 h = 27.0 °C\" \"8 h = 24.9 °C\"")]
    TooFew {
        /// How many there are.
        readings: usize,
    },
    /// Times must rise.
    #[error("the reading at {at_h} h does not come after the one before; write them in order of time")]
    NotInOrder {
        /// When, h.
        at_h: f64,
    },
    /// Water as warm as the room loses nothing that could be measured.
    #[error(
        "the water is not warmer than the room at {at_h} h: {water_c} °C in {room_c} °C; the test needs a lift above zero all the time"
    )]
    NoLift {
        /// When, h.
        at_h: f64,
        /// °C.
        water_c: f64,
        /// °C.
        room_c: f64,
    },
    /// The balance gives no positive figure.
    #[error("{0}")]
    Contradiction(String),
    /// The interval reaches nothing: only a bound can be told.
    #[error("{0}")]
    Untold(String),
}

/// Quantile of Student's t for a two-sided interval of [`CONFIDENCE`]; `None` without degrees of freedom.
pub(crate) fn t_of(freedom: f64) -> Option<f64> {
    let student = StudentsT::new(0.0, 1.0, freedom).ok()?;
    Some(student.inverse_cdf(0.5 + 0.5 * CONFIDENCE))
}

/// The record of a test: changes in order of what they do to the main figure.
fn told(
    test: HomeTest,
    formula: &str,
    found: Vec<Measured>,
    mut changes: Vec<MeasureChange>,
    advice: Vec<String>,
    assumptions: Vec<String>,
) -> Measurement {
    if let Some(main) = found.first() {
        let moved = |change: &MeasureChange| (change.value - main.value).abs();
        changes.sort_by(|a, b| moved(b).total_cmp(&moved(a)));
    }
    Measurement {
        format: RecordKind::Measurement,
        version: FORMAT_VERSION,
        test,
        formula: formula.to_owned(),
        found,
        changes,
        advice,
        assumptions,
        cautions: cautions(test),
    }
}

/// What must be said to somebody who does a test.
#[must_use]
pub fn cautions(test: HomeTest) -> Vec<Cautioned> {
    let because = match test {
        HomeTest::Cooling => "heaters unplugged for a test",
        HomeTest::Heating => "a heater that is kept on for a test",
        HomeTest::Duty => "a heater that is watched",
        HomeTest::Lift => "heaters unplugged until the water settles",
    };
    let said: &[Caution] = match test {
        HomeTest::Cooling | HomeTest::Heating | HomeTest::Lift => &[
            Caution::TestOnLivestock,
            Caution::StoppedFlow,
            Caution::DryHands,
            Caution::MainsNearWater,
            Caution::NoCertificate,
        ],
        HomeTest::Duty => &[Caution::MainsNearWater, Caution::NoCertificate],
    };
    gathered(said.iter().map(|caution| caution.because(because)))
}
