//! Logs are read as loggers write them, and what is not understood is asked for.

use tepid_scenarios::log_file::{DateOrder, HeaterLog, Log, LogColumn, LogOptions, of_text};
use tepid_sim::time::{HOUR, MINUTE};

#[track_caller]
fn read(text: &str, options: &LogOptions) -> Log {
    of_text("log.csv", text, options).unwrap_or_else(|report| panic!("{}", report.plain()))
}

#[track_caller]
fn refused(text: &str, options: &LogOptions, says: &[&str]) {
    let report = of_text("log.csv", text, options).expect_err("a mistake").plain();
    for part in says {
        assert!(report.contains(part), "`{part}` is not in:\n{report}");
    }
}

fn plain() -> LogOptions {
    LogOptions::default()
}

fn in_berlin() -> LogOptions {
    LogOptions {
        time_zone: Some("Europe/Berlin".to_owned()),
        ..plain()
    }
}

/// A log whose stamps are these, one reading each.
fn stamped(stamps: &[&str]) -> String {
    let rows: Vec<String> = stamps.iter().map(|stamp| format!("{stamp},25.0\n")).collect();
    format!("time,water [°C]\n{}", rows.concat())
}

fn minutes(log: &Log) -> Vec<i64> {
    log.rows.iter().map(|row| row.at_ms / MINUTE).collect()
}

#[test]
fn decimal_commas_semicolons_and_units_in_the_header_are_read() {
    let log = read(
        "time;Water temp [°F];Room (°C);heater;rh %\n\
         06.01.2026 13:00;77,0;21,5;on;50\n06.01.2026 13:05;77,9;21,4;off;51\n06.01.2026 13:10;77,0;21,3;off;52\n",
        &plain(),
    );
    assert_eq!(
        log.rows[1].water_c.map(|temp_c| (temp_c * 10.0).round()),
        Some(255.0)
    );
    assert_eq!(log.rows[0].room_c, Some(21.5));
    assert_eq!(log.heater, Some(HeaterLog::States));
    assert_eq!(
        log.rows.iter().map(|row| row.heater).collect::<Vec<_>>(),
        [Some(1.0), Some(0.0), Some(0.0)]
    );
    assert_eq!(log.rows[2].humidity_frac, Some(0.52));
    assert_eq!(minutes(&log), [780, 785, 790]);
    assert_eq!(log.interval_ms, 5 * MINUTE);
}

#[test]
fn many_ways_to_write_a_time_mean_the_same() {
    let wanted = [785, 790, 795];
    for stamps in [
        ["2026-01-06 13:05", "2026-01-06 13:10", "2026-01-06 13:15"],
        [
            "2026-01-06T13:05:00",
            "2026-01-06T13:10:00",
            "2026-01-06T13:15:00.0",
        ],
        [
            "2026-01-06T13:05:00+01:00",
            "2026-01-06T13:10:00+01:00",
            "2026-01-06T13:15:00+01:00",
        ],
        [
            "06.01.2026 13:05:00",
            "06.01.2026 13:10:00",
            "06.01.2026 13:15:00",
        ],
        ["2026/01/06 1:05 pm", "2026/01/06 1:10 PM", "2026/01/06 1:15 pm"],
    ] {
        assert_eq!(minutes(&read(&stamped(&stamps), &plain())), wanted, "{stamps:?}");
    }
    // 2026-01-06 12:05 in UTC, in seconds and milliseconds.
    for stamps in [
        ["1767701100", "1767701400", "1767701700"],
        ["1767701100000", "1767701400000", "1767701700000"],
        [
            "2026-01-06T12:05:00Z",
            "2026-01-06T12:10:00Z",
            "2026-01-06T12:15:00Z",
        ],
    ] {
        assert_eq!(
            minutes(&read(&stamped(&stamps), &in_berlin())),
            wanted,
            "{stamps:?}"
        );
        assert_eq!(minutes(&read(&stamped(&stamps), &plain()))[0], 725, "{stamps:?}");
    }
    let since = read("time [h],water [°C]\n0,25\n0.5,25\n1.0,25\n", &plain());
    assert_eq!(minutes(&since), [0, 30, 60]);
    let apart = read(
        "date,time,water [°C]\n2026-01-06,13:05,25\n2026-01-06,13:10,25\n2026-01-06,13:15,25\n",
        &plain(),
    );
    assert_eq!(minutes(&apart), wanted);
}

