//! What is searched: some parameters of a strategy, each from a smallest to a largest value in the steps in which hardware can be set.

use tepid_sim::noise::Stream;
use tepid_sim::quantity::{Kind, parse, parse_millis};
use tepid_sim::time::MINUTE;
use tepid_strategies::Entry;
use tepid_strategies::parameter::{Param, ParamDefault, ParamKind};
use tepid_strategies::values::{Value, Values};

use super::TuneError;

/// Never searched unless named: what a keeper wants of the water, and what belongs to the device.
const LEFT_ALONE: [&str; 3] = ["setpoint", "interval", "shortest_pulse"];

/// How many times smaller and larger than its default a parameter is searched. A choice: within that every default of the registry has its sensible range.
const REACH: f64 = 8.0;

/// How far a time is searched whose default is none at all, ms. A choice: a minimum time of half an hour is long on any tank.
const REACH_FROM_NOTHING_MS: f64 = 30.0 * MINUTE as f64;

/// A range that spans more than this factor is searched by its logarithm. A choice.
const BY_LOGARITHM_FROM: f64 = 4.0;

/// Primes for a Halton sequence, one for each parameter.
const PRIMES: [u32; 6] = [2, 3, 5, 7, 11, 13];

/// Most parameters that are searched together: the sequence has gaps beyond.
pub const MOST_VARIED: usize = PRIMES.len();

/// A parameter to search, and between which values, in the unit its kind has inside (ms for times).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Varied {
    /// The parameter.
    pub param: &'static Param,
    /// Smallest value.
    pub from: f64,
    /// Largest value.
    pub to: f64,
}

impl Varied {
    /// A parameter as far as it is searched by itself; `None`: it has no range of figures to search.
    fn usual(param: &'static Param) -> Option<Self> {
        let ParamKind::Quantity(_) = param.kind else {
            return None;
        };
        let range = param.range?;
        let default = default_of(param)?;
        let (from, to) = if default > 0.0 {
            (default / REACH, default * REACH)
        } else {
            (0.0, REACH_FROM_NOTHING_MS)
        };
        Some(Self {
            param,
            from: from.max(range.from),
            to: to.min(range.to),
        })
    }

    /// What is searched of a strategy where nothing is named: every parameter with a range and a figure as default, but for the setpoint, the interval
    /// of decisions and the shortest pulse.
    #[must_use]
    pub fn usual_of(entry: &Entry) -> Vec<Self> {
        let open = entry
            .params
            .iter()
            .filter(|param| !LEFT_ALONE.contains(&param.name));
        open.filter_map(Self::usual).take(MOST_VARIED).collect()
    }

    /// From `deadband` or `deadband=0.1 K..1 K`.
    ///
    /// # Errors
    /// [`TuneError`] if the strategy has no such parameter, it has no figures to search, or the range is none of it.
    pub fn named(entry: &Entry, text: &str) -> Result<Self, TuneError> {
        let (name, range) = match text.split_once('=') {
            Some((name, range)) => (name.trim(), Some(range)),
            None => (text.trim(), None),
        };
        let Some(param) = entry.param(name) else {
            let known: Vec<&str> = entry
                .params
                .iter()
                .filter_map(Self::usual)
                .map(|varied| varied.param.name)
                .collect();
            let nearest = tepid_scenarios::nearest(name, known.iter().copied());
            return Err(TuneError::NoSuchParameter {
                param: name.to_owned(),
                strategy: entry.name,
                nearest: nearest.map_or_else(String::new, |nearest| format!("did you mean `{nearest}`? ")),
                known: known.join(", "),
            });
        };
        let usual = Self::usual(param).ok_or_else(|| TuneError::NoFigures {
            param: param.name,
            takes: param.kind.to_string(),
        })?;
        let Some(range) = range else {
            return Ok(usual);
        };
        let wrong = |why: String| TuneError::Range {
            text: text.to_owned(),
            why,
        };
        let (from, to) = range.split_once("..").ok_or_else(|| {
            wrong(format!(
                "expected FROM..TO, such as {name}={}",
                range_text(&usual)
            ))
        })?;
        let value = |text: &str| value_of(param, text.trim()).map_err(&wrong);
        let (from, to) = (value(from)?, value(to)?);
        if from >= to {
            return Err(wrong("the first value is not below the second".to_owned()));
        }
        Ok(Self { param, from, to })
    }
}

fn range_text(varied: &Varied) -> String {
    let text = |value| text_of(varied.param, value);
    format!("\"{}..{}\"", text(varied.from), text(varied.to))
}

/// A value with its unit, as it stands in a file.
fn value_of(param: &'static Param, text: &str) -> Result<f64, String> {
    let ParamKind::Quantity(kind) = param.kind else {
        return Err(format!("`{}` takes {}", param.name, param.kind));
    };
    let value = if kind == Kind::Time {
        parse_millis(text).map(|length_ms| length_ms as f64)
    } else {
        parse(kind, text)
    };
    let value = value.map_err(|error| error.to_string())?;
    param
        .check(&as_value(param, value))
        .map_err(|error| error.to_string())?;
    Ok(value)
}

