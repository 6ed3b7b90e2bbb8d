//! Reading scenarios, writing a course and a report.

use std::hint::black_box;

use tepid_output::report::{StudyReport, study_html};
use tepid_output::trace_csv::TraceCsv;
use tepid_output::wording::Units;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

use crate::Effort;
use crate::row::{Row, quickest_s};
use crate::studies::{plan, run_study};
use crate::years::{run_s, scenario, strategy};

/// Rows a second that a course may be written with at least. A target: see `docs/performance.md`.
const ROWS_PER_S: f64 = 1e6;

/// Counts what goes to the writer behind it.
struct Counted<T> {
    to: T,
    rows: u64,
}

impl<T: TraceSink> TraceSink for Counted<T> {
    fn row(&mut self, row: &TraceRow<'_>) {
        self.rows += 1;
        self.to.row(row);
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        self.to.mark(mark);
    }
}

pub(crate) fn rows(effort: Effort) -> Vec<Row> {
    vec![load(effort), trace(effort), report(effort)]
}

fn load(effort: Effort) -> Row {
    let names: Vec<&str> = tepid_scenarios::library::names().collect();
    let took_s = quickest_s(effort.choose(20, 1), || {
        for name in &names {
            black_box(tepid_scenarios::scenario(name, &[]).expect("a library scenario loads"));
        }
    });
    Row::told(
        "a scenario of the library, read and checked",
        format!("{:.0} µs", took_s * 1e6 / names.len() as f64),
    )
}

/// What a course as CSV costs beyond its run.
fn trace(effort: Effort) -> Row {
    let (days, rounds) = effort.choose((60, 5), (1, 1));
    let scenario = scenario("spare-room-winter", days);
    let recipe = strategy("on-off");
    let bare_s = run_s(&scenario, recipe.as_ref(), rounds);
    let mut told = 0;
    let request = RunRequest::new(&scenario, recipe.as_ref(), 7);
    let written_s = quickest_s(rounds, || {
        let to = TraceCsv::new(&scenario, &[], std::io::sink()).expect("a head");
        let mut counted = Counted { to, rows: 0 };
        run(&request, Some(&mut counted)).expect("runs");
        told = counted.rows;
        counted.to.finish().expect("written");
    });
    let rows_per_s = told as f64 / (written_s - bare_s);
    Row::told(
        "a course as CSV, beyond its run",
        format!("{:.2} million rows/s", rows_per_s / 1e6),
    )
    .at_least(rows_per_s, ROWS_PER_S, "rows/s")
}

/// A study of as many groups as somebody would look at.
fn report(effort: Effort) -> Row {
    let sizes = effort.choose(40, 2);
    let bases: Vec<String> = (0..sizes)
        .map(|size| {
            format!(
                "{{ base = \"lidded-nano\", name = \"nano {size}\", set = {{ warm_up = \"0 h\", \"heater.heater.power\" = \"{} W\" }} }}",
                30 + size
            )
        })
        .collect();
    let cells = format!(
        "duration = \"30 min\"\nscenarios = [{}]\nfaults = [\"none\", \"one contact welded\"]\n",
        bases.join(", ")
    );
    let (result, _) = run_study(&plan(&cells, 50), 2);
    let (groups, cells) = (result.groups.len(), result.cells_done);
    let study = StudyReport {
        program: "tepid".to_owned(),
        command: "tepid report bench.toml -o report.html".to_owned(),
        path: "bench.toml".to_owned(),
        result,
        units: Units::Metric,
        inputs: Vec::new(),
    };
    let mut bytes = 0;
    let took_s = quickest_s(effort.choose(5, 1), || bytes = study_html(&study).len());
    Row::told(
        format!("the report of a study of {groups} groups, {cells} cells"),
        format!("{:.1} ms, {} kB", took_s * 1e3, bytes / 1000),
    )
}