#[test]
fn the_order_of_day_and_month_is_asked_for_where_no_date_tells_it() {
    let open = stamped(&["03/04/2026 13:05", "03/04/2026 13:10", "03/04/2026 13:15"]);
    refused(
        &open,
        &plain(),
        &["log.csv:2:1", "day or month first", "--date-order"],
    );
    let options = |order| LogOptions {
        date_order: Some(order),
        ..plain()
    };
    assert_eq!(
        read(&open, &options(DateOrder::DayFirst))
            .start_date
            .map(|date| (date.month, date.day)),
        Some((4, 3))
    );
    assert_eq!(
        read(&open, &options(DateOrder::MonthFirst))
            .start_date
            .map(|date| (date.month, date.day)),
        Some((3, 4))
    );
    let told = stamped(&["03/30/2026 13:05", "03/30/2026 13:10", "04/01/2026 13:15"]);
    assert_eq!(
        read(&told, &plain())
            .start_date
            .map(|date| (date.month, date.day)),
        Some((3, 30))
    );
}

#[test]
fn the_hour_that_comes_twice_in_autumn_lasts_two_hours() {
    let stamps = [
        "2026-10-25 01:30",
        "2026-10-25 02:30",
        "2026-10-25 02:00",
        "2026-10-25 02:30",
        "2026-10-25 03:30",
    ];
    let log = read(&stamped(&stamps), &in_berlin());
    assert_eq!(minutes(&log), [90, 150, 180, 210, 270]);
    refused(
        &stamped(&stamps),
        &plain(),
        &["log.csv:4:1", "goes back by 30 min", "--time-zone"],
    );
}

#[test]
fn the_hour_that_is_missing_in_spring_lasts_no_time() {
    let stamps = ["2026-03-29 01:30", "2026-03-29 03:30", "2026-03-29 04:30"];
    assert_eq!(minutes(&read(&stamped(&stamps), &in_berlin())), [90, 150, 210]);
}

#[test]
fn rows_that_stand_newest_first_are_turned_round() {
    let log = read(
        &stamped(&["2026-01-06 13:15", "2026-01-06 13:10", "2026-01-06 13:05"]),
        &plain(),
    );
    assert_eq!(minutes(&log), [785, 790, 795]);
}

#[test]
fn a_time_zone_that_does_not_exist_finds_the_nearest() {
    let options = LogOptions {
        time_zone: Some("Europe/Berln".to_owned()),
        ..plain()
    };
    refused(
        &stamped(&["2026-01-06 13:05"]),
        &options,
        &["did you mean `Europe/Berlin`?"],
    );
}

#[test]
fn units_are_asked_for_once_and_never_guessed() {
    let bare =
        "time,water,heater\n2026-01-06 13:05,25.1,120\n2026-01-06 13:10,25.2,0\n2026-01-06 13:15,25.3,120\n";
    refused(
        bare,
        &plain(),
        &[
            "log.csv:2:18",
            "`25.1` has no unit",
            "--unit water='°C'",
            "log.csv:2:23",
            "--unit heater=W",
        ],
    );
    let report = of_text("log.csv", bare, &plain()).expect_err("a mistake");
    assert_eq!(report.problems.len(), 2, "{}", report.plain());
    let log = read(
        bare,
        &LogOptions {
            units: vec![
                (LogColumn::Water, "C".to_owned()),
                (LogColumn::Heater, "W".to_owned()),
            ],
            ..plain()
        },
    );
    assert_eq!(
        (log.heater, log.rows[0].heater),
        (Some(HeaterLog::Watts), Some(120.0))
    );
    refused(
        "time,water [K]\n2026-01-06 13:05,298\n",
        &plain(),
        &["log.csv:1:6", "no unit of a temperature"],
    );
}

#[test]
fn two_columns_that_may_be_the_water_are_asked_for() {
    let two =
        "time,temp [°C],temp_c\n2026-01-06 13:05,25,26\n2026-01-06 13:06,25,26\n2026-01-06 13:07,25,26\n";
    refused(
        two,
        &plain(),
        &["two columns may be the water", "--column water="],
    );
    let named = "time,probe 1 [°C],probe 2 [°C]\n0,25,26\n";
    refused(
        named,
        &plain(),
        &[
            "no column is known to hold the temperature of the water",
            "--column water=NAME",
        ],
    );
    let options = LogOptions {
        columns: vec![(LogColumn::Water, "probe 2".to_owned())],
        ..plain()
    };
    let log = read(
        "time [min],probe 1 [°C],probe 2 [°C]\n0,25,26\n1,25,26\n2,25,26\n",
        &options,
    );
    assert_eq!(log.rows[0].water_c, Some(26.0));
}

