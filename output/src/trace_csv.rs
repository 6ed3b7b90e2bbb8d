//! The whole course of a run as comma-separated values, written while the run goes on.
//!
//! One line per trace row: `time_h`, `water_<tank>_c`, `room_c`, `humidity_frac`, `reading_<probe>_c` (empty: no reading),
//! `heater_<name>_w`, `body_<name>_c`, `contact_<name>` (1 closed, 0 open), and `marks`: what began, ended, alerted or was
//! done since the line before.

use std::io::Write;

use tepid_sim::scenario::Scenario;
use tepid_sim::time::hours;
use tepid_sim::trace::{Mark, MarkKind, TraceRow, TraceSink};

use crate::csv_text::cell;

/// The trace could not be written.
#[derive(Debug, thiserror::Error)]
pub enum TraceCsvError {
    /// A line could not be written.
    #[error("could not write the trace: {0}")]
    Line(#[from] csv::Error),
    /// The last lines could not be written.
    #[error("could not write the trace: {0}")]
    Flush(#[from] std::io::Error),
}

/// Writes each row to `W` as it comes.
pub struct TraceCsv<W: Write> {
    writer: csv::Writer<W>,
    cells: Vec<String>,
    marks: String,
    failed: Option<csv::Error>,
}

impl<W: Write> TraceCsv<W> {
    /// Writes the head line for this scenario's tanks, probes, heaters and contacts.
    ///
    /// # Errors
    /// [`TraceCsvError::Line`] if it cannot be written.
    pub fn new(scenario: &Scenario, to: W) -> Result<Self, TraceCsvError> {
        let mut head = vec!["time_h".to_owned()];
        head.extend(scenario.tanks.iter().map(|tank| format!("water_{}_c", tank.name)));
        head.extend(["room_c".to_owned(), "humidity_frac".to_owned()]);
        head.extend(
            scenario
                .probes
                .iter()
                .map(|probe| format!("reading_{}_c", probe.name)),
        );
        head.extend(
            scenario
                .heaters
                .iter()
                .map(|heater| format!("heater_{}_w", heater.name)),
        );
        head.extend(
            scenario
                .heaters
                .iter()
                .map(|heater| format!("body_{}_c", heater.name)),
        );
        head.extend(
            scenario
                .contacts
                .iter()
                .map(|contact| format!("contact_{}", contact.name)),
        );
        head.push("marks".to_owned());
        let mut writer = csv::Writer::from_writer(to);
        writer.write_record(&head)?;
        Ok(Self {
            writer,
            cells: Vec::with_capacity(head.len()),
            marks: String::new(),
            failed: None,
        })
    }

    /// Writes what is left and returns the destination. Marks after the last row have no line to stand on and are dropped.
    ///
    /// # Errors
    /// [`TraceCsvError`]: the first error since [`TraceCsv::new`].
    pub fn finish(self) -> Result<W, TraceCsvError> {
        if let Some(error) = self.failed {
            return Err(error.into());
        }
        self.writer
            .into_inner()
            .map_err(|error| TraceCsvError::Flush(error.into_error()))
    }
}

/// A figure to the digits a trace needs: 0.1 mK, 0.1 mW, 0.4 ms as hours.
fn rounded(value: f64, decimals: i32) -> String {
    let scale = f64::from(10_u32.pow(decimals.unsigned_abs()));
    cell(Some((value * scale).round() / scale))
}

impl<W: Write> TraceSink for TraceCsv<W> {
    fn row(&mut self, row: &TraceRow<'_>) {
        if self.failed.is_some() {
            return;
        }
        let cells = &mut self.cells;
        cells.clear();
        cells.push(rounded(hours(row.at_ms), 7));
        cells.extend(row.water_c.iter().map(|&temp_c| rounded(temp_c, 4)));
        cells.push(rounded(row.room_c, 4));
        cells.push(rounded(row.humidity_frac, 4));
        cells.extend(
            row.readings_c
                .iter()
                .map(|reading| reading.map_or_else(String::new, |temp_c| rounded(temp_c, 4))),
        );
        cells.extend(row.heater_w.iter().map(|&power_w| rounded(power_w, 4)));
        cells.extend(row.heater_c.iter().map(|&temp_c| rounded(temp_c, 4)));
        cells.extend(
            row.contacts
                .iter()
                .map(|state| u8::from(state.is_closed()).to_string()),
        );
        cells.push(std::mem::take(&mut self.marks));
        self.failed = self.writer.write_record(&*cells).err();
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        if !self.marks.is_empty() {
            self.marks.push_str("; ");
        }
        self.marks.push_str(match mark.what {
            MarkKind::Begins => "begins: ",
            MarkKind::Ends => "ends: ",
            MarkKind::Alert => "alert: ",
            MarkKind::Act => "act: ",
        });
        self.marks.push_str(mark.name);
    }
}
