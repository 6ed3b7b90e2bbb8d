//! Where labels stand: beside their curve, away from other curves and labels.

use super::canvas::{Box2, Point};

/// What labels must keep clear of.
#[derive(Debug, Default)]
pub struct Occupied {
    boxes: Vec<Box2>,
    curves: Vec<Vec<Point>>,
}

impl Occupied {
    /// Keeps clear of a box.
    pub fn add(&mut self, taken: Box2) {
        self.boxes.push(taken);
    }

    /// Keeps clear of a curve.
    pub fn add_curve(&mut self, points: Vec<Point>) {
        self.curves.push(points);
    }

    /// A place for a label of this size beside the curve number `own`, inside `frame`: of the places just above and below the
    /// curve the one that covers least. `None` if the curve has no point.
    pub fn place_beside(&mut self, own: usize, width: f64, height: f64, frame: Box2) -> Option<Box2> {
        const STATIONS: usize = 24;
        let room = frame.right - frame.left - width;
        let mut best: Option<(f64, Box2)> = None;
        for station in 0..=STATIONS {
            let left = frame.right - 2.0 - width - room * station as f64 / STATIONS as f64;
            let Some((top, bottom)) = self.extent(own, left, left + width) else {
                continue;
            };
            for upper in [top - height - 2.0, bottom + 2.0] {
                let place = Box2 {
                    left,
                    top: upper,
                    right: left + width,
                    bottom: upper + height,
                };
                let outside = place.top < frame.top || place.bottom > frame.bottom || place.left < frame.left;
                let cost = self.cost(&place) + if outside { 1e6 } else { 0.0 } + station as f64 * 0.5;
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, place));
                }
            }
        }
        let (_, place) = best?;
        self.boxes.push(place);
        Some(place)
    }

    /// Uppermost and lowermost pixel of a curve between two abscissas.
    fn extent(&self, curve: usize, left: f64, right: f64) -> Option<(f64, f64)> {
        let within = self
            .curves
            .get(curve)?
            .iter()
            .filter(|(x, _)| (left..=right).contains(x));
        within.fold(None, |extent: Option<(f64, f64)>, (_, y)| {
            Some(extent.map_or((*y, *y), |(top, bottom)| (top.min(*y), bottom.max(*y))))
        })
    }

    fn cost(&self, place: &Box2) -> f64 {
        let covered: f64 = self.boxes.iter().map(|taken| taken.overlap(place)).sum();
        let crossed: f64 = (0..self.curves.len())
            .filter_map(|curve| self.extent(curve, place.left, place.right))
            .map(|(top, bottom)| {
                Box2 {
                    left: place.left,
                    top: top - 1.0,
                    right: place.right,
                    bottom: bottom + 1.0,
                }
                .overlap(place)
            })
            .sum();
        covered + crossed
    }
}
