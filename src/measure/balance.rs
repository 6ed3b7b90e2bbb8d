//! Cooling and heating: readings of the water over some hours, and the balance of heat between them.

use tepid_output::records::{HomeTest, MeasureChange, Measured, MeasuredKind, Measurement};
use tepid_output::wording::{Units, duration, power, share};

use super::{MeasureError, t_of, told};

/// Seconds in an hour, s/h. Exact.
pub(super) const SECONDS_PER_HOUR: f64 = 3600.0;

/// How far the water's volume may be off, as a share. A choice: rock, sand and the true height of the water are seldom known better.
const VOLUME_OFF_FRAC: f64 = 0.05;

/// An interval that reaches below this share of its figure tells no figure, only a bound. A choice.
const LEAST_TOLD_FRAC: f64 = 0.1;

/// Readings from which on more of them say little more. A choice: with fewer Student's t is far above that of many.
const ENOUGH_READINGS: usize = 8;

/// How far two thermometers may differ, K. Most plain ones agree within 1 K.
pub(super) const ROOM_OFF_K: f64 = 0.5;

/// How far the heat of pumps and lamps may be off, as a share. A choice: ratings say what is drawn, not what ends in the water.
pub(super) const RUNNING_OFF_FRAC: f64 = 0.3;

/// How far a heater's real power may be off its rating, as a share. A choice: mains voltage alone moves it by a tenth.
pub(super) const POWER_OFF_FRAC: f64 = 0.1;

/// A look at the thermometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Time since the test began, h.
    pub at_h: f64,
    /// The water, °C.
    pub water_c: f64,
}

/// What holds the heat.
#[derive(Debug, Clone, PartialEq)]
pub struct Capacity {
    /// Heat capacity, J/K.
    pub j_per_k: f64,
    /// What it was taken from, for people.
    pub from: String,
}

/// A test with the heaters off.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooling {
    /// Two readings or more, in order of time.
    pub readings: Vec<Reading>,
    /// The room, °C, as good as constant.
    pub room_c: f64,
    /// What cools.
    pub capacity: Capacity,
    /// Heat of what runs on, W: pumps, lamps.
    pub running_w: f64,
    /// Step of the thermometer's display, K.
    pub step_k: f64,
}

/// A test with the heaters on without a break.
#[derive(Debug, Clone, PartialEq)]
pub struct Heating {
    /// Two readings or more, in order of time.
    pub readings: Vec<Reading>,
    /// The room, °C.
    pub room_c: f64,
    /// Loss for each kelvin of lift, W/K, as the cooling test gives it.
    pub loss_w_per_k: f64,
    /// Heat of pumps and lamps, W.
    pub running_w: f64,
    /// Step of the thermometer's display, K.
    pub step_k: f64,
    /// What is asked for.
    pub wanted: HeatingFor,
}

/// Of a heater's power and the water's heat capacity one must be known.
#[derive(Debug, Clone, PartialEq)]
pub enum HeatingFor {
    /// The heaters' power, where this is the heat capacity.
    Power(Capacity),
    /// The heat capacity, where the heaters give this, W.
    Capacity(f64),
}

/// A straight line through points.
struct Line {
    slope: f64,
    /// Half of the slope's interval, from points that are off by `least` (one standard deviation) at least.
    half: f64,
    how_sure: String,
}

impl Line {
    /// The interval holds no figure that is next to nothing.
    fn is_told(&self) -> bool {
        self.interval()[0] > LEAST_TOLD_FRAC * self.slope
    }

    /// Where the slope lies.
    fn interval(&self) -> [f64; 2] {
        [self.slope - self.half, self.slope + self.half]
    }
}

