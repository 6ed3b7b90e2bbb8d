//! The thinned course of a run: lowest and highest value of each column of time, in bounded memory.

use tepid_sim::time::Millis;
use tepid_sim::trace::{Mark, MarkKind, TraceRow, TraceSink};

/// Marks kept at most; later ones are counted only.
const MARKS_KEPT: usize = 2_000;

/// Lowest and highest value within one column, each with its instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes {
    /// Instant (ms) and value of the lowest.
    pub lowest: (Millis, f64),
    /// Instant (ms) and value of the highest.
    pub highest: (Millis, f64),
}

/// What a plot shows of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Start of the first column, ms.
    pub from_ms: Millis,
    /// End of the last column, ms.
    pub to_ms: Millis,
    /// Water of each tank, °C: one entry per column, `None` where no row fell.
    pub water_c: Vec<Vec<Option<Extremes>>>,
    /// Room, °C.
    pub room_c: Vec<Option<Extremes>>,
    /// Mean power of each heater in each column, W; `None` where it is not known.
    pub heater_w: Vec<Vec<Option<f64>>>,
    /// Likewise of each fan and then of each chiller.
    pub cooler_w: Vec<Vec<Option<f64>>>,
    /// What happened, in order of time.
    pub marks: Vec<CourseMark>,
    /// Marks beyond those kept.
    pub marks_dropped: usize,
}

/// A mark of the course.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CourseMark {
    /// ms.
    pub at_ms: Millis,
    /// What it is.
    pub what: MarkKind,
    /// Its name.
    pub name: String,
}

/// Lowest and highest of some columns; `None` if none of them is known.
pub fn extremes<'a>(columns: impl IntoIterator<Item = &'a Option<Extremes>>) -> Option<(f64, f64)> {
    let known = columns.into_iter().flatten();
    known.fold(None, |range: Option<(f64, f64)>, column| {
        let (low, high) = (column.lowest.1, column.highest.1);
        Some(range.map_or((low, high), |range| (range.0.min(low), range.1.max(high))))
    })
}

/// Records the course of a run between two instants.
#[derive(Debug, Clone)]
pub struct TraceRecorder {
    course: Course,
    columns: usize,
    /// Energy by column of each heater, fan and chiller, W·ms, and the time it covers, ms.
    energy_w_ms: Vec<Vec<f64>>,
    heaters: usize,
    covered_ms: Vec<Millis>,
    last: Option<(Millis, Vec<f64>)>,
}

impl TraceRecorder {
    /// A recorder of `columns` columns from `from_ms` to `to_ms`; rows outside are left out.
    #[must_use]
    pub fn new(from_ms: Millis, to_ms: Millis, columns: usize) -> Self {
        let columns = columns.max(1);
        Self {
            course: Course {
                from_ms,
                to_ms: to_ms.max(from_ms + 1),
                water_c: Vec::new(),
                room_c: vec![None; columns],
                heater_w: Vec::new(),
                cooler_w: Vec::new(),
                marks: Vec::new(),
                marks_dropped: 0,
            },
            columns,
            energy_w_ms: Vec::new(),
            heaters: 0,
            covered_ms: vec![0; columns],
            last: None,
        }
    }

    /// The course.
    #[must_use]
    pub fn finish(mut self) -> Course {
        for (device, energy_w_ms) in self.energy_w_ms.iter().enumerate() {
            let means = energy_w_ms
                .iter()
                .zip(&self.covered_ms)
                .map(|(&energy, &covered_ms)| (covered_ms > 0).then(|| energy / covered_ms as f64))
                .collect();
            if device < self.heaters {
                self.course.heater_w.push(means);
            } else {
                self.course.cooler_w.push(means);
            }
        }
        self.course
    }

    fn column(&self, at_ms: Millis) -> usize {
        let (span, since) = (
            self.course.to_ms - self.course.from_ms,
            at_ms - self.course.from_ms,
        );
        let column = i128::from(since) * self.columns as i128 / i128::from(span);
        usize::try_from(column).unwrap_or(0).min(self.columns - 1)
    }

    /// First instant of a column, ms.
    fn start_ms(&self, column: usize) -> Millis {
        let span = i128::from(self.course.to_ms - self.course.from_ms);
        let columns = self.columns as i128;
        let since = (span * column as i128 + columns - 1) / columns;
        self.course.from_ms + Millis::try_from(since).unwrap_or(Millis::MAX)
    }

    /// Adds the power that held since the row before up to `at_ms`.
    fn add_power(&mut self, at_ms: Millis) {
        let Some((since_ms, power_w)) = self.last.take() else {
            return;
        };
        let mut from_ms = since_ms.max(self.course.from_ms);
        let to_ms = at_ms.min(self.course.to_ms);
        while from_ms < to_ms {
            let column = self.column(from_ms);
            let end_ms = if column + 1 < self.columns {
                self.start_ms(column + 1).min(to_ms)
            } else {
                to_ms
            };
            self.covered_ms[column] += end_ms - from_ms;
            for (energy_w_ms, power_w) in self.energy_w_ms.iter_mut().zip(&power_w) {
                energy_w_ms[column] += power_w * (end_ms - from_ms) as f64;
            }
            from_ms = end_ms;
        }
        self.last = Some((at_ms, power_w));
    }
}

