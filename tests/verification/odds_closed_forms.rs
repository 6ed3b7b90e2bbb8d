//! The sampler of failure histories beside closed forms: elementary reliability theory (any textbook; derived here by the comments).
//!
//! Tolerance: four standard errors of the count itself, √(p (1 − p)/n), which a right sampler keeps in all but one of 16 000 seeds.

use std::convert::Infallible;

use tepid::odds::history::{Follow, ModeId, Part, Seen, Way, history};
use tepid::odds::wilson::wilson;
use tepid_sim::scenario::Life;

use crate::ledger::compare;

/// A tank that is lost when all of these are broken, and shows nothing before.
struct LostWith(Vec<Vec<usize>>);

impl Follow for LostWith {
    type Error = Infallible;

    fn seasons(&self) -> u32 {
        4
    }

    fn follow(&self, broken: &[ModeId], fresh: Option<ModeId>, _: f64) -> Result<Seen, Infallible> {
        let is_broken = |mode: &usize| broken.contains(&ModeId(*mode)) || fresh == Some(ModeId(*mode));
        Ok(if self.0.iter().any(|set| set.iter().all(is_broken)) {
            Seen::Lost(Way::Warm)
        } else {
            Seen::Nothing
        })
    }
}

fn part(mode: usize, life: Life) -> Part {
    Part {
        name: format!("part {mode}"),
        life,
        age_years: 0.0,
        modes: (ModeId(mode), 1.0, ModeId(mode)),
        tested_every_years: None,
        test_finds_frac: 1.0,
        replaced_after_years: 0.0,
    }
}

/// Losses of one history.
fn losses(parts: &[Part], lost: &LostWith, seed: u64, number: u64, span_years: f64) -> usize {
    let Ok(lived) = history(parts, seed, number, span_years, lost);
    lived.losses.len()
}

/// Share of histories with a loss.
fn share_lost(parts: &[Part], lost: &LostWith, span_years: f64) -> f64 {
    let count = (0..HISTORIES)
        .filter(|number| losses(parts, lost, 7, *number, span_years) > 0)
        .count();
    count as f64 / HISTORIES as f64
}

const HISTORIES: u64 = 200_000;

/// Compares a share of so many trials with its closed form.
#[track_caller]
fn is_within_four_errors(quantity: &str, range: &str, (share, expected): (f64, f64), trials: f64) {
    let error = (expected * (1.0 - expected) / trials).sqrt();
    compare(quantity, "closed form", range, (share, expected), 4.0 * error);
}

pub fn one_exponential_life_ends_within_a_year_as_often_as_it_should() {
    let rate: f64 = 0.05;
    let share = share_lost(&[part(0, Life::exponential(rate))], &LostWith(vec![vec![0]]), 1.0);
    let expected = 1.0 - (-rate).exp();
    is_within_four_errors(
        "odds: one life",
        "0.05 a year",
        (share, expected),
        HISTORIES as f64,
    );
}

pub fn of_two_parts_in_series_either_is_enough() {
    let parts = [part(0, Life::exponential(0.05)), part(1, Life::exponential(0.02))];
    let share = share_lost(&parts, &LostWith(vec![vec![0], vec![1]]), 1.0);
    let expected = 1.0 - (-0.07_f64).exp();
    let range = "0.05 and 0.02 a year";
    is_within_four_errors("odds: two in series", range, (share, expected), HISTORIES as f64);
}

pub fn of_two_parts_in_parallel_both_must_fail() {
    let parts = [part(0, Life::exponential(0.3)), part(1, Life::exponential(0.2))];
    let share = share_lost(&parts, &LostWith(vec![vec![0, 1]]), 1.0);
    let expected = (1.0 - (-0.3_f64).exp()) * (1.0 - (-0.2_f64).exp());
    let range = "0.3 and 0.2 a year";
    is_within_four_errors(
        "odds: two in parallel",
        range,
        (share, expected),
        HISTORIES as f64,
    );
}

