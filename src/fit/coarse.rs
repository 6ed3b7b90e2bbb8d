//! Whether a log is fine enough to tell the heaters' power from how quickly they warm the water.
//!
//! The power shows in how steeply the water rises, so the log must see when the heaters are switched, and the rise in several steps. Where it does
//! not, a switching seen too late or a rise hidden in one step makes the power, and the losses with it, come out too small or too large by more than
//! chance tells; what the heat of hours does to the water is seen all the same.

use tepid_output::wording::{Units, duration};
use tepid_scenarios::log_file::{HeaterLog, Log, LogRow};
use tepid_sim::time::{Millis, hours};

/// Looks in the usual time on, and off, at least. A choice, from logs made with known power: with 5 it came out an eighth too small in the mean, with
/// 25 right.
const LOOKS: f64 = 8.0;

/// Steps of the reading in the usual swing at least. A choice, from such logs: with 2 its interval held it in 15 of 25, with 4 as often as it says.
const STEPS: f64 = 3.5;

/// Why the power cannot be told, in words; `None` where it can.
pub(super) fn too_coarse(log: &Log) -> Option<String> {
    let spells: Vec<&[LogRow]> = log.stretches().flat_map(spells).collect();
    let lasts_ms = |on: bool| {
        let all = spells.iter().filter(|rows| is_on(&rows[0]) == Some(on));
        median(all.filter_map(|rows| Some((rows.last()?.at_ms - rows.first()?.at_ms) as f64)))
    };
    if log.heater != Some(HeaterLog::Share)
        && log.is_regular()
        && let (Some(on_ms), Some(off_ms)) = (lasts_ms(true), lasts_ms(false))
    {
        let shorter_ms = on_ms.min(off_ms) + log.interval_ms as f64;
        if shorter_ms < LOOKS * log.interval_ms as f64 {
            return Some(format!(
                "the heaters are {} for {} at a time and the log looks every {}: it does not see when they switch, and {LOOKS:.0} looks would",
                if on_ms < off_ms { "on" } else { "off" },
                duration(hours(shorter_ms as Millis)),
                duration(hours(log.interval_ms)),
            ));
        }
    }
    let swing_k = median(spells.iter().filter_map(|rows| {
        let water = || rows.iter().filter_map(|row| row.water_c);
        let range_k = water().fold(f64::NEG_INFINITY, f64::max) - water().fold(f64::INFINITY, f64::min);
        range_k.is_finite().then_some(range_k)
    }))?;
    (log.step_k > 0.0 && swing_k < (STEPS - 0.5) * log.step_k).then(|| {
        format!(
            "the water swings by {} and the log has steps of {}: the rise is hidden in them",
            Units::Metric.difference(swing_k),
            Units::Metric.difference(log.step_k)
        )
    })
}

/// Whether the heaters were on, where the log says it.
pub(super) fn is_on(row: &LogRow) -> Option<bool> {
    row.heater.map(|state| state > 0.0)
}

/// Times on and off that begin and end within a stretch.
fn spells(stretch: &[LogRow]) -> impl Iterator<Item = &[LogRow]> {
    let all: Vec<&[LogRow]> = stretch
        .chunk_by(|one, next| is_on(one) == is_on(next))
        .filter(|rows| is_on(&rows[0]).is_some())
        .collect();
    let whole = all.len().saturating_sub(1);
    all.into_iter().take(whole).skip(1)
}

fn median(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}