/// Loss for each kelvin of lift, from water that cools.
///
/// # Errors
/// [`MeasureError`] for readings that do not make a test.
pub fn cooling(test: &Cooling) -> Result<Measurement, MeasureError> {
    let line = cooling_line(test)?;
    let loss = line.slope;
    if loss <= 0.0 {
        return Err(MeasureError::Contradiction(
            "the water did not cool, so no loss can be told: is a heater still plugged in?".to_owned(),
        ));
    }
    let (first, last) = ends(&test.readings);
    let fall_k = first.water_c - last.water_c;
    let constant_h = |loss_w_per_k: f64| test.capacity.j_per_k / loss_w_per_k / SECONDS_PER_HOUR;
    let [low, high] = line.interval();
    if !line.is_told() {
        return Err(MeasureError::Untold(format!(
            "these readings do not tell the loss: it may be anything from nothing to {}, the time constant {} or longer. The water fell by {} in all, on a display in steps of {}: test for longer, with a finer thermometer or more readings, and see that nothing heats and that the room is right",
            Units::Metric.conductance(high),
            duration(constant_h(high)),
            Units::Metric.difference(fall_k),
            Units::Metric.difference(test.step_k)
        )));
    }
    let other = |what: String, test: Cooling| {
        let value = cooling_line(&test).ok()?.slope;
        Some(MeasureChange { what, value })
    };
    let mut changes = vec![
        other(
            format!("the water holds {} more heat", share(VOLUME_OFF_FRAC)),
            Cooling {
                capacity: Capacity {
                    j_per_k: test.capacity.j_per_k * (1.0 + VOLUME_OFF_FRAC),
                    ..test.capacity.clone()
                },
                ..test.clone()
            },
        ),
        other(
            format!(
                "the room is {} colder than stated",
                Units::Metric.difference(ROOM_OFF_K)
            ),
            Cooling {
                room_c: test.room_c - ROOM_OFF_K,
                ..test.clone()
            },
        ),
    ];
    if test.running_w > 0.0 {
        changes.push(other(
            format!("what runs on gives {} more heat", share(RUNNING_OFF_FRAC)),
            Cooling {
                running_w: test.running_w * (1.0 + RUNNING_OFF_FRAC),
                ..test.clone()
            },
        ));
    }
    let found = vec![
        Measured {
            what: MeasuredKind::LossWPerK,
            value: loss,
            interval: Some([low, high]),
            how_sure: line.how_sure.clone(),
        },
        Measured {
            what: MeasuredKind::TimeConstantH,
            value: constant_h(loss),
            interval: Some([constant_h(high), constant_h(low)]),
            how_sure: "as the loss".to_owned(),
        },
    ];
    let mut advice = Vec::new();
    if fall_k < 10.0 * test.step_k {
        advice.push(format!(
            "The water fell by {fall_k:.1} K, less than ten steps of the thermometer: a longer test, or a finer thermometer, says more."
        ));
    }
    if test.readings.len() < ENOUGH_READINGS {
        advice.push(format!(
            "{} readings: a few more on the way narrow the interval most.",
            test.readings.len()
        ));
    }
    if last.water_c - test.room_c < 2.0 * ROOM_OFF_K {
        advice.push(format!(
            "The water ends only {} above the room as stated, and two thermometers may differ by {}: the figure hangs on the room's. Stop the test sooner, or hold both into the same water first.",
            Units::Metric.difference(last.water_c - test.room_c),
            Units::Metric.difference(ROOM_OFF_K)
        ));
    }
    // Where the test began is where the tank is held; where it ended nobody wants it.
    let heater_w = loss * (first.water_c - test.room_c) - test.running_w;
    advice.push(if heater_w > 0.0 {
        format!(
            "A heater must give {heater_w:.0} W in the mean to hold {:.1} °C, where the test began, in this room, beside what runs on; \
             each degree warmer, or each degree that the room is colder, takes {loss:.1} W more.",
            first.water_c
        )
    } else {
        format!(
            "What runs on holds {:.1} °C, where the test began, in this room without a heater.",
            first.water_c
        )
    });
    Ok(told(
        HomeTest::Cooling,
        "W/K = (heat capacity × fall + heat of what runs on × time) ÷ sum of (lift × time)",
        found,
        changes.into_iter().flatten().collect(),
        advice,
        assumptions(test.running_w, Some(&test.capacity)),
    ))
}

