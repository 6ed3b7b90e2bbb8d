//! Closings of contacts as they add up over a run.

use tepid_sim::strategy::ContactState;
use tepid_sim::time::Millis;
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

use super::TraceRecorder;

/// Records the course of a run, and the closings of every contact up to the end of each column of time.
#[derive(Debug, Clone)]
pub struct ClosingsRecorder {
    /// The course.
    pub course: TraceRecorder,
    from_ms: Millis,
    to_ms: Millis,
    columns: usize,
    last: Vec<ContactState>,
    /// Closings so far, by contact.
    so_far: Vec<u64>,
    /// Closings up to the end of each column, by contact; columns not come to yet are missing.
    by_column: Vec<Vec<u64>>,
}

impl ClosingsRecorder {
    /// A recorder of `columns` columns from `from_ms` to `to_ms`; closings before do not count.
    #[must_use]
    pub fn new(from_ms: Millis, to_ms: Millis, columns: usize) -> Self {
        Self {
            course: TraceRecorder::new(from_ms, to_ms, columns),
            from_ms,
            to_ms: to_ms.max(from_ms + 1),
            columns: columns.max(1),
            last: Vec::new(),
            so_far: Vec::new(),
            by_column: Vec::new(),
        }
    }

    /// Of every contact, in the scenario's order, the closings up to the end of each column.
    #[must_use]
    pub fn closings(&self) -> Vec<Vec<u64>> {
        let all = self.by_column.iter().zip(&self.so_far);
        all.map(|(columns, so_far)| {
            let mut columns = columns.clone();
            columns.resize(self.columns, *so_far);
            columns
        })
        .collect()
    }

    /// Columns that ended before an instant.
    fn ended_by(&self, at_ms: Millis) -> usize {
        let share =
            i128::from(at_ms - self.from_ms) * self.columns as i128 / i128::from(self.to_ms - self.from_ms);
        usize::try_from(share).unwrap_or(0).min(self.columns)
    }
}

impl TraceSink for ClosingsRecorder {
    fn row(&mut self, row: &TraceRow<'_>) {
        self.course.row(row);
        if self.last.is_empty() {
            self.last = row.contacts.to_vec();
            self.so_far = vec![0; row.contacts.len()];
            self.by_column = vec![Vec::new(); row.contacts.len()];
            return;
        }
        let ended = self.ended_by(row.at_ms);
        for (columns, so_far) in self.by_column.iter_mut().zip(&self.so_far) {
            if columns.len() < ended {
                columns.resize(ended, *so_far);
            }
        }
        let counts = (self.from_ms..=self.to_ms).contains(&row.at_ms);
        for ((last, now), so_far) in self.last.iter_mut().zip(row.contacts).zip(&mut self.so_far) {
            if counts && *last == ContactState::Open && *now == ContactState::Closed {
                *so_far += 1;
            }
            *last = *now;
        }
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        self.course.mark(mark);
    }
}
