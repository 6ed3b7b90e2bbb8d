//! The whole course of a run as comma-separated values, written while the run goes on.
//!
//! One line per trace row: `time_h`, `water_<tank>_c`, `room_c`, `humidity_frac`, `reading_<probe>_c` (empty: no reading),
//! `heater_<name>_w`, `body_<name>_c`, `contact_<name>` (1 closed, 0 open), `level_<tank>_m`, `oxygen_<tank>_mg_per_l` (where a stock is
//! stated), and `marks`: what began, ended, alerted or was done since the line before. Lines that begin with `#` are comments: cautions before the head line, and after the last row one for each
//! heater that ran dry.

mod figure;

use std::io::Write;

use tepid_sim::scenario::{Happening, Scenario};
use tepid_sim::time::hours;
use tepid_sim::trace::{Mark, MarkKind, TraceRow, TraceSink};

use crate::cautions::{self, DRY_BODY_C, RUN_DRY};
use crate::csv_text::cell;
use figure::Figure;

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
    figure: Figure,
    marks: String,
    failed: Option<csv::Error>,
    heaters: Vec<String>,
    /// The hottest of each body so far, °C.
    hottest_c: Vec<f64>,
}

impl<W: Write> TraceCsv<W> {
    /// Writes the cautions of the scenario and of faults added to it, and the head line for its tanks, probes, heaters and contacts.
    ///
    /// # Errors
    /// [`TraceCsvError`] if they cannot be written.
    pub fn new(scenario: &Scenario, faults: &[Happening], mut to: W) -> Result<Self, TraceCsvError> {
        let mut all = cautions::for_happenings(scenario, scenario.happenings.iter().chain(faults));
        all.extend(cautions::for_equipment(scenario));
        for caution in cautions::gathered(all) {
            let because = caution.because.join(", ");
            writeln!(to, "# {} [{}]", one_line(&caution.text), one_line(&because))?;
        }
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
        head.extend(scenario.tanks.iter().map(|tank| format!("level_{}_m", tank.name)));
        if scenario.livestock.oxygen.is_some() {
            let tanks = scenario.tanks.iter();
            head.extend(tanks.map(|tank| format!("oxygen_{}_mg_per_l", tank.name)));
        }
        head.push("marks".to_owned());
        let mut writer = csv::Writer::from_writer(to);
        writer.write_record(&head)?;
        Ok(Self {
            writer,
            figure: Figure::default(),
            marks: String::new(),
            failed: None,
            heaters: scenario
                .heaters
                .iter()
                .map(|heater| heater.name.clone())
                .collect(),
            hottest_c: vec![f64::NEG_INFINITY; scenario.heaters.len()],
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
        let mut to = self
            .writer
            .into_inner()
            .map_err(|error| TraceCsvError::Flush(error.into_error()))?;
        for (heater, hottest_c) in self.heaters.iter().zip(&self.hottest_c) {
            if *hottest_c > DRY_BODY_C {
                writeln!(to, "# {}, body {hottest_c:.0} °C, {RUN_DRY}", one_line(heater))?;
            }
        }
        to.flush()?;
        Ok(to)
    }
}

/// A name or sentence that must not end its comment.
fn one_line(text: &str) -> String {
    text.replace(['\n', '\r'], " ")
}

/// Decimals of an instant, h: 0.4 ms.
const HOUR_DECIMALS: usize = 7;

/// Decimals of everything else: 0.1 mK, 0.1 mW.
const DECIMALS: usize = 4;

impl<W: Write> TraceCsv<W> {
    fn figures(&mut self, values: impl IntoIterator<Item = f64>, decimals: usize) -> Result<(), csv::Error> {
        for value in values {
            match self.figure.text(value, decimals) {
                Some(text) => self.writer.write_field(text)?,
                None => self.writer.write_field(cell(Some(value)))?,
            }
        }
        Ok(())
    }

    fn line(&mut self, row: &TraceRow<'_>) -> Result<(), csv::Error> {
        self.figures([hours(row.at_ms)], HOUR_DECIMALS)?;
        self.figures(row.water_c.iter().copied(), DECIMALS)?;
        self.figures([row.room_c, row.humidity_frac], DECIMALS)?;
        for reading in row.readings_c {
            match reading {
                Some(temp_c) => self.figures([*temp_c], DECIMALS)?,
                None => self.writer.write_field("")?,
            }
        }
        for values in [row.heater_w, row.heater_c] {
            self.figures(values.iter().copied(), DECIMALS)?;
        }
        for state in row.contacts {
            self.writer
                .write_field(if state.is_closed() { "1" } else { "0" })?;
        }
        for values in [row.level_m, row.oxygen_mg_per_l] {
            self.figures(values.iter().copied(), DECIMALS)?;
        }
        self.writer.write_field(&self.marks)?;
        self.marks.clear();
        self.writer.write_record(None::<&[u8]>)
    }
}

impl<W: Write> TraceSink for TraceCsv<W> {
    fn row(&mut self, row: &TraceRow<'_>) {
        if self.failed.is_some() {
            return;
        }
        for (hottest_c, temp_c) in self.hottest_c.iter_mut().zip(row.heater_c) {
            *hottest_c = hottest_c.max(*temp_c);
        }
        self.failed = self.line(row).err();
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        if !self.marks.is_empty() {
            self.marks.push_str("; ");
        }
        self.marks.push_str(match mark.what {
            MarkKind::Begins => "begins: ",
            MarkKind::Ends => "ends: ",
            MarkKind::Alert => "alert: ",
            MarkKind::Heard => "heard by: ",
            MarkKind::Act => "act: ",
        });
        self.marks.push_str(mark.name);
    }
}
