//! Plots of an invented course.

use tepid_output::cautions::Caution;
use tepid_output::plot::{
    Course, PlotError, PlotInfo, PlottedDevice, TraceRecorder, time_series_png, time_series_svg,
};
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};
use tepid_sim::trace::{Mark, MarkKind, TraceRow, TraceSink};

use crate::examples::livestock;

pub fn info() -> PlotInfo {
    let livestock = livestock();
    PlotInfo {
        recorded: Vec::new(),
        day_names: Vec::new(),
        title: "Spare-room reef, winter week".to_owned(),
        subtitle: "on-off <0.4 K> & relay left welded, seed 7".to_owned(),
        tanks: vec!["display".to_owned(), "sump".to_owned()],
        heaters: vec![
            PlottedDevice {
                name: "left".to_owned(),
                power_w: 200.0,
            },
            PlottedDevice {
                name: "right".to_owned(),
                power_w: 200.0,
            },
        ],
        coolers: vec![PlottedDevice {
            name: "clip fan".to_owned(),
            power_w: 2.5,
        }],
        band_c: [25.0, 26.0],
        danger_hot: livestock.danger_hot,
        danger_cold: livestock.danger_cold,
        cautions: vec![
            Caution::StuckHeater.because("relay left welded"),
            Caution::StoppedFlow.because("feeding pause"),
            Caution::NoCertificate.because("any result"),
        ],
    }
}

/// A sawtooth around 25.5 °C that runs away after four days; pauses at half past six in the evening.
pub fn course(days: i64, columns: usize) -> Course {
    let to_ms = days * DAY;
    let weld_ms = to_ms * 4 / 7 / HOUR * HOUR;
    let mut recorder = TraceRecorder::new(0, to_ms, columns);
    let mark = |recorder: &mut TraceRecorder, at_ms: Millis, what, name: &str| {
        recorder.mark(&Mark { at_ms, what, name });
    };
    let mut at_ms = -HOUR;
    while at_ms <= to_ms {
        let phase = at_ms.rem_euclid(2 * HOUR) as f64 / (2 * HOUR) as f64;
        let tooth = if phase < 0.4 {
            phase / 0.4
        } else {
            (1.0 - phase) / 0.6
        };
        let runaway = 5.5 * (1.0 - (-((at_ms - weld_ms).max(0) as f64) / (12 * HOUR) as f64).exp());
        let display_c = 25.3 + 0.4 * tooth + runaway;
        let room_c = 20.0 + 1.5 * ((at_ms as f64 / DAY as f64 - 0.4) * std::f64::consts::TAU).sin();
        let on = phase < 0.4 || at_ms >= weld_ms;
        let later = phase > 0.2 && phase < 0.4 && at_ms < weld_ms;
        let heater_w = [if on { 200.0 } else { 0.0 }, if later { 200.0 } else { 0.0 }];
        recorder.row(&TraceRow {
            at_ms,
            water_c: &[display_c, display_c + 0.25],
            heater_c: &[40.0, 26.0],
            room_c,
            humidity_frac: 0.45,
            readings_c: &[Some(display_c), None],
            heater_w: &heater_w,
            fan_w: &[if phase > 0.6 { 2.5 } else { 0.0 }],
            pump_w: &[],
            light_w: &[],
            chiller_w: &[],
            oxygen_mg_per_l: &[],
            level_m: &[],
            contacts: &[],
        });
        if at_ms == weld_ms {
            mark(&mut recorder, at_ms, MarkKind::Begins, "relay left welded");
        }
        if at_ms == weld_ms + 3 * HOUR {
            mark(&mut recorder, at_ms, MarkKind::Alert, "main above 27 °C");
        }
        if at_ms.rem_euclid(DAY) == 18 * HOUR + 30 * MINUTE && at_ms > 0 {
            mark(&mut recorder, at_ms, MarkKind::Begins, "feeding pause");
            mark(
                &mut recorder,
                at_ms + 12 * MINUTE,
                MarkKind::Ends,
                "feeding pause",
            );
        }
        at_ms += MINUTE;
    }
    recorder.finish()
}

#[test]
fn a_plot_names_what_it_shows_and_carries_its_cautions() {
    let svg = time_series_svg(&course(7, 700), &info()).unwrap();
    for text in [
        "Spare-room reef, winter week",
        "display",
        "sump",
        "room",
        "°C",
        "°F",
        "water at 28.5 °C: 3 d at most",
        "water at 32 °C: 1 h at most",
        "water at 22 °C: 2 d at most",
        "feeding pause (7×)",
        "relay left welded",
        "alert: main above 27 °C",
        "left, 200 W rated",
        "clip fan, 2.5 W rated",
        "day 1",
        "A welded contact ignores",
        "run out of oxygen",
        "safety certificate",
    ] {
        assert!(svg.contains(text), "{text}");
    }
    assert!(svg.contains("&lt;0.4 K&gt; &amp;"));
    assert!(svg.starts_with("<svg width=\"800\""), "{}", &svg[..60]);
    assert!(svg.trim_end().ends_with("</svg>"));
}

#[test]
fn a_png_is_drawn_with_the_embedded_font() {
    let png = time_series_png(&course(7, 700), &info()).unwrap();
    let mut reader = png::Decoder::new(std::io::Cursor::new(&png)).read_info().unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let frame = reader.next_frame(&mut pixels).unwrap();
    assert_eq!(frame.width, 1600);
    let titled = 2 * 12..2 * 30;
    let dark = |row: usize| {
        let row = &pixels[row * 1600 * 3..(row + 1) * 1600 * 3];
        row.chunks(3)
            .filter(|pixel| pixel.iter().all(|&part| part < 90))
            .count()
    };
    assert!(titled.map(dark).sum::<usize>() > 500, "no title was drawn");
}

#[test]
fn the_same_course_gives_the_same_bytes() {
    let (course, info) = (course(2, 500), info());
    assert_eq!(
        time_series_svg(&course, &info).unwrap(),
        time_series_svg(&course, &info).unwrap()
    );
    assert_eq!(
        time_series_png(&course, &info).unwrap(),
        time_series_png(&course, &info).unwrap()
    );
}

#[test]
fn a_long_run_needs_no_larger_plot_than_a_short_one() {
    let short = time_series_svg(&course(7, 500), &info()).unwrap().len();
    let long = time_series_svg(&course(60, 500), &info()).unwrap().len();
    assert!(long < 2 * short, "{short} bytes for 7 days, {long} for 60");
}

#[test]
fn a_run_without_rows_has_nothing_to_show() {
    let empty = TraceRecorder::new(0, DAY, 100).finish();
    assert!(matches!(
        time_series_svg(&empty, &info()),
        Err(PlotError::NothingToShow)
    ));
}