/// The heaters' power or the heat capacity, from water that warms.
///
/// # Errors
/// [`MeasureError`] for readings that do not make a test.
pub fn heating(test: &Heating) -> Result<Measurement, MeasureError> {
    let (line, value) = heating_line(test)?;
    if let HeatingFor::Capacity(power_w) = test.wanted {
        let lost_w = mean_loss_w(test)?;
        let (given_w, beside) = (power_w + test.running_w, running_words(test.running_w));
        if lost_w >= given_w {
            return Err(MeasureError::Contradiction(format!(
                "{} × lift = {} is lost, and the heaters{beside} give {}: with that the water would not have warmed. The loss is less than stated, or the power more",
                Units::Metric.conductance(test.loss_w_per_k),
                power(lost_w),
                power(given_w)
            )));
        }
    }
    if !(value.is_finite() && value > 0.0) {
        return Err(MeasureError::Contradiction(
            "these readings ask for a heater that cools: did the water warm all the time?".to_owned(),
        ));
    }
    let interval = match test.wanted {
        HeatingFor::Power(_) => line.interval(),
        // 1/slope, so the ends change places.
        HeatingFor::Capacity(_) => {
            let [low, high] = line.interval();
            [1.0 / high, 1.0 / low]
        }
    };
    if !line.is_told() {
        let (first, last) = ends(&test.readings);
        let told = match test.wanted {
            HeatingFor::Power(_) => format!(
                "the heaters' power: it may be anything from nothing to {}",
                power(interval[1])
            ),
            HeatingFor::Capacity(_) => {
                format!(
                    "the heat capacity: it may be {:.0} kJ/K or any more",
                    interval[0] / 1000.0
                )
            }
        };
        return Err(MeasureError::Untold(format!(
            "these readings do not tell {told}. The water rose by {} in all, on a display in steps of {}: test for longer, with a finer thermometer or more readings",
            Units::Metric.difference(last.water_c - first.water_c),
            Units::Metric.difference(test.step_k)
        )));
    }
    let other = |what: String, test: Heating| {
        let (_, value) = heating_line(&test).ok()?;
        (value.is_finite() && value > 0.0).then_some(MeasureChange { what, value })
    };
    let (kind, known) = match &test.wanted {
        HeatingFor::Power(capacity) => (
            MeasuredKind::HeaterW,
            other(
                format!("the water holds {} more heat", share(VOLUME_OFF_FRAC)),
                Heating {
                    wanted: HeatingFor::Power(Capacity {
                        j_per_k: capacity.j_per_k * (1.0 + VOLUME_OFF_FRAC),
                        ..capacity.clone()
                    }),
                    ..test.clone()
                },
            ),
        ),
        HeatingFor::Capacity(power_w) => (
            MeasuredKind::HeatCapacityJPerK,
            other(
                format!("the heaters give {} more", share(POWER_OFF_FRAC)),
                Heating {
                    wanted: HeatingFor::Capacity(power_w * (1.0 + POWER_OFF_FRAC)),
                    ..test.clone()
                },
            ),
        ),
    };
    let changes = [
        known,
        other(
            format!("the loss is {} more", share(POWER_OFF_FRAC)),
            Heating {
                loss_w_per_k: test.loss_w_per_k * (1.0 + POWER_OFF_FRAC),
                ..test.clone()
            },
        ),
        other(
            format!(
                "the room is {} colder than stated",
                Units::Metric.difference(ROOM_OFF_K)
            ),
            Heating {
                room_c: test.room_c - ROOM_OFF_K,
                ..test.clone()
            },
        ),
    ];
    let capacity = match &test.wanted {
        HeatingFor::Power(capacity) => Some(capacity),
        HeatingFor::Capacity(_) => None,
    };
    Ok(told(
        HomeTest::Heating,
        "heat capacity × rise = (heaters + what runs on) × time − W/K × sum of (lift × time)",
        vec![Measured {
            what: kind,
            value,
            interval: Some(interval),
            how_sure: line.how_sure.clone(),
        }],
        changes.into_iter().flatten().collect(),
        vec![
            "Leave out the first 20 minutes after the heater comes on: its body, and rock, lag behind the water."
                .to_owned(),
        ],
        assumptions(test.running_w, capacity),
    ))
}

/// What is lost in the mean of the test, W.
fn mean_loss_w(test: &Heating) -> Result<f64, MeasureError> {
    let lifts = lift_seconds(&test.readings, test.room_c)?;
    let (_, last) = ends(&test.readings);
    let lift = lifts.last().copied().unwrap_or_default();
    Ok(test.loss_w_per_k * lift / seconds_of(&last, &test.readings))
}

fn running_words(running_w: f64) -> &'static str {
    if running_w > 0.0 { " with what runs on" } else { "" }
}

fn assumptions(running_w: f64, capacity: Option<&Capacity>) -> Vec<String> {
    let mut assumptions = vec![
        "The room keeps its temperature during the test, and cover, level and fans stay as they are."
            .to_owned(),
        "The figure holds for this lift, cover and humidity: it contains what evaporates.".to_owned(),
    ];
    if running_w == 0.0 {
        assumptions.push("Nothing else heats: pumps and lamps were not stated (--running).".to_owned());
    }
    if let Some(capacity) = capacity {
        assumptions.push(format!(
            "What warms and cools holds {:.0} kJ/K: {}.",
            capacity.j_per_k / 1000.0,
            capacity.from
        ));
    }
    assumptions
}

/// Heat lost (J) over lift × time (K s): the slope is W/K.
fn cooling_line(test: &Cooling) -> Result<Line, MeasureError> {
    let lifts = lift_seconds(&test.readings, test.room_c)?;
    let first_c = test.readings[0].water_c;
    let lost = test.readings.iter().map(|reading| {
        test.capacity.j_per_k * (first_c - reading.water_c)
            + test.running_w * seconds_of(reading, &test.readings)
    });
    let points: Vec<(f64, f64)> = lifts.into_iter().zip(lost).collect();
    line(&points, test.capacity.j_per_k * test.step_k)
}

