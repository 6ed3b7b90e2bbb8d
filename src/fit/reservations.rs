//! What speaks against using the figures of a fit at all.

use tepid_output::records::{FitParameter, FitParameterKind as Kind, FitResiduals};
use tepid_output::wording::{Units, duration};
use tepid_scenarios::log_file::{HeaterLog, Log, LogRow};
use tepid_sim::scenario::Scenario;
use tepid_sim::time::{HOUR, Millis, hours, seconds};

use super::coarse::is_on;
use super::identifiable::words;

/// Factors on the model further off than half to twice are another tank's, not this one's as its scenario states it. A choice: dimensions, ratings
/// and correlations of heat transfer together are seldom off by so much.
const LIKELY_FRAC: std::ops::RangeInclusive<f64> = 0.5..=2.0;

/// Air around a tank is seldom further than this from what a thermometer in the same room reads, K. A choice.
const LIKELY_OFFSET_K: f64 = 2.0;

/// Residuals from which on the model does not follow the log, K. A choice: most thermometers resolve less.
const FAR_K: f64 = 0.5;

/// A reading that stands while the heaters must have moved the water by so many of its steps, and by so much at least, K, is stuck. A choice: lag,
/// mixing and the heaters' bodies hide less.
const STUCK_STEPS: f64 = 3.0;
const STUCK_K: f64 = 0.3;

/// It stands for so long at least, ms. A choice.
const STUCK_MS: Millis = HOUR;

/// A reading that stands for so long, so many times as long as nine of ten others, over so many switchings, is stuck. Choices: a lucky stand is
/// shorter.
const STANDS_MS: Millis = 2 * HOUR;
const STANDS_TIMES: Millis = 5;
const STANDS_SWITCHINGS: usize = 4;

/// Changes from row to row that a mean is made of at least. A choice.
const FEWEST_RISES: usize = 10;

/// Standard deviations that two means are apart where nobody doubts it. A choice.
const SURELY: f64 = 4.0;

/// All of them, the gravest first.
pub(super) fn reservations(
    parameters: &[FitParameter],
    residuals: &FitResiduals,
    log: &Log,
    scenario: &Scenario,
    full_power_k_per_s: f64,
) -> Vec<String> {
    let unlogged = heater_not_logged(log, scenario);
    let mut all = Vec::new();
    all.extend(stuck(log, full_power_k_per_s));
    all.extend(the_wrong_way_round(log));
    all.extend(unlogged.map(str::to_owned));
    all.extend(unlikely(parameters, unlogged.is_some()));
    if residuals.largest_k > FAR_K {
        all.push(format!(
            "Do not use these figures yet: the model is {} off at {} (line {}). Was something done then that the log does not say (a water change, a lid, a fan, a heater by hand)? An `event` column can say it, or cut the log there.",
            Units::Metric.difference(residuals.largest_k),
            residuals.largest_in_log,
            residuals.largest_line
        ));
    }
    all
}

/// Why the log does not say what the heaters did.
pub(super) fn no_states(log: &Log) -> Option<&'static str> {
    if log.heater.is_none() {
        Some("the log has no column `heater`")
    } else if log.rows.iter().all(|row| row.heater.is_none()) {
        Some("the log's column `heater` is empty")
    } else {
        None
    }
}

fn heater_not_logged(log: &Log, scenario: &Scenario) -> Option<&'static str> {
    no_states(log).filter(|_| !scenario.heaters.is_empty()).map(|_| {
        "Log the heater first: the log does not say when it was on, and the fit took it for off all the time. Unless it was unplugged, these figures are wrong. A column `heater` with on/off, W or % says it."
    })
}