fn as_value(param: &Param, value: f64) -> Value {
    if param.kind == ParamKind::Quantity(Kind::Time) {
        Value::Time(value.round() as i64)
    } else {
        Value::Number(value)
    }
}

fn default_of(param: &Param) -> Option<f64> {
    match param.default {
        ParamDefault::Number(number) => Some(number),
        ParamDefault::Time(length_ms) => Some(length_ms as f64),
        ParamDefault::Word(_) | ParamDefault::OfScenario(_) => None,
    }
}

/// A value of a parameter for people.
fn text_of(param: &'static Param, value: f64) -> String {
    let mut values = Values::new(std::slice::from_ref(param));
    match values.set(param.name, as_value(param, value)) {
        Ok(()) => values.text(param.name).unwrap_or_default(),
        Err(_) => value.to_string(),
    }
}

/// The step in which hardware can be set, as a fraction of whole numbers, in the unit inside. Common practice, no source: a tenth of a kelvin, a minute (a
/// second where the default is shorter than two, five where it is half an hour or more), a twentieth of the whole.
fn step_of(param: &Param, from: f64, to: f64) -> (f64, f64) {
    match param.kind {
        ParamKind::Quantity(Kind::TemperatureDifference) => (1.0, 10.0),
        ParamKind::Quantity(Kind::Time) => {
            let default_ms = default_of(param).unwrap_or(0.0);
            if default_ms > 0.0 && default_ms < 2.0 * MINUTE as f64 {
                (1000.0, 1.0)
            } else if default_ms >= 30.0 * MINUTE as f64 {
                (5.0 * MINUTE as f64, 1.0)
            } else {
                (MINUTE as f64, 1.0)
            }
        }
        ParamKind::Quantity(Kind::Share) => (1.0, 20.0),
        _ => (to - from, 40.0),
    }
}

/// One parameter in whole steps.
#[derive(Debug, Clone)]
pub(super) struct Axis {
    pub(super) param: &'static Param,
    step: (f64, f64),
    first: i64,
    last: i64,
    by_logarithm: bool,
}

/// A setting in whole steps along each axis.
pub(super) type Point = Vec<i64>;

impl Axis {
    pub(super) fn new(varied: &Varied) -> Self {
        let Varied { param, from, to } = *varied;
        let step = step_of(param, from, to);
        let steps = |value: f64| value * step.1 / step.0;
        let smallest = param.range.map_or(from, |range| range.from);
        // A step of nothing is no setting where nothing is out of range.
        let first = (steps(from).round() as i64).max((steps(smallest) - 1e-9).ceil() as i64);
        let last = (steps(to).round() as i64).max(first);
        Self {
            param,
            step,
            first,
            last,
            by_logarithm: first > 0 && last as f64 > BY_LOGARITHM_FROM * first as f64,
        }
    }

    pub(super) fn value(&self, step: i64) -> f64 {
        step as f64 * self.step.0 / self.step.1
    }

    pub(super) fn text(&self, step: i64) -> String {
        text_of(self.param, self.value(step))
    }

    pub(super) fn ends(&self) -> [String; 2] {
        [self.text(self.first), self.text(self.last)]
    }

    /// "smallest" or "largest" where a step is at an end of what is searched, and the parameter itself goes farther.
    pub(super) fn open_end(&self, step: i64) -> Option<&'static str> {
        let goes_on = |there: i64| {
            self.param
                .range
                .is_none_or(|range| (range.from..=range.to).contains(&self.value(there)))
        };
        if step == self.first && goes_on(step - 1) {
            Some("smallest")
        } else if step == self.last && goes_on(step + 1) {
            Some("largest")
        } else {
            None
        }
    }

    pub(super) fn step_text(&self) -> String {
        self.text(1)
    }

    /// The step nearest to a value, within the axis.
    pub(super) fn nearest(&self, value: f64) -> i64 {
        ((value * self.step.1 / self.step.0).round() as i64).clamp(self.first, self.last)
    }

    /// The step nearest to the default, within the axis.
    fn default_step(&self) -> i64 {
        self.nearest(default_of(self.param).unwrap_or(0.0))
    }

    /// A share of the way from the first step to the last, 0..=1.
    fn at(&self, share: f64) -> i64 {
        let (first, last) = (self.first as f64, self.last as f64);
        let step = if self.by_logarithm {
            (first.ln() + share * (last / first).ln()).exp()
        } else {
            first + share * (last - first)
        };
        (step.round() as i64).clamp(self.first, self.last)
    }

    fn share(&self, step: i64) -> f64 {
        let (first, last, step) = (self.first as f64, self.last as f64, step as f64);
        if self.first == self.last {
            0.0
        } else if self.by_logarithm {
            (step / first).ln() / (last / first).ln()
        } else {
            (step - first) / (last - first)
        }
    }

    /// The step a share of the axis away, at least one step, within the axis; `None`: there is none.
    pub(super) fn moved(&self, step: i64, by_share: f64) -> Option<i64> {
        let there = self.at((self.share(step) + by_share).clamp(0.0, 1.0));
        let there = if there == step {
            step + by_share.signum() as i64
        } else {
            there
        };
        (self.first..=self.last).contains(&there).then_some(there)
    }

    /// The step next to another.
    pub(super) fn next(&self, step: i64, by: i64) -> Option<i64> {
        let there = step + by;
        (self.first..=self.last).contains(&there).then_some(there)
    }
}

