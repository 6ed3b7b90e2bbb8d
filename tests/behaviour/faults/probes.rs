//! What a wrong reading does to the water.

use super::{Course, TANK, broken, course_of};

#[test]
fn a_probe_that_reads_two_kelvin_low_makes_the_tank_two_kelvin_warm() {
    let (healthy, before) = course_of(TANK, "on-off");
    let (_, course) = broken("what = \"probe off\"\nprobe = \"probe\"\nby = \"-2 K\"");
    let mean = |course: &Course| {
        let rows: Vec<f64> = course.between_h(60.0, 72.0).map(|row| row.display_c).collect();
        rows.iter().sum::<f64>() / rows.len() as f64
    };
    let warmer = mean(&course) - mean(&before);
    assert!((warmer - 2.0).abs() < 0.05, "{warmer}");
    assert!(healthy.tanks[0].highest_c < 26.0);
}

#[test]
fn a_drifting_probe_takes_the_water_along() {
    let (_, course) = broken("what = \"probe drifts\"\nprobe = \"probe\"\nper_day = \"-0.5 K\"");
    let mean = |from: f64, to: f64| {
        let rows: Vec<f64> = course.between_h(from, to).map(|row| row.display_c).collect();
        rows.iter().sum::<f64>() / rows.len() as f64
    };
    let per_day = (mean(60.0, 72.0) - mean(36.0, 48.0)) / 1.0;
    assert!((per_day - 0.5).abs() < 0.05, "{per_day}");
}

#[test]
fn a_reading_that_froze_below_the_setpoint_never_switches_off() {
    let (scores, course) = broken("what = \"probe stuck\"\nprobe = \"probe\"\nwhen = \"closing 3 of relay\"");
    let (first, last) = (course.at_h(30.0).reading_c, course.at_h(71.0).reading_c);
    assert_eq!(first, last);
    assert!(course.0.last().unwrap().relay_closed);
    assert!(scores.tanks[0].highest_c > 28.0);
}

#[test]
fn a_reading_of_85_cools_the_tank_and_one_of_0_cooks_it() {
    let (cold, off) = broken("what = \"probe reads\"\nprobe = \"probe\"\nto = \"85 °C\"");
    let (hot, on) = broken("what = \"probe reads\"\nprobe = \"probe\"\nto = \"0 °C\"");
    // The strategy believes what it reads: the relay stays open or closed for as long as the reading stands.
    assert!(
        off.between_h(24.01, 72.0)
            .all(|row| row.reading_c == Some(85.0) && !row.relay_closed)
    );
    assert!(
        on.between_h(24.01, 72.0)
            .all(|row| row.reading_c == Some(0.0) && row.relay_closed)
    );
    assert!(cold.tanks[0].end_c < 21.5, "{}", cold.tanks[0].end_c);
    // What opens in the end is the heater's own dial at 29 °C.
    assert!(hot.tanks[0].end_c > 28.0, "{}", hot.tanks[0].end_c);
    let first_break = on.between_h(24.01, 72.0).find(|row| row.heater_w == 0.0).unwrap();
    assert!(first_break.display_c > 28.0 && first_break.relay_closed);
}

#[test]
fn one_wild_sample_switches_once_and_the_water_hardly_notices() {
    let (healthy, _) = course_of(TANK, "on-off");
    let wild = "what = \"wild sample\"\nprobe = \"probe\"\nto = \"85 °C\"\nwhen = \"32 h\"";
    let (scores, course) = broken(wild);
    assert_eq!(
        course
            .between_h(31.9, 32.1)
            .filter(|row| row.reading_c == Some(85.0))
            .count(),
        1
    );
    assert!((scores.tanks[0].lowest_c - healthy.tanks[0].lowest_c).abs() < 0.05);
}

#[test]
fn a_noise_burst_makes_the_relay_chatter_for_as_long_as_it_lasts() {
    let (_, healthy) = course_of(TANK, "on-off");
    let (_, course) = broken("what = \"probe noisy\"\nprobe = \"probe\"\nnoise = \"0.5 K\"\nlasts = \"1 h\"");
    let switchings = |course: &Course, from, to| course.changes_h(from, to, |row| row.relay_closed);
    assert_eq!(switchings(&course, 0.0, 24.0), switchings(&healthy, 0.0, 24.0));
    assert!(switchings(&course, 24.0, 25.0) > 100);
    // Once the burst is over the relay switches as seldom as ever.
    assert!(switchings(&course, 25.1, 72.0).abs_diff(switchings(&healthy, 25.1, 72.0)) <= 2);
    // The readings scatter as the file says; the water does not.
    let readings: Vec<f64> = course
        .between_h(24.01, 25.0)
        .filter_map(|row| row.reading_c)
        .collect();
    let mean_c = readings.iter().sum::<f64>() / readings.len() as f64;
    let spread_k =
        (readings.iter().map(|c| (c - mean_c).powi(2)).sum::<f64>() / readings.len() as f64).sqrt();
    assert!((spread_k - 0.5).abs() < 0.1, "{spread_k}");
    assert!(
        course
            .between_h(24.0, 26.0)
            .all(|row| (row.display_c - 25.5).abs() < 0.5)
    );
}

#[test]
fn a_probe_in_a_sump_without_flow_heats_the_display_without_end() {
    let pump = "[[fault]]\nwhat = \"pump stopped\"\npump = \"return\"\nwhen = \"24 h\"\n";
    let moved = "[[fault]]\nwhat = \"probe in the wrong tank\"\nprobe = \"probe\"\ntank = \"sump\"\nwhen = \"24 h\"\n";
    let (alone, _) = course_of(&format!("{TANK}{pump}"), "on-off");
    let (scores, course) = course_of(&format!("{TANK}{pump}{moved}"), "on-off");
    assert!(alone.tanks[0].highest_c < 26.5);
    assert!(scores.tanks[0].highest_c > 28.0, "{}", scores.tanks[0].highest_c);
    // It reads the sump, through its own lag.
    let row = course.at_h(40.0);
    assert!((row.reading_c.unwrap() - row.sump_c).abs() < 0.05);
}
