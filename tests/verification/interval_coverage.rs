//! `interval_coverage.csv`, `interval_coverage_stopped.csv`: how often intervals hold the true mean, beside a simulation with numpy.
//!
//! Tolerance: four standard errors of both counts, √(p (1 − p)/n), which right intervals keep in all but one of 16 000 seeds.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, Exp1, StandardNormal};

use tepid::statistics::{bootstrap_interval, looks, narrow_enough, t_interval};

use crate::table::{Row, Table, Worst};

const CONFIDENCE: f64 = 0.95;

/// Samples for t intervals.
const SAMPLES: u64 = 4000;

/// Figures resampled for bootstrap intervals: the samples are the fewer, the larger they are.
const RESAMPLED: u64 = 3200;

/// Studies that stop by themselves.
const STUDIES: u64 = 1000;

/// One sample of a distribution, to be had one figure after the other.
struct Sample {
    numbers: ChaCha8Rng,
    skewed: bool,
    figures: Vec<f64>,
}

impl Sample {
    fn new(row: Row, number: u64) -> Self {
        Self {
            numbers: ChaCha8Rng::seed_from_u64(number),
            skewed: match row.text("distribution") {
                "normal" => false,
                "exponential" => true,
                other => panic!("no distribution {other}"),
            },
            figures: Vec::new(),
        }
    }

    fn up_to(&mut self, count: u64) -> &[f64] {
        while (self.figures.len() as u64) < count {
            self.figures.push(if self.skewed {
                Exp1.sample(&mut self.numbers)
            } else {
                StandardNormal.sample(&mut self.numbers)
            });
        }
        &self.figures
    }

    fn is_held_by(&self, interval: Option<[f64; 2]>) -> bool {
        let truth = if self.skewed { 1.0 } else { 0.0 };
        let [low, high] = interval.expect("eight figures and more have an interval");
        low <= truth && truth <= high
    }
}

/// Of so many samples how many an interval held, in units of what chance allows.
fn beside(row: Row, share: &str, samples: &str, held: u64, of: u64) -> f64 {
    let theirs = row.number(share);
    let ours = held as f64 / of as f64;
    let allowed = 4.0 * (theirs * (1.0 - theirs) * (1.0 / of as f64 + 1.0 / row.number(samples))).sqrt();
    (ours - theirs) / allowed
}

pub fn t_intervals_hold_the_mean_as_often_as_in_a_simulation_elsewhere() {
    let mut worst = Worst::of("coverage of t intervals");
    for row in Table::read("interval_coverage.csv").rows() {
        let held = (0..SAMPLES).filter(|number| {
            let mut sample = Sample::new(row, *number);
            let interval = t_interval(sample.up_to(row.number("n") as u64), CONFIDENCE);
            sample.is_held_by(interval)
        });
        worst.fraction(row, beside(row, "t", "t_samples", held.count() as u64, SAMPLES));
    }
    worst.is_within(1.0);
}

pub fn bootstrap_intervals_hold_the_mean_as_often_as_in_a_simulation_elsewhere() {
    let mut worst = Worst::of("coverage of studentised bootstrap intervals");
    for row in Table::read("interval_coverage.csv").rows() {
        let runs = row.number("n") as u64;
        let samples = RESAMPLED / runs;
        let held = (0..samples).filter(|number| {
            let mut sample = Sample::new(row, *number);
            let interval = bootstrap_interval(sample.up_to(runs), CONFIDENCE, *number);
            sample.is_held_by(interval)
        });
        let held = held.count() as u64;
        worst.fraction(row, beside(row, "bootstrap", "bootstrap_samples", held, samples));
    }
    worst.is_within(1.0);
}

pub fn stopped_studies_hold_the_mean_as_often_as_in_a_simulation_elsewhere() {
    let mut worst = Worst::of("coverage of t intervals after looks");
    for row in Table::read("interval_coverage_stopped.csv").rows() {
        let half_width = row.number("half_width");
        let held = (0..STUDIES).filter(|number| {
            let mut sample = Sample::new(row, *number);
            let at = looks(512)
                .find(|look| narrow_enough(sample.up_to(*look), half_width, CONFIDENCE))
                .unwrap_or(512);
            let interval = t_interval(sample.up_to(at), CONFIDENCE);
            sample.is_held_by(interval)
        });
        worst.fraction(row, beside(row, "t", "samples", held.count() as u64, STUDIES));
    }
    worst.is_within(1.0);
}