/// The defaults, or the settings nearest to them.
pub(super) fn default_point(axes: &[Axis]) -> Point {
    axes.iter().map(Axis::default_step).collect()
}

/// Values of a strategy at a point; what is not searched keeps its default.
pub(super) fn values_at(entry: &Entry, axes: &[Axis], point: &Point) -> Result<Values, TuneError> {
    let mut values = entry.defaults();
    for (axis, step) in axes.iter().zip(point) {
        values.set(axis.param.name, as_value(axis.param, axis.value(*step)))?;
    }
    Ok(values)
}

/// The n-th point of a Halton sequence, shifted by the seed: fills the space evenly however many points are taken. Halton 1960, Numer. Math. 2, 84–90;
/// the shift modulo one is Cranley and Patterson's of 1976, SIAM J. Numer. Anal. 13, 904–914 (both from memory).
pub(super) fn sampled(axes: &[Axis], seed: u64, number: u64) -> Point {
    axes.iter()
        .zip(PRIMES)
        .enumerate()
        .map(|(index, (axis, prime))| {
            let shift = Stream::new(seed, 0, axis.param.name, "shift of a sample").uniform(index as i64);
            axis.at((radical_inverse(number + 1, u64::from(prime)) + shift).fract())
        })
        .collect()
}

/// The digits of a number in a base, mirrored at the point.
fn radical_inverse(mut number: u64, base: u64) -> f64 {
    let (mut inverse, mut digit) = (0.0, 1.0);
    while number > 0 {
        digit /= base as f64;
        inverse += digit * (number % base) as f64;
        number /= base;
    }
    inverse
}

#[cfg(test)]
mod tests {
    use super::*;
    use tepid_strategies::{on_off, pi};

    #[test]
    fn every_sampled_setting_can_be_set_and_lies_in_its_range() {
        for entry in tepid_strategies::registry() {
            let axes: Vec<Axis> = Varied::usual_of(entry).iter().map(Axis::new).collect();
            for number in 0..50 {
                let point = sampled(&axes, 7, number);
                assert!(
                    values_at(entry, &axes, &point).is_ok(),
                    "{} {point:?}",
                    entry.name
                );
            }
        }
    }

    #[test]
    fn a_sample_fills_every_eighth_of_each_axis() {
        let axes: Vec<Axis> = Varied::usual_of(&pi::ENTRY).iter().map(Axis::new).collect();
        for (index, axis) in axes.iter().enumerate().take(2) {
            let mut eighths = [0; 8];
            for number in 0..64 {
                let share = axis.share(sampled(&axes, 7, number)[index]);
                eighths[((share * 8.0) as usize).min(7)] += 1;
            }
            assert!(
                eighths.iter().all(|count| *count > 2),
                "{} {eighths:?}",
                axis.param.name
            );
        }
    }

    #[test]
    fn steps_are_those_of_hardware() {
        let axis = Axis::new(&Varied::named(&on_off::ENTRY, "deadband=0.1 K..1 K").expect("a range"));
        assert_eq!(axis.ends(), ["0.1 K".to_owned(), "1 K".to_owned()]);
        assert_eq!(axis.next(1, -1), None);
        assert_eq!(axis.open_end(5), None);
        assert_eq!(axis.open_end(10), Some("largest"));
        // Nothing lies below a minimum time of none at all.
        let times = Axis::new(&Varied::named(&on_off::ENTRY, "minimum_on=0 s..10 min").expect("a range"));
        assert_eq!(times.open_end(0), None);
        assert_eq!(times.open_end(10), Some("largest"));
        assert_eq!(axis.text(3), "0.3 K");
        let mirrored: Vec<f64> = (1..5).map(|number| radical_inverse(number, 2)).collect();
        assert_eq!(mirrored, [0.5, 0.25, 0.75, 0.125]);
    }

    #[test]
    fn what_cannot_be_searched_is_refused_with_what_can() {
        let wrong = |text: &str| {
            Varied::named(&on_off::ENTRY, text)
                .expect_err("refused")
                .to_string()
        };
        assert!(wrong("deadbnd").contains("did you mean `deadband`"));
        assert!(wrong("position").contains("one of centred, below"));
        assert!(wrong("deadband=0.1 K").contains("FROM..TO"));
        assert!(wrong("deadband=1 K..0.1 K").contains("not below"));
        assert!(wrong("deadband=0.1..1 K").contains("unit"));
    }
}
