//! What strategies give up for what: two figures of each, of both of which less is better.

use crate::records::{ExposureHow, FaultMatrix, StrategyRow};
use crate::wording::Units;

/// A strategy as a point.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Point {
    /// Its name.
    pub(crate) name: String,
    /// To the right.
    pub(crate) x: f64,
    /// Upwards.
    pub(crate) y: f64,
}

/// One plot.
pub(crate) struct Trade {
    /// What is weighed.
    pub(crate) title: &'static str,
    /// The lower axis, with its unit.
    pub(crate) x_name: &'static str,
    /// The upright axis, with its unit.
    pub(crate) y_name: &'static str,
    /// Its points.
    pub(crate) points: Vec<Point>,
}

/// Closings against time outside the band.
pub(crate) fn closings<'a>(rows: impl Iterator<Item = &'a StrategyRow>) -> Trade {
    let points = rows.filter_map(|row| {
        let healthy = row.healthy.as_ref()?;
        Some(Point {
            name: row.strategy.clone(),
            x: healthy.outside_band_h()?,
            y: healthy
                .most_worn_contact()
                .map_or(0.0, |contact| contact.closings_per_day.worst),
        })
    });
    Trade {
        title: "Wear against steadiness",
        x_name: "outside the band, h",
        y_name: "closings a day",
        points: points.collect(),
    }
}

/// How hot it gets with a heater stuck on against how far the water falls with nothing broken.
pub(crate) fn stuck<'a>(
    rows: impl Iterator<Item = &'a StrategyRow>,
    matrix: &FaultMatrix,
    units: Units,
) -> Trade {
    let points = rows.filter_map(|row| {
        let healthy = row.healthy.as_ref()?;
        let faults = matrix
            .strategies
            .iter()
            .find(|one| one.strategy == row.strategy)?;
        let stuck = faults.exposure.iter().filter(|one| one.how == ExposureHow::Stuck);
        Some(Point {
            name: row.strategy.clone(),
            x: units.step(healthy.undershoot_k?.worst),
            y: units.degrees(stuck.filter_map(|one| one.row.outcome.peak_c).reduce(f64::max)?),
        })
    });
    Trade {
        title: "Hottest water with a heater stuck on against how far it falls with nothing broken",
        x_name: match units {
            Units::Metric => "undershoot, K",
            Units::Us => "undershoot, °F",
        },
        y_name: match units {
            Units::Metric => "hottest, stuck on, °C",
            Units::Us => "hottest, stuck on, °F",
        },
        points: points.collect(),
    }
}

/// The points that no other beats in one figure without losing in the other, from left to right; what differs by less than a hundredth is alike.
pub(crate) fn frontier(points: &[Point]) -> Vec<&Point> {
    // Figures that read the same are the same.
    let read = |point: &Point| [point.x, point.y].map(|value| (value * 100.0).round());
    let beats = |a: &Point, b: &Point| {
        let (a, b) = (read(a), read(b));
        a != b && a[0] <= b[0] && a[1] <= b[1]
    };
    let mut unbeaten: Vec<&Point> = points
        .iter()
        .filter(|one| !points.iter().any(|other| beats(other, one)))
        .collect();
    unbeaten.sort_by(|a, b| a.x.total_cmp(&b.x).then(b.y.total_cmp(&a.y)));
    unbeaten
}

/// From the least to the largest with some room around, never of no width.
pub(crate) fn padded(values: impl Iterator<Item = f64>, from_zero: bool) -> (f64, f64) {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let low = if from_zero { low.min(0.0) } else { low };
    let room = ((high - low) * 0.06).max(0.05 * high.abs()).max(0.1);
    (low - room, high + room)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_frontier_holds_whatever_no_other_beats_in_both() {
        let point = |name: &str, x: f64, y: f64| Point {
            name: name.to_owned(),
            x,
            y,
        };
        let points = [
            point("steady", 0.0, 280.0),
            point("steady too", 0.0, 280.0),
            point("quiet", 9.0, 8.0),
            point("beaten", 9.0, 45.0),
            point("between", 2.0, 50.0),
            point("between by nothing", 2.000_01, 50.0),
        ];
        let names: Vec<&str> = frontier(&points).iter().map(|one| one.name.as_str()).collect();
        assert_eq!(
            names,
            ["steady", "steady too", "between", "between by nothing", "quiet"]
        );
    }
}