/// Values that no tank like this one has.
fn unlikely(parameters: &[FitParameter], unlogged: bool) -> Option<String> {
    let far = parameters.iter().filter(|parameter| {
        parameter.interval.is_some()
            && match parameter.what {
                Kind::LossesFrac | Kind::CapacityFrac | Kind::HeaterPowerFrac | Kind::PumpHeatFrac => {
                    !LIKELY_FRAC.contains(&parameter.value)
                }
                Kind::RoomOffsetK => parameter.value.abs() > LIKELY_OFFSET_K,
                Kind::ProbeLagS => false,
            }
    });
    let far: Vec<String> = far
        .map(|parameter| match parameter.what {
            Kind::RoomOffsetK => format!(
                "air around the tank {} {} than logged",
                Units::Metric.difference(parameter.value.abs()),
                if parameter.value > 0.0 { "warmer" } else { "colder" }
            ),
            Kind::LossesFrac | Kind::CapacityFrac => {
                format!(
                    "{} of {:.0} % of what is computed",
                    words(parameter.what),
                    100.0 * parameter.value
                )
            }
            _ => format!(
                "{} of {:.0} % of what is stated",
                words(parameter.what),
                100.0 * parameter.value
            ),
        })
        .collect();
    if far.is_empty() {
        return None;
    }
    let why = if unlogged {
        "With a heater that is not logged nothing else can come out."
    } else {
        "Probably the log is another tank's, or the scenario has a wrong volume, cover, heater or unit: put that right and fit again."
    };
    Some(format!(
        "Do not use these figures: {}. {why} (Taken as likely, an assumption: from half to twice what the scenario has, and up to {} off the room.)",
        far.join(", "),
        Units::Metric.difference(LIKELY_OFFSET_K)
    ))
}

/// A probe or logger that repeats itself.
fn stuck(log: &Log, full_power_k_per_s: f64) -> Option<String> {
    let water = || log.rows.iter().filter_map(|row| row.water_c);
    let (lowest_c, highest_c) = (
        water().fold(f64::INFINITY, f64::min),
        water().fold(f64::NEG_INFINITY, f64::max),
    );
    // Less than one and a half steps is one step.
    let never = (highest_c - lowest_c <= 1.5 * log.step_k).then(|| {
        if log.step_k > 0.0 {
            format!(
                "never moved by more than its step of {}",
                Units::Metric.difference(log.step_k)
            )
        } else {
            format!(
                "stands at {} from the first row to the last",
                Units::Metric.temperature(lowest_c)
            )
        }
    });
    let least_k = (STUCK_STEPS * log.step_k).max(STUCK_K);
    if let Some(never) = never {
        let moved_k = log
            .stretches()
            .filter_map(|rows| must_have_moved_k(rows, log, full_power_k_per_s))
            .fold(0.0, f64::max);
        let held = if moved_k > least_k {
            format!(
                ", while what the heaters gave must have moved the water by {}. A stuck probe, a logger that repeats itself, or heaters that were not on?",
                Units::Metric.difference(moved_k)
            )
        } else {
            ": nothing shows that the probe sees the water at all. If the water is really held so closely, log it in finer steps, or through a night with the heater off.".to_owned()
        };
        return Some(format!(
            "Do not use these figures: the reading of the water {never}{held}"
        ));
    }
    let longest = standing(log)
        .filter_map(|rows| Some((rows, must_have_moved_k(rows, log, full_power_k_per_s)?)))
        .filter(|(rows, moved_k)| lasts_ms(rows) >= STUCK_MS && *moved_k > least_k)
        .max_by_key(|(rows, _)| lasts_ms(rows));
    let Some((rows, moved_k)) = longest else {
        return stands_apart(log);
    };
    let first = rows.first()?;
    Some(format!(
        "Do not use these figures: the reading stands at {} for {} from {} on (line {}), while what the heaters gave must have moved the water by {}. A stuck probe, or heaters that were not on? Cut these rows out of the log.",
        Units::Metric.temperature(first.water_c?),
        duration(hours(lasts_ms(rows))),
        log.instant(first.at_ms),
        first.line,
        Units::Metric.difference(moved_k)
    ))
}

/// A reading that stands far longer than others do, while the heaters are switched as ever.
fn stands_apart(log: &Log) -> Option<String> {
    let mut runs: Vec<&[LogRow]> = standing(log).collect();
    runs.sort_by_key(|rows| lasts_ms(rows));
    let longest = runs.last()?;
    let usual_ms = lasts_ms(runs.get(runs.len() * 9 / 10).filter(|rows| *rows != longest)?);
    let switchings = longest
        .windows(2)
        .filter(|pair| is_on(&pair[0]) != is_on(&pair[1]))
        .count();
    let first = longest.first()?;
    (lasts_ms(longest) >= STANDS_MS.max(STANDS_TIMES * usual_ms) && switchings >= STANDS_SWITCHINGS)
        .then_some(())?;
    Some(format!(
        "Do not use these figures: the reading stands at {} for {} from {} on (line {}) while the heaters are switched {switchings} times; otherwise it seldom stands for more than {}. A stuck probe, or a logger that repeats itself? Cut these rows out of the log.",
        Units::Metric.temperature(first.water_c?),
        duration(hours(lasts_ms(longest))),
        log.instant(first.at_ms),
        first.line,
        duration(hours(usual_ms)),
    ))
}

