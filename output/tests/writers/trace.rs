//! The trace as CSV.

use std::io::{self, Write};

use tepid_output::cautions::Caution;
use tepid_output::trace_csv::TraceCsv;
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, When};
use tepid_sim::strategy::ContactState;
use tepid_sim::time::HOUR;
use tepid_sim::trace::{Mark, MarkKind, TraceRow, TraceSink};

use crate::scenario::scenario;

fn row(at_ms: i64, contacts: &[ContactState]) -> TraceRow<'_> {
    TraceRow {
        at_ms,
        water_c: &[25.512_345_6],
        heater_c: &[31.0],
        room_c: 20.0,
        humidity_frac: 0.45,
        readings_c: &[None],
        heater_w: &[200.0],
        fan_w: &[],
        pump_w: &[],
        light_w: &[],
        chiller_w: &[],
        oxygen_mg_per_l: &[],
        level_m: &[0.447_31],
        contacts,
    }
}

#[test]
fn a_trace_has_a_line_per_row_and_an_empty_cell_for_no_reading() {
    let mut trace = TraceCsv::new(&scenario(), &[], Vec::new()).unwrap();
    trace.row(&row(-HOUR, &[ContactState::Open]));
    trace.mark(&Mark {
        at_ms: 0,
        what: MarkKind::Begins,
        name: "relay left welded",
    });
    trace.mark(&Mark {
        at_ms: 5,
        what: MarkKind::Alert,
        name: "main, too warm",
    });
    trace.row(&row(1_000, &[ContactState::Closed]));
    let text = String::from_utf8(trace.finish().unwrap()).unwrap();
    let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
    assert_eq!(
        lines,
        [
            "time_h,water_display_c,room_c,humidity_frac,reading_main_c,heater_left_w,body_left_c,\
             contact_relay left,level_display_m,marks",
            "-1,25.5123,20,0.45,,200,31,0,0.4473,",
            "0.0002778,25.5123,20,0.45,,200,31,1,0.4473,\"begins: relay left welded; alert: main, too warm\"",
        ]
    );
}

#[test]
fn cautions_stand_in_comments_before_the_head_line() {
    let welded = Happening {
        name: "relay left\nwelded".to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect: Effect::ContactWelded(ContactId(0)),
        origin: Origin::Fault,
    };
    let trace = TraceCsv::new(&scenario(), &[welded], Vec::new()).unwrap();
    let text = String::from_utf8(trace.finish().unwrap()).unwrap();
    let head = text.find("time_h").unwrap();
    for part in [
        Caution::StuckHeater.text(),
        "[relay left welded]",
        Caution::NoCertificate.text(),
    ] {
        let at = text.find(part).unwrap();
        assert!(at < head, "{text}");
    }
    assert!(
        text.lines()
            .all(|line| line.starts_with('#') || line.starts_with("time_h")),
        "{text}"
    );
}

#[test]
fn a_heater_that_ran_dry_is_named_in_a_comment_at_the_end() {
    let mut trace = TraceCsv::new(&scenario(), &[], Vec::new()).unwrap();
    for (second, body_c) in [(0, 40.0), (1, 231.4), (2, 90.0)] {
        trace.row(&TraceRow {
            heater_c: &[body_c],
            ..row(second * 1_000, &[ContactState::Closed])
        });
    }
    let text = String::from_utf8(trace.finish().unwrap()).unwrap();
    assert_eq!(
        text.lines().last().unwrap(),
        "# left, body 231 °C, run dry: glass may crack; remove power before touching the water"
    );
}

/// A disk that is full after some bytes.
struct FullDisk {
    left: usize,
}

impl Write for FullDisk {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.left < bytes.len() {
            return Err(io::Error::new(io::ErrorKind::StorageFull, "the disk is full"));
        }
        self.left -= bytes.len();
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_full_disk_is_reported_at_the_end() {
    let mut trace = TraceCsv::new(&scenario(), &[], FullDisk { left: 20_000 }).unwrap();
    for second in 0..2_000 {
        trace.row(&row(second * 1_000, &[ContactState::Open]));
    }
    let error = trace.finish().err().unwrap();
    assert!(error.to_string().contains("the disk is full"), "{error}");
}