#[test]
fn failed_readings_spikes_and_rows_written_twice_are_left_out_and_counted() {
    let mut text = String::from("time [min],water [°C]\n");
    for minute in 0..40 {
        let water = match minute {
            7 => "85.0",
            9 => "-127",
            12 => "unavailable",
            20 => "21.0",
            _ => "25.1",
        };
        text += &format!("{minute},{water}\n");
        if minute == 30 {
            text += "30,25.0\n";
        }
    }
    let log = read(&text, &plain());
    assert_eq!(
        (log.left_out.failed, log.left_out.spikes, log.left_out.twice),
        (3, 1, 1)
    );
    assert_eq!(log.left_out.first_line, Some(9));
    assert_eq!(log.rows.len(), 40);
    assert!(
        log.rows
            .iter()
            .filter_map(|row| row.water_c)
            .all(|temp_c| temp_c == 25.1)
    );
}

#[test]
fn a_water_change_is_no_spike() {
    let mut text = String::from("time [min],water [°C]\n");
    for minute in 0..40 {
        text += &format!("{minute},{}\n", if minute < 20 { 25.0 } else { 22.5 });
    }
    assert_eq!(read(&text, &plain()).left_out.spikes, 0);
}

#[test]
fn what_is_not_understood_is_told_with_line_and_column() {
    refused(
        "time,water [°C]\n2026-01-06 13:05,25\nyesterday,25\n",
        &plain(),
        &["log.csv:3:1", "`yesterday` is no time"],
    );
    refused(
        "time,water [°C]\n2026-01-06 13:05,25\n2026-01-06 13:06,warm\n",
        &plain(),
        &["log.csv:3:18", "`warm` is not a temperature"],
    );
    refused("", &plain(), &["says nothing"]);
    refused(
        "time,water [°C]\n2026-01-06 13:05,25\n",
        &plain(),
        &["fewer than three readings"],
    );
}

#[test]
fn a_logger_that_looks_regularly_is_told_from_one_that_writes_changes() {
    let regular = read("time [min],water [°C]\n0,25\n5,25\n10,25\n15,25\n", &plain());
    let changes = read(
        "time [min],water [°C]\n0,25\n5,25\n47,25\n48,25\n210,25\n",
        &plain(),
    );
    assert!(regular.is_regular() && !changes.is_regular());
    assert!(changes.interval_ms <= HOUR);
}

#[test]
fn whatever_a_logger_fills_an_empty_cell_with_is_no_reading_and_is_counted() {
    let words = [
        "-", "--", "---", "–", "?", "??", "...", "***", "NaN", "ERR", "null", "inf", "#N/A", "Failed",
        "no data",
    ];
    let mut text = String::from("time [min],water [°C],room [°C],heater\n");
    for (row, word) in words.iter().enumerate() {
        text += &format!("{},25.{},21,on\n", 3 * row, row % 3);
        text += &format!("{},{word},21,{word}\n", 3 * row + 1);
        text += &format!("{},,21,\n", 3 * row + 2);
    }
    let log = read(&text, &plain());
    // In the column of the water and in that of the heater.
    assert_eq!(
        (log.left_out.failed, log.left_out.blank),
        (2 * words.len(), words.len())
    );
    assert_eq!(log.left_out.first_line, Some(3));
    let without =
        |of: fn(&tepid_scenarios::log_file::LogRow) -> bool| log.rows.iter().filter(|row| of(row)).count();
    assert_eq!(without(|row| row.water_c.is_none()), 2 * words.len());
    assert_eq!(without(|row| row.heater.is_none()), 2 * words.len());
    // Beside a number such signs are none.
    refused(
        "time [min],water [°C]\n0,25\n1,25?\n2,25\n3,25\n",
        &plain(),
        &["log.csv:3:3", "`25?` is not a temperature"],
    );
}

#[test]
fn every_mistake_of_a_log_is_told_at_once() {
    let report = of_text(
        "log.csv",
        "time,water [°C],room [°C]\n2026-01-06 13:00,25,21\n2026-01-06 13:05,25x,21\n2026-01-06 13:02,25,21\n\
         yesterday,25,21\n2026-01-06 13:15,25,cold\n2026-01-06 13:12,25,21\n",
        &plain(),
    )
    .expect_err("mistakes");
    let places: Vec<(usize, usize)> = report
        .problems
        .iter()
        .map(|problem| problem.place.line_and_column())
        .collect();
    assert_eq!(
        places,
        [(3, 18), (4, 1), (5, 1), (6, 21), (7, 1)],
        "{}",
        report.plain()
    );
}