/// Water that cools while the heaters are logged as on, and warms while they are off.
fn the_wrong_way_round(log: &Log) -> Option<String> {
    let rises = |on: bool| {
        let rises: Vec<f64> = log
            .stretches()
            .flat_map(|stretch| stretch.windows(2))
            .filter(|pair| pair.iter().all(|row| is_on(row) == Some(on)))
            .filter_map(|pair| {
                Some((pair[1].water_c? - pair[0].water_c?) / hours(pair[1].at_ms - pair[0].at_ms))
            })
            .collect();
        let count = rises.len() as f64;
        let mean = rises.iter().sum::<f64>() / count;
        let spread = rises.iter().map(|rise| (rise - mean).powi(2)).sum::<f64>() / (count - 1.0);
        (rises.len() >= FEWEST_RISES).then_some((mean, spread / count))
    };
    let ((on, on_variance), (off, off_variance)) = (rises(true)?, rises(false)?);
    (on < 0.0 && off > 0.0 && off - on > SURELY * (on_variance + off_variance).sqrt()).then(|| {
        format!(
            "Do not use these figures: the water cools by {} an hour while the heaters are logged as on, and warms by {} an hour while they are off. Are the states the wrong way round, or another heater's?",
            Units::Metric.difference(-on),
            Units::Metric.difference(off),
        )
    })
}

/// Rows over which the reading stands.
fn standing(log: &Log) -> impl Iterator<Item = &[LogRow]> {
    log.stretches().flat_map(|stretch| {
        stretch.chunk_by(|one, next| one.water_c == next.water_c || next.water_c.is_none())
    })
}

fn lasts_ms(rows: &[LogRow]) -> Millis {
    rows.first()
        .zip(rows.last())
        .map_or(0, |(first, last)| last.at_ms - first.at_ms)
}

/// How far heat that came and went moved water that ends as warm as it began, K: the range of what was given beyond its mean, and beyond what
/// followed the room, since a tank held closely gives as much heat as it loses.
fn must_have_moved_k(rows: &[LogRow], log: &Log, full_power_k_per_s: f64) -> Option<f64> {
    let full = match log.heater? {
        HeaterLog::States | HeaterLog::Share => 1.0,
        HeaterLog::Watts => log.rows.iter().filter_map(|row| row.heater).fold(0.0, f64::max),
    };
    let first = rows.first()?;
    let (mut share, mut room_c) = (first.heater? / full, first.room_c.unwrap_or_default());
    // How long, the share of full power, and the room.
    let mut intervals = Vec::new();
    for pair in rows.windows(2) {
        intervals.push((seconds(pair[1].at_ms - pair[0].at_ms), share, room_c));
        share = pair[1].heater.map_or(share, |logged| logged / full);
        room_c = pair[1].room_c.unwrap_or(room_c);
    }
    let whole_s: f64 = intervals.iter().map(|(lasts_s, ..)| lasts_s).sum();
    let mean = |of: &dyn Fn(f64, f64) -> f64| {
        let sum = intervals
            .iter()
            .map(|(lasts_s, share, room_c)| lasts_s * of(*share, *room_c))
            .sum::<f64>();
        sum / whole_s
    };
    let (share_mean, room_mean_c) = (mean(&|share, _| share), mean(&|_, room_c| room_c));
    let room_variance = mean(&|_, room_c| (room_c - room_mean_c).powi(2));
    let together = mean(&|share, room_c| (share - share_mean) * (room_c - room_mean_c));
    // A colder room takes more heat, never less.
    let per_k = if room_variance > 0.0 {
        (together / room_variance).min(0.0)
    } else {
        0.0
    };
    let (mut over_k, mut low_k, mut high_k) = (0.0, 0.0_f64, 0.0_f64);
    for (lasts_s, share, room_c) in intervals {
        let beyond = share - share_mean - per_k * (room_c - room_mean_c);
        over_k += beyond * full_power_k_per_s * lasts_s;
        low_k = low_k.min(over_k);
        high_k = high_k.max(over_k);
    }
    (high_k - low_k).is_finite().then_some(high_k - low_k)
}
