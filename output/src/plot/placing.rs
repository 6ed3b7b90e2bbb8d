//! Where labels stand: beside their curve or line, away from other curves and labels.

use super::canvas::{Box2, Point};

/// On which side of a line a label stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Over it.
    Above,
    /// Under it.
    Below,
}

/// What labels must keep clear of.
#[derive(Debug, Default)]
pub struct Occupied {
    boxes: Vec<Box2>,
    curves: Vec<Vec<Point>>,
}

/// Places tried along a curve or a line.
const STATIONS: usize = 24;
/// What a pixel of a curve under a label costs, in pixels of other boxes.
const INK_COST: f64 = 8.0;

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

    /// A place for a label of this size above or below a level line, inside `frame`: of the places along it the one that covers
    /// least, at the left and on the `wanted` side where it is free.
    pub fn place_along(
        &mut self,
        (above, below): (f64, f64),
        wanted: Side,
        width: f64,
        height: f64,
        frame: Box2,
    ) -> Box2 {
        let room = frame.right - frame.left - width;
        let at = |station: usize, side: Side| {
            let left = frame.left + room * station as f64 / STATIONS as f64;
            let top = match side {
                Side::Above => above - height,
                Side::Below => below,
            };
            Box2 {
                left,
                top,
                right: left + width,
                bottom: top + height,
            }
        };
        let mut best = (f64::INFINITY, at(0, wanted));
        for station in 0..=STATIONS {
            for side in [Side::Above, Side::Below] {
                let place = at(station, side);
                let outside = place.top < frame.top || place.bottom > frame.bottom;
                let cost = self.cost(&place)
                    + if outside { 1e6 } else { 0.0 }
                    + if side == wanted { 0.0 } else { 5.0 }
                    + station as f64 * 0.5;
                if cost < best.0 {
                    best = (cost, place);
                }
            }
        }
        self.boxes.push(best.1);
        best.1
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
        let crossed: f64 = self.curves.iter().map(|curve| ink_within(curve, place)).sum();
        covered + INK_COST * crossed
    }
}

/// Length of a curve inside a box, along both axes, logical pixels.
fn ink_within(curve: &[Point], place: &Box2) -> f64 {
    let segments = curve.windows(2).filter_map(|ends| match ends {
        [from, to] => Some((from, to)),
        _ => None,
    });
    segments
        .map(|((x, y), (next_x, next_y))| {
            let across = next_x.min(place.right) - x.max(place.left);
            let (top, bottom) = (y.min(*next_y), y.max(*next_y));
            let down = bottom.min(place.bottom + 1.0) - top.max(place.top - 1.0);
            if across >= 0.0 && down >= 0.0 {
                across + down
            } else {
                0.0
            }
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Box2 = Box2 {
        left: 0.0,
        top: 0.0,
        right: 700.0,
        bottom: 300.0,
    };

    #[test]
    fn a_label_of_a_line_stands_where_the_curve_is_not() {
        let mut occupied = Occupied::default();
        // A curve along the line for two thirds of the way, then far below it.
        let curve: Vec<Point> = (0..700)
            .map(|x| (f64::from(x), if x < 450 { 100.0 } else { 250.0 }))
            .collect();
        occupied.add_curve(curve);
        let place = occupied.place_along((99.0, 101.0), Side::Above, 150.0, 12.0, FRAME);
        assert!(place.left >= 450.0 || place.bottom <= 99.0, "{place:?}");
        assert_eq!(
            occupied.cost(&place),
            place.overlap(&place),
            "covers itself alone"
        );
    }

    #[test]
    fn labels_of_lines_close_together_do_not_overlap() {
        let mut occupied = Occupied::default();
        let places = [100.0, 103.0, 106.0]
            .map(|y: f64| occupied.place_along((y - 1.0, y + 1.0), Side::Above, 150.0, 12.0, FRAME));
        for (index, place) in places.iter().enumerate() {
            for other in &places[..index] {
                assert!(place.overlap(other) == 0.0, "{places:?}");
            }
        }
    }
}