/// Lowest and highest value in each of so many columns from `from_ms` to `to_ms`; values outside are left out.
#[must_use]
pub fn in_columns(
    from_ms: Millis,
    to_ms: Millis,
    columns: usize,
    values: impl IntoIterator<Item = (Millis, f64)>,
) -> Vec<Option<Extremes>> {
    let recorder = TraceRecorder::new(from_ms, to_ms, columns);
    let mut thinned = vec![None; recorder.columns];
    for (at_ms, value) in values {
        if (recorder.course.from_ms..=recorder.course.to_ms).contains(&at_ms) {
            widen(&mut thinned[recorder.column(at_ms)], at_ms, value);
        }
    }
    thinned
}

/// Power of each heater, fan and chiller, W.
fn powers_w<'a>(row: &TraceRow<'a>) -> impl Iterator<Item = f64> + use<'a> {
    row.heater_w.iter().chain(row.fan_w).chain(row.chiller_w).copied()
}

fn widen(extremes: &mut Option<Extremes>, at_ms: Millis, value: f64) {
    if !value.is_finite() {
        return;
    }
    let new = (at_ms, value);
    let known = extremes.get_or_insert(Extremes {
        lowest: new,
        highest: new,
    });
    if value < known.lowest.1 {
        known.lowest = new;
    }
    if value > known.highest.1 {
        known.highest = new;
    }
}

impl TraceSink for TraceRecorder {
    fn row(&mut self, row: &TraceRow<'_>) {
        if self.course.water_c.is_empty() {
            self.course.water_c = vec![vec![None; self.columns]; row.water_c.len()];
            self.energy_w_ms = vec![vec![0.0; self.columns]; powers_w(row).count()];
            self.heaters = row.heater_w.len();
        }
        self.add_power(row.at_ms);
        match &mut self.last {
            Some((at_ms, power_w)) => {
                *at_ms = row.at_ms;
                power_w.clear();
                power_w.extend(powers_w(row));
            }
            None => self.last = Some((row.at_ms, powers_w(row).collect())),
        }
        if row.at_ms < self.course.from_ms || row.at_ms > self.course.to_ms {
            return;
        }
        let column = self.column(row.at_ms);
        for (tank, &temp_c) in self.course.water_c.iter_mut().zip(row.water_c) {
            widen(&mut tank[column], row.at_ms, temp_c);
        }
        widen(&mut self.course.room_c[column], row.at_ms, row.room_c);
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        if self.course.marks.len() < MARKS_KEPT {
            self.course.marks.push(CourseMark {
                at_ms: mark.at_ms,
                what: mark.what,
                name: mark.name.to_owned(),
            });
        } else {
            self.course.marks_dropped += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(at_ms: Millis, water_c: &[f64], heater_w: &[f64]) -> (Millis, Vec<f64>, Vec<f64>) {
        (at_ms, water_c.to_vec(), heater_w.to_vec())
    }

    fn recorded(recorder: TraceRecorder, rows: &[(Millis, Vec<f64>, Vec<f64>)]) -> Course {
        let mut recorder = recorder;
        for (at_ms, water_c, heater_w) in rows {
            recorder.row(&TraceRow {
                at_ms: *at_ms,
                water_c,
                heater_c: &[],
                room_c: 20.0,
                humidity_frac: 0.5,
                readings_c: &[],
                heater_w,
                fan_w: &[2.0],
                pump_w: &[],
                light_w: &[],
                chiller_w: &[],
                oxygen_mg_per_l: &[],
                level_m: &[],
                contacts: &[],
            });
        }
        recorder.finish()
    }

    #[test]
    fn a_peak_between_two_columns_edges_is_not_thinned_away() {
        let mut rows: Vec<_> = (0..1_000).map(|tick| row(tick * 10, &[25.0], &[0.0])).collect();
        rows[503].1[0] = 31.0;
        rows[507].1[0] = 22.0;
        let course = recorded(TraceRecorder::new(0, 10_000, 20), &rows);
        let column = course.water_c[0][10].unwrap();
        assert_eq!(column.highest, (5_030, 31.0));
        assert_eq!(column.lowest, (5_070, 22.0));
        assert!(
            course.water_c[0]
                .iter()
                .enumerate()
                .all(|(c, e)| c == 10 || e.unwrap().highest.1 == 25.0)
        );
    }

    #[test]
    fn power_is_the_mean_over_each_column_whatever_rows_fall_in_it() {
        let rows = [
            row(-500, &[25.0], &[100.0]),
            row(250, &[25.0], &[0.0]),
            row(1_500, &[25.0], &[40.0]),
            row(4_000, &[25.0], &[0.0]),
        ];
        let course = recorded(TraceRecorder::new(0, 4_000, 4), &rows);
        assert_eq!(
            course.heater_w[0],
            [Some(25.0), Some(20.0), Some(40.0), Some(40.0)]
        );
        assert_eq!(course.cooler_w, [vec![Some(2.0); 4]]);
    }

    #[test]
    fn memory_does_not_grow_with_the_length_of_a_run() {
        let mut recorder = TraceRecorder::new(0, 1_000_000, 50);
        for at_ms in 0..10_000 {
            recorder.mark(&Mark {
                at_ms,
                what: MarkKind::Begins,
                name: "feeding pause",
            });
        }
        let rows: Vec<_> = (0..10_000)
            .map(|tick| row(tick * 100, &[25.0, 26.0], &[1.0]))
            .collect();
        let course = recorded(recorder, &rows);
        assert_eq!(course.water_c.iter().map(Vec::len).collect::<Vec<_>>(), [50, 50]);
        assert_eq!(course.marks.len() + course.marks_dropped, 10_000);
        assert_eq!(course.marks.len(), MARKS_KEPT);
    }
}