fn heating_line(test: &Heating) -> Result<(Line, f64), MeasureError> {
    let lifts = lift_seconds(&test.readings, test.room_c)?;
    let first_c = test.readings[0].water_c;
    let seconds = |reading: &Reading| seconds_of(reading, &test.readings);
    let each = test.readings.iter().zip(lifts);
    match &test.wanted {
        HeatingFor::Power(capacity) => {
            // Heat stored and lost over time: the slope is W.
            let points: Vec<(f64, f64)> = each
                .map(|(reading, lift)| {
                    let stored = capacity.j_per_k * (reading.water_c - first_c);
                    let given = stored + test.loss_w_per_k * lift - test.running_w * seconds(reading);
                    (seconds(reading), given)
                })
                .collect();
            let line = line(&points, capacity.j_per_k * test.step_k)?;
            let power_w = line.slope;
            Ok((line, power_w))
        }
        HeatingFor::Capacity(power_w) => {
            // Rise over heat that stayed: the slope is K/J.
            let points: Vec<(f64, f64)> = each
                .map(|(reading, lift)| {
                    let stayed = (power_w + test.running_w) * seconds(reading) - test.loss_w_per_k * lift;
                    (stayed, reading.water_c - first_c)
                })
                .collect();
            let line = line(&points, test.step_k)?;
            let j_per_k = 1.0 / line.slope;
            Ok((line, j_per_k))
        }
    }
}

fn ends(readings: &[Reading]) -> (Reading, Reading) {
    (readings[0], readings[readings.len() - 1])
}

fn seconds_of(reading: &Reading, readings: &[Reading]) -> f64 {
    (reading.at_h - readings[0].at_h) * SECONDS_PER_HOUR
}

/// Lift × time up to each reading, K s.
fn lift_seconds(readings: &[Reading], room_c: f64) -> Result<Vec<f64>, MeasureError> {
    if readings.len() < 2 {
        return Err(MeasureError::TooFew {
            readings: readings.len(),
        });
    }
    if let Some(cold) = readings.iter().find(|reading| reading.water_c <= room_c) {
        return Err(MeasureError::NoLift {
            at_h: cold.at_h,
            water_c: cold.water_c,
            room_c,
        });
    }
    let mut sum = 0.0;
    let mut sums = vec![0.0];
    for pair in readings.windows(2) {
        let seconds = (pair[1].at_h - pair[0].at_h) * SECONDS_PER_HOUR;
        if seconds <= 0.0 {
            return Err(MeasureError::NotInOrder { at_h: pair[1].at_h });
        }
        sum += seconds * logarithmic_mean(pair[0].water_c - room_c, pair[1].water_c - room_c);
        sums.push(sum);
    }
    Ok(sums)
}

/// Mean of what falls exponentially from one positive value to another.
fn logarithmic_mean(a: f64, b: f64) -> f64 {
    if (a - b).abs() < 1e-9 * a {
        0.5 * (a + b)
    } else {
        (a - b) / (a / b).ln()
    }
}

/// Least squares through points whose y is read in steps of `step`.
fn line(points: &[(f64, f64)], step: f64) -> Result<Line, MeasureError> {
    let count = points.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (mean_x, mean_y) = (mean(|point| point.0), mean(|point| point.1));
    let spread: f64 = points.iter().map(|(x, _)| (x - mean_x) * (x - mean_x)).sum();
    let slope = points
        .iter()
        .map(|(x, y)| (x - mean_x) * (y - mean_y))
        .sum::<f64>()
        / spread;
    if !slope.is_finite() {
        return Err(MeasureError::Contradiction(
            "nothing changed during the test, so no figure can be told".to_owned(),
        ));
    }
    let freedom = count - 2.0;
    let Some(t) = t_of(freedom) else {
        // Two readings, each off by half a step at most.
        return Ok(Line {
            slope,
            half: step / (points[1].0 - points[0].0).abs(),
            how_sure: "two readings, each off by half a step of the thermometer at most".to_owned(),
        });
    };
    let squares: f64 = points
        .iter()
        .map(|(x, y)| {
            let off = y - mean_y - slope * (x - mean_x);
            off * off
        })
        .sum();
    // Readings cannot be surer than their display: rounding alone is off by a twelfth of the step squared.
    let variance = (squares / freedom).max(step * step / 12.0);
    Ok(Line {
        slope,
        half: t * (variance / spread).sqrt(),
        how_sure: format!(
            "95 % by Student's t from {} readings around the line",
            points.len()
        ),
    })
}