#[test]
fn rows_out_of_order_are_told_from_a_clock_that_was_set_back() {
    let regular = |minutes: &[i64]| {
        let stamps: Vec<String> = minutes
            .iter()
            .map(|minute| format!("2026-10-25 {:02}:{:02}", minute / 60, minute % 60))
            .collect();
        stamped(&stamps.iter().map(String::as_str).collect::<Vec<_>>())
    };
    let advice = |minutes: &[i64]| {
        of_text("log.csv", &regular(minutes), &plain())
            .expect_err("time goes back")
            .plain()
    };
    // Two rows that changed places, a block of yesterday's behind today's, a row of the morning in the evening.
    for minutes in [
        &[100, 105, 115, 110, 120, 125][..],
        &[600, 605, 610, 100, 105, 110],
        &[1200, 1205, 480, 1210, 1215],
    ] {
        let told = advice(minutes);
        assert!(
            told.contains("sort them") && !told.contains("--time-zone"),
            "{told}"
        );
    }
    // 02:55 and 02:00 again, in steps of 5 min; 02:45 and 02:00 again in steps of 15 min.
    for minutes in [
        &[165, 170, 175, 120, 125, 130, 135][..],
        &[135, 150, 165, 120, 135, 150, 165, 180],
    ] {
        let told = advice(minutes);
        assert!(told.contains("--time-zone"), "{told}");
    }
}

#[test]
fn rows_that_were_sorted_are_told() {
    let told = |stamps: [&str; 4]| read(&stamped(&stamps), &in_berlin()).assumptions.join(" ");
    let mixed = [
        "2026-01-06 13:00",
        "2026-01-06 13:10",
        "2026-01-06 13:05",
        "2026-01-06 13:15",
    ];
    assert!(told(mixed).contains("it went back once"), "{}", told(mixed));
    let newest_first = [
        "2026-01-06 13:15",
        "2026-01-06 13:10",
        "2026-01-06 13:05",
        "2026-01-06 13:00",
    ];
    assert!(
        !told(newest_first).contains("went back"),
        "{}",
        told(newest_first)
    );
}

#[test]
fn an_instant_is_named_as_the_log_names_it() {
    let log = read(
        &stamped(&[
            "2026-10-25 01:30",
            "2026-10-25 02:30",
            "2026-10-25 02:00",
            "2026-10-25 02:30",
            "2026-10-25 03:30",
            "2026-10-26 00:30",
        ]),
        &in_berlin(),
    );
    let names: Vec<String> = log.rows.iter().map(|row| log.instant(row.at_ms)).collect();
    assert_eq!(
        names,
        [
            "2026-10-25 01:30",
            "2026-10-25 02:30",
            "2026-10-25 02:00",
            "2026-10-25 02:30",
            "2026-10-25 03:30",
            "2026-10-26 00:30"
        ]
    );
    assert_eq!(log.line_at(log.rows[3].at_ms), 5);
    let undated = read("time [h],water [°C]\n0,25\n25.5,25\n48,25\n", &plain());
    assert_eq!(
        undated.instant(undated.rows[1].at_ms),
        "01:30 on day 2 of the log"
    );
}

#[test]
fn a_cell_too_many_is_told_since_a_decimal_comma_makes_one() {
    refused(
        "time [min],water [°C],heater\n0,25.1,on\n2,25,3,on\n4,25.2,on\n6,25.2,on\n",
        &plain(),
        &["log.csv:3:", "a cell too many", "decimal commas"],
    );
    // A separator at the end of a row is none.
    let log = read("time [min],water [°C]\n0,25.1,\n2,25.3,\n4,25.2,\n", &plain());
    assert_eq!(log.rows.len(), 3);
}

#[test]
fn a_column_whose_unit_is_missing_does_not_hide_mistakes_elsewhere() {
    let report = of_text(
        "log.csv",
        "time [min],water [°C],heater\n0,25.1,on\n2,abc,maybe\nsoon,25.2,on\n",
        &plain(),
    )
    .expect_err("mistakes");
    let places: Vec<usize> = report
        .problems
        .iter()
        .map(|problem| problem.place.line_and_column().0)
        .collect();
    assert_eq!(places, [3, 3, 4], "{}", report.plain());
}

#[test]
fn water_that_no_aquarium_has_asks_for_the_unit() {
    refused(
        "time [min],water [°F]\n0,25.1\n2,25.2\n4,25.3\n6,25.2\n",
        &plain(),
        &["fewer than three readings", "-2 to 50 °C", "is the unit right?"],
    );
}

#[test]
fn the_nearest_name_of_a_column_is_told() {
    refused(
        "time [min],watter [°C]\n0,25.1\n2,25.2\n4,25.3\n",
        &plain(),
        &[
            "no column is known to hold the temperature of the water",
            "`water`",
        ],
    );
}

#[test]
fn an_hour_that_is_missing_is_asked_about() {
    let stamps: Vec<String> = [0, 30, 60, 90, 180, 210, 240]
        .iter()
        .map(|minute| format!("2026-03-29 {:02}:{:02}", minute / 60, minute % 60))
        .collect();
    let text = stamped(&stamps.iter().map(String::as_str).collect::<Vec<_>>());
    let told = read(&text, &plain()).assumptions.join(" ");
    assert!(told.contains("an hour is missing before line 6"), "{told}");
}