pub fn wear_out_comes_late_as_the_weibull_says() {
    let worn = part(
        0,
        Life {
            characteristic: 20.0,
            shape: 2.0,
        },
    );
    for (span_years, aged_years) in [(5.0, 0.0), (10.0, 0.0), (5.0, 10.0)] {
        let aged = Part {
            age_years: aged_years,
            // Once is enough: a second one would not be counted anyway.
            ..worn.clone()
        };
        let share = share_lost(&[aged], &LostWith(vec![vec![0]]), span_years);
        let reached = |years: f64| (years / 20.0_f64).powi(2);
        let expected = 1.0 - (reached(aged_years) - reached(aged_years + span_years)).exp();
        let range = format!("within {span_years} years from age {aged_years}");
        is_within_four_errors("odds: wear-out", &range, (share, expected), HISTORIES as f64);
    }
}

/// A protection (mode 0) that nobody misses until it is needed (mode 1, which shows at once).
struct Guarded;

impl Follow for Guarded {
    type Error = Infallible;

    fn seasons(&self) -> u32 {
        4
    }

    fn follow(&self, broken: &[ModeId], fresh: Option<ModeId>, _: f64) -> Result<Seen, Infallible> {
        Ok(match fresh {
            Some(ModeId(1)) if broken.contains(&ModeId(0)) => Seen::Lost(Way::Warm),
            Some(ModeId(1)) => Seen::Shows,
            _ => Seen::Nothing,
        })
    }
}

/// Mean share of the time that a protection of rate λ is dead when tested every T: (1/T) ∫ (1 − e^(−λt)) dt = 1 − (1 − e^(−λT))/(λT).
pub fn a_protection_is_dead_for_the_share_of_its_test_interval_that_theory_says() {
    const SPAN_YEARS: f64 = 20.0;
    const NEEDED_PER_YEAR: f64 = 0.01;
    let rate = 0.3_f64;
    for (every_years, words) in [(1.0 / 12.0, "a month"), (1.0, "a year"), (SPAN_YEARS, "never")] {
        let tested = Part {
            tested_every_years: Some(every_years),
            ..part(0, Life::exponential(rate))
        };
        let parts = [tested, part(1, Life::exponential(NEEDED_PER_YEAR))];
        let lost: usize = (0..HISTORIES)
            .map(|number| {
                let Ok(lived) = history(&parts, 7, number, SPAN_YEARS, &Guarded);
                lived.losses.len()
            })
            .sum();
        let years = HISTORIES as f64 * SPAN_YEARS;
        let dead = 1.0 - (1.0 - (-rate * every_years).exp()) / (rate * every_years);
        // After a loss the protection is replaced before its test. Needed once in a hundred years, that takes off less than half of NEEDED_PER_YEAR
        // times the interval in which it stays dead, stated here as part of the tolerance.
        let expected = NEEDED_PER_YEAR * dead;
        let replaced_early = expected * 0.5 * NEEDED_PER_YEAR * every_years;
        let error = (expected / years).sqrt();
        compare(
            "odds: a dead protection needed, a year",
            "closed form",
            &format!("tested {words}"),
            (lost as f64 / years, expected),
            4.0 * error + replaced_early,
        );
    }
}

/// How often an interval of so many years holds the true chance, beside the exact sum over the binomial distribution.
pub fn intervals_hold_the_truth_as_often_as_the_binomial_says() {
    const REPEATS: u64 = 1500;
    const YEARS: u64 = 400;
    let parts = [part(0, Life::exponential(0.02))];
    let truth = 1.0 - (-0.02_f64).exp();
    let lost_with = LostWith(vec![vec![0]]);
    let holds = |lost: u64| {
        let chance = wilson(lost, YEARS, 0.95);
        chance.low_frac <= truth && truth <= chance.high_frac
    };
    let held = (0..REPEATS)
        .filter(|repeat| {
            let years = repeat * YEARS..(repeat + 1) * YEARS;
            let lost = years
                .filter(|number| losses(&parts, &lost_with, 11, *number, 1.0) > 0)
                .count();
            holds(lost as u64)
        })
        .count();
    let mut exact = 0.0;
    let mut probability = (1.0 - truth).powi(YEARS as i32);
    for lost in 0..=YEARS {
        if holds(lost) {
            exact += probability;
        }
        probability *= (YEARS - lost) as f64 / (lost + 1) as f64 * truth / (1.0 - truth);
    }
    assert!((0.93..0.98).contains(&exact), "{exact}");
    let range = "95 %, 400 years at 2 %";
    let share = held as f64 / REPEATS as f64;
    is_within_four_errors(
        "odds: coverage of intervals",
        range,
        (share, exact),
        REPEATS as f64,
    );
}
