//! Weather files: what is read, at which time of the run, and what is refused.
//!
//! Truth from outside: `data/weather_day.csv` and `data/weather_week.csv`, hours out of a published typical
//! meteorological year (their first lines name it). They are written out in each format and read back.

use std::path::{Path, PathBuf};

use proptest::prelude::*;
use tepid_scenarios::{Report, Setting, load_file};
use tepid_sim::scenario::{Humidity, Scenario};
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};

const DAY_TABLE: &str = include_str!("data/weather_day.csv");
const WEEK_TABLE: &str = include_str!("data/weather_week.csv");

/// One hour of the outside tables.
#[derive(Debug, Clone)]
struct Hour {
    /// Hours since 00:00 of the table's first day.
    ends_h: Millis,
    date: String,
    time: String,
    temp_c: String,
    humidity: String,
}

fn table(text: &str, label: &str) -> Vec<Hour> {
    text.lines()
        .filter(|line| line.starts_with(&format!("{label},")))
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            Hour {
                ends_h: cells[1].parse::<Millis>().expect("a whole hour") + 1,
                date: cells[2].to_owned(),
                time: cells[3].to_owned(),
                temp_c: cells[4].to_owned(),
                humidity: cells[5].to_owned(),
            }
        })
        .collect()
}

/// A folder of its own for a test's files, gone at its end.
struct Folder(PathBuf);

impl Folder {
    fn new(test: &str) -> Self {
        let path = std::env::temp_dir().join(format!("tepid-weather-{test}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder for the test");
        Self(path)
    }

    fn write(&self, name: &str, bytes: impl AsRef<[u8]>) {
        std::fs::write(self.0.join(name), bytes).expect("a file for the test");
    }

    /// A scenario in this folder with this `weather`, loaded from elsewhere.
    fn load(&self, duration: &str, weather: &str) -> Result<Scenario, Report> {
        self.load_room(duration, &format!("weather = {weather}"))
    }

    fn load_room(&self, duration: &str, room: &str) -> Result<Scenario, Report> {
        let text = format!(
            "title = \"weather\"\nduration = \"{duration}\"\nwarm_up = \"0 s\"\n[water]\ntarget = \"25 °C\"\n[room]\n{room}\n[[tank]]\nname = \"tank\"\nvolume = \"100 L\"\n"
        );
        self.write("tank.toml", text);
        match load_file(&self.0.join("tank.toml"))? {
            tepid_scenarios::Loaded::Scenario(scenario) => Ok(*scenario),
            other => panic!("{other:?}"),
        }
    }

    fn loads(&self, duration: &str, weather: &str) -> Scenario {
        self.load(duration, weather)
            .unwrap_or_else(|report| panic!("{}", report.plain()))
    }

    /// The one mistake: its code, line and column in the weather file.
    fn refusal(&self, duration: &str, weather: &str) -> (&'static str, usize, usize, String) {
        let report = self.load(duration, weather).expect_err("it is refused");
        assert_eq!(report.problems.len(), 1, "{}", report.plain());
        let problem = &report.problems[0];
        let (line, column) = problem.place.line_and_column();
        assert!(!report.coloured().is_empty());
        (problem.code, line, column, report.plain())
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

const TMY3_HEAD: &str = "999999,\"NOWHERE, SOMEWHERE\",NO,-5.0,36.1,-79.95,273\nDate (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),GHI source,Dry-bulb (C),Dry-bulb source,RHum (%)\n";

fn percent(fraction: &str) -> String {
    format!("{:.0}", fraction.parse::<f64>().expect("a figure") * 100.0)
}

fn tmy3(hours: &[Hour]) -> String {
    let rows = hours.iter().map(|hour| {
        let Hour {
            date,
            time,
            temp_c,
            humidity,
            ..
        } = hour;
        format!("{date},{time},0,1,{temp_c},A,{}\n", percent(humidity))
    });
    TMY3_HEAD.to_owned() + &rows.collect::<String>()
}

fn epw(hours: &[Hour]) -> String {
    let rows = hours.iter().map(|hour| {
        let (month, day) = (&hour.date[..2], &hour.date[3..5]);
        let (hour_number, temp_c, relative) = (&hour.time[..2], &hour.temp_c, percent(&hour.humidity));
        format!("1999,{month},{day},{hour_number},0,?9?9E0,{temp_c},1.0,{relative},99100,0,0,300,0,0,0\n")
    });
    epw_head(1) + &rows.collect::<String>()
}

fn epw_head(per_hour: u32) -> String {
    format!(
        "LOCATION,Nowhere,SM,NOW,TMY3,999999,36.1,-79.9,-5.0,273.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,made up\nCOMMENTS 2,made up\nDATA PERIODS,1,{per_hour},Data,Sunday,1/1,12/31\n"
    )
}

fn plain(hours: &[Hour]) -> String {
    let rows = hours
        .iter()
        .map(|hour| format!("{},{},{},{}\n", hour.date, hour.time, hour.temp_c, hour.humidity));
    "date,time,temperature [°C],relative humidity [0-1]\n".to_owned() + &rows.collect::<String>()
}

#[test]
fn every_hour_of_the_published_tables_reads_back_exactly_in_every_format() {
    let folder = Folder::new("exact");
    for (text, duration, count) in [(DAY_TABLE, "24 h", 24), (WEEK_TABLE, "7 d", 168)] {
        for (label, from) in [("january", "01-08"), ("july", "8 July")] {
            let hours = table(text, label);
            assert_eq!(hours.len(), count);
            let temperature: Vec<(Millis, f64)> = hours
                .iter()
                .map(|hour| (hour.ends_h * HOUR, hour.temp_c.parse().unwrap()))
                .collect();
            let humidity: Vec<(Millis, f64)> = hours
                .iter()
                .map(|hour| (hour.ends_h * HOUR, hour.humidity.parse().unwrap()))
                .collect();
            for (name, written) in [
                ("t.csv", tmy3(&hours)),
                ("e.epw", epw(&hours)),
                ("p.csv", plain(&hours)),
            ] {
                folder.write(name, &written);
                let room = folder
                    .loads(duration, &format!("{{ file = \"{name}\", from = \"{from}\" }}"))
                    .room;
                assert_eq!(room.temperature.course, temperature, "{label} {name}");
                assert_eq!(room.humidity_course, humidity, "{label} {name}");
            }
        }
    }
}

#[test]
fn the_room_s_extremes_and_mean_humidity_are_those_of_the_scored_hours() {
    let folder = Folder::new("extremes");
    let hours = table(DAY_TABLE, "january");
    folder.write("t.csv", tmy3(&hours));
    let room = folder
        .loads("24 h", "{ file = \"t.csv\", from = \"01-08\" }")
        .room;
    let temps = hours.iter().map(|hour| hour.temp_c.parse::<f64>().unwrap());
    assert_eq!(room.coldest.temp_c, temps.clone().fold(f64::INFINITY, f64::min));
    assert_eq!(room.warmest.temp_c, temps.fold(f64::NEG_INFINITY, f64::max));
    let mean = hours
        .iter()
        .map(|hour| hour.humidity.parse::<f64>().unwrap())
        .sum::<f64>()
        / 24.0;
    assert_eq!(room.humidity, Humidity::ConstantRelative { relative_frac: mean });
}

/// 8760 hours whose temperature tells the hour of the year: hour n ends at n h and has n/1000 °C, sun n/10 W/m².
fn whole_year(leave_out: Option<usize>) -> String {
    let days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let mut text = TMY3_HEAD.to_owned();
    let mut number = 0;
    for (month, count) in days.into_iter().enumerate() {
        for day in 1..=count {
            for hour in 1..=24 {
                number += 1;
                if leave_out == Some(number) {
                    continue;
                }
                let year = 1980 + month;
                text += &format!(
                    "{:02}/{day:02}/{year},{hour:02}:00,{},1,{},A,50\n",
                    month + 1,
                    number as f64 / 10.0,
                    number as f64 / 1000.0
                );
            }
        }
    }
    text
}

#[test]
fn a_typical_year_begins_again_at_its_end() {
    let folder = Folder::new("year");
    folder.write("year.csv", whole_year(None));
    let room = folder
        .loads("3 d", "{ file = \"year.csv\", from = \"31 December\" }")
        .room;
    let at = |time: Millis| {
        let found = room.temperature.course.iter().find(|(at, _)| *at == time);
        found.map(|(_, temp_c)| *temp_c)
    };
    assert_eq!(at(0), Some(8.736), "hour 364 × 24 closes 30 December");
    assert_eq!(at(DAY), Some(8.76), "24:00 closes the year");
    assert_eq!(at(DAY + HOUR), Some(0.001), "01:00 of 1 January");
    assert_eq!(at(6 * DAY), Some(0.12), "weather goes on three days past the end");
    assert!(room.temperature.course.is_sorted_by(|a, b| a.0 < b.0));
    assert_eq!(room.sun_course.len(), room.temperature.course.len());
}

#[test]
fn the_sun_of_an_hour_stands_in_its_middle() {
    let folder = Folder::new("sun");
    folder.write("year.csv", whole_year(None));
    let room = folder
        .loads("1 d", "{ file = \"year.csv\", from = \"01-02\" }")
        .room;
    // The hour that ends at 01:00 of 2 January is the 25th.
    assert!(room.sun_course.contains(&(30 * MINUTE, 2.5)));
    assert!(room.temperature.course.contains(&(HOUR, 0.025)));
}

#[test]
fn an_epw_file_with_half_hours_has_mean_sun_in_watts() {
    let folder = Folder::new("half-hours");
    let mild: String = (0..96)
        .map(|half| {
            let (day, hour, minute) = (
                1 + half / 48,
                half % 48 / 2 + 1,
                if half % 2 == 0 { 30 } else { 60 },
            );
            format!(
                "1999,6,{day},{hour},{minute},?9,{},0,50,99100,0,0,300,100,0,0\n",
                half as f64 / 4.0
            )
        })
        .collect();
    folder.write("half.epw", epw_head(2) + &mild);
    let room = folder
        .loads("1 d", "{ file = \"half.epw\", from = \"06-01\" }")
        .room;
    assert_eq!(room.temperature.course[..2], [(30 * MINUTE, 0.0), (HOUR, 0.25)]);
    // 100 Wh/m² within half an hour are 200 W/m², at 15 min.
    assert_eq!(room.sun_course[0], (15 * MINUTE, 200.0));
}

#[test]
fn a_plain_table_means_what_its_header_says() {
    let folder = Folder::new("plain");
    folder.write(
        "log.csv",
        "# a logger on the window sill\nTime;Temperature (°F);RH [%];Sun [W/m²];note\n\
         2025-01-06 00:00;68;50;0;-\n2025-01-06T00:30:00;77;105;-3;\n2025-01-06 01:00;86;60;250.5;x\n",
    );
    let room = folder
        .loads("1 h", "{ file = \"log.csv\", from = \"01-06\" }")
        .room;
    let times = [0, 30 * MINUTE, HOUR];
    assert_eq!(
        room.temperature.course,
        [(times[0], 20.0), (times[1], 25.0), (times[2], 30.0)]
    );
    assert_eq!(
        room.humidity_course,
        [(times[0], 0.5), (times[1], 1.0), (times[2], 0.6)]
    );
    assert_eq!(
        room.sun_course,
        [(times[0], 0.0), (times[1], 0.0), (times[2], 250.5)]
    );

    folder.write(
        "bare.csv",
        "time,temperature_c\n2025-01-06 00:00,20\n2025-01-06 01:00,21\n",
    );
    let room = folder
        .load_room(
            "1 h",
            "humidity = \"40 %\"\nweather = { file = \"bare.csv\", from = \"01-06\" }",
        )
        .unwrap()
        .room;
    assert_eq!(room.humidity, Humidity::ConstantRatio { relative_frac: 0.4 });
    assert!(room.humidity_course.is_empty() && room.sun_course.is_empty());
}

#[test]
fn the_start_date_is_the_first_day_where_no_other_is_said() {
    let folder = Folder::new("start-date");
    folder.write("year.csv", whole_year(None));
    let (code, ..) = folder.refusal("1 d", "{ file = \"year.csv\" }");
    assert_eq!(code, "no-start-date");
    let text = std::fs::read_to_string(folder.0.join("tank.toml")).unwrap();
    folder.write("dated.toml", format!("start_date = \"2025-01-02\"\n{text}"));
    let path = folder.0.join("dated.toml");
    let scenario = tepid_scenarios::scenario(&path.to_string_lossy(), &[]).unwrap();
    assert!(scenario.room.temperature.course.contains(&(HOUR, 0.025)));
    // A setting of the command line has no folder of its own: its path starts from where the command runs.
    let setting = Setting::new("room.weather.file", "nowhere.csv");
    let report = tepid_scenarios::scenario(&path.to_string_lossy(), &[setting]).unwrap_err();
    assert_eq!(
        report.problems[0].code,
        "unreadable-weather",
        "{}",
        report.plain()
    );
}

#[test]
fn gaps_and_disorder_are_shown_at_their_row() {
    let folder = Folder::new("gaps");
    folder.write("gap.csv", whole_year(Some(1000)));
    let (code, line, column, text) = folder.refusal("1 d", "{ file = \"gap.csv\", from = \"01-02\" }");
    // Two lines of head, 999 rows, then the row after the gap.
    assert_eq!((code, line, column), ("weather-gap", 1002, 1), "{text}");
    assert!(text.contains("between 02-11 15:00 and 02-11 17:00"), "{text}");

    let rows = ["00:00", "01:00", "03:00", "02:00"].map(|time| format!("2025-01-06 {time},20\n"));
    folder.write("order.csv", format!("time,temp_c\n{}", rows.concat()));
    let (code, line, column, text) = folder.refusal("1 h", "{ file = \"order.csv\", from = \"01-06\" }");
    assert_eq!((code, line, column), ("weather-gap", 5, 1), "{text}");
    assert!(
        text.contains("does not come after") && text.contains("not in order"),
        "{text}"
    );

    folder.write(
        "twice.csv",
        "time,temp_c\n2025-01-06 00:00,20\n2025-01-06 00:00,20\n",
    );
    let (code, line, _, text) = folder.refusal("1 h", "{ file = \"twice.csv\", from = \"01-06\" }");
    assert_eq!((code, line), ("weather-gap", 3), "{text}");
}

#[test]
fn two_rows_of_a_year_that_changed_places_are_not_in_order_and_nothing_is_missing() {
    let folder = Folder::new("swapped");
    let whole = whole_year(None);
    let mut lines: Vec<&str> = whole.lines().collect();
    // Two lines of head, then 01:00: 5:00 and 6:00 change places.
    lines.swap(6, 7);
    folder.write("swapped.csv", lines.join("\n"));
    let (code, line, _, text) = folder.refusal("1 d", "{ file = \"swapped.csv\", from = \"01-02\" }");
    assert_eq!((code, line), ("weather-gap", 8), "{text}");
    assert!(
        text.contains("01-01 05:00 does not come after 01-01 06:00"),
        "{text}"
    );
    assert!(!text.contains("missing"), "{text}");
}

#[test]
fn a_bad_row_is_shown_with_line_and_column() {
    let folder = Folder::new("rows");
    let good = "time,temp [°C],humidity [%],sun [W/m2]\n2025-01-06 00:00,20,50,0\n";
    for (row, column) in [
        ("2025-01-06 01:00,,50,0", 18),
        ("2025-01-06 01:00,warm,50,0", 18),
        ("2025-01-06 01:00,293.15,50,0", 18),
        ("2025-01-06 01:00,nan,50,0", 18),
        ("2025-01-06 01:00,20,150,0", 21),
        ("2025-01-06 01:00,20,50,-9900", 24),
        ("2025-01-06 01:00,20", 1),
        ("2025-02-30 01:00,20,50,0", 1),
        ("2025-01-06 25:00,20,50,0", 1),
        ("06.01.2025 01:00,20,50,0", 1),
        ("2025-01-06 01:00+02:00,20,50,0", 1),
    ] {
        folder.write("log.csv", format!("{good}{row}\n"));
        let report = folder
            .load("1 h", "{ file = \"log.csv\", from = \"01-06\" }")
            .unwrap_err();
        let problem = &report.problems[0];
        assert_eq!(
            (problem.code, problem.place.line_and_column()),
            ("weather-row", (3, column)),
            "{}",
            report.plain()
        );
    }
    let text = tmy3(&table(DAY_TABLE, "january"))
        .replacen(",A,", ",B,", 1)
        .replacen(",-9.4,B", ",-9900,B", 1);
    folder.write("missing.csv", text);
    let (code, line, _, text) = folder.refusal("1 h", "{ file = \"missing.csv\", from = \"01-08\" }");
    assert_eq!((code, line), ("weather-row", 3), "{text}");
}

#[test]
fn columns_that_are_missing_or_have_no_unit_are_named() {
    let folder = Folder::new("columns");
    for (header, code, column) in [
        ("time,humidity [%]", "weather-column", 1),
        ("when,temperature [°C]", "weather-column", 1),
        ("time,temperature", "weather-unit", 6),
        ("time,temperature [K]", "weather-unit", 6),
        ("time,temp_c,rh", "weather-unit", 13),
        ("time,temp_c,sun [kWh]", "weather-unit", 13),
    ] {
        folder.write(
            "log.csv",
            format!("{header}\n2025-01-06 00:00,20,50\n2025-01-06 01:00,20,50\n"),
        );
        let (found, line, at, text) = folder.refusal("1 h", "{ file = \"log.csv\", from = \"01-06\" }");
        assert_eq!((found, line, at), (code, 1, column), "{text}");
    }
    folder.write(
        "short.csv",
        TMY3_HEAD.replace("Dry-bulb (C)", "Wet-bulb (C)") + "01/08/1988,01:00,0,1,2,A,50\n",
    );
    let (code, line, _, text) = folder.refusal("1 h", "{ file = \"short.csv\", from = \"01-08\" }");
    assert_eq!((code, line), ("weather-column", 2), "{text}");
}

#[test]
fn a_file_that_does_not_cover_the_run_is_refused() {
    let folder = Folder::new("short");
    folder.write("day.csv", tmy3(&table(DAY_TABLE, "january")));
    for (duration, from) in [
        ("2 d", "01-08"),
        ("1 d", "01-09"),
        ("1 d", "01-07"),
        ("1 d", "07-08"),
    ] {
        let (code, _, _, text) =
            folder.refusal(duration, &format!("{{ file = \"day.csv\", from = \"{from}\" }}"));
        assert_eq!(code, "weather-short", "{text}");
    }
    for text in [
        "",
        "\n\n# nothing\n",
        "time,temp_c\n",
        "time,temp_c\n2025-01-06 00:00,20\n",
        &epw_head(1),
    ] {
        folder.write("empty", text);
        let (code, ..) = folder.refusal("1 h", "{ file = \"empty\", from = \"01-06\" }");
        assert_eq!(code, "weather-empty", "{text}");
    }
}

#[test]
fn a_warm_up_before_the_file_is_said_to_be_assumed() {
    let folder = Folder::new("warm-up");
    folder.write("day.csv", tmy3(&table(DAY_TABLE, "january")));
    let plain = folder.loads("1 d", "{ file = \"day.csv\", from = \"01-08\" }");
    let says = |scenario: &Scenario| {
        scenario
            .assumptions
            .iter()
            .any(|line| line.contains("weather of the warm-up"))
    };
    assert!(!says(&plain));
    let text = std::fs::read_to_string(folder.0.join("tank.toml")).unwrap();
    folder.write(
        "warm.toml",
        text.replace("warm_up = \"0 s\"", "warm_up = \"1 d\""),
    );
    let warm = tepid_scenarios::scenario(&folder.0.join("warm.toml").to_string_lossy(), &[]).unwrap();
    assert!(says(&warm), "{:?}", warm.assumptions);
}

#[test]
fn what_a_weather_file_holds_cannot_be_stated_beside_it() {
    let folder = Folder::new("beside");
    folder.write("year.csv", whole_year(None));
    for field in ["temperature = \"20 °C\"", "humidity = \"50 %\""] {
        let room = format!("weather = {{ file = \"year.csv\", from = \"01-02\" }}\n{field}");
        let report = folder.load_room("1 d", &room).unwrap_err();
        assert_eq!(
            report.problems[0].code,
            "weather-and-stated",
            "{}",
            report.plain()
        );
    }
    let report = folder.load_room("1 d", "humidity = \"50 %\"").unwrap_err();
    assert_eq!(report.problems[0].code, "missing-field", "{}", report.plain());
}

#[test]
fn a_missing_file_a_folder_and_a_file_of_60_mb_are_mistakes_of_the_scenario() {
    let folder = Folder::new("unreadable");
    std::fs::File::create(folder.0.join("big.csv"))
        .unwrap()
        .set_len(60_000_000)
        .unwrap();
    for file in ["nowhere.csv", ".", "big.csv"] {
        let report = folder
            .load("1 d", &format!("{{ file = \"{file}\", from = \"01-02\" }}"))
            .unwrap_err();
        assert_eq!(report.problems.len(), 1);
        let problem = &report.problems[0];
        assert_eq!(problem.code, "unreadable-weather", "{}", report.plain());
        assert!(Path::new(&problem.place.source.name).ends_with("tank.toml"));
    }
}

#[test]
fn a_year_of_nothing_but_bad_rows_is_a_short_report() {
    let folder = Folder::new("bad-year");
    folder.write("bad.csv", whole_year(None).replace(",A,", ",A,x"));
    let report = folder
        .load("1 d", "{ file = \"bad.csv\", from = \"01-02\" }")
        .unwrap_err();
    assert_eq!(report.problems.len(), 10);
    assert!(report.plain().len() < 10_000);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_bytes_make_the_reader_panic(
        start in 0_usize..4,
        edits in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0_u8..3), 0..8),
        noise in proptest::collection::vec(any::<u8>(), 0..300),
    ) {
        let folder = Folder::new("any");
        let hours = table(DAY_TABLE, "january");
        let mut bytes = match start {
            0 => tmy3(&hours).into_bytes(),
            1 => epw(&hours).into_bytes(),
            2 => plain(&hours).into_bytes(),
            _ => noise,
        };
        for (index, byte, what) in edits {
            if bytes.is_empty() { break; }
            let at = index.index(bytes.len());
            match what {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                _ => { bytes.remove(at); }
            }
        }
        folder.write("any.csv", bytes);
        if let Err(report) = folder.load("1 d", "{ file = \"any.csv\", from = \"01-08\" }") {
            prop_assert!(!report.plain().is_empty());
            prop_assert!(!report.coloured().is_empty());
            prop_assert!(report.json().is_object());
        }
    }
}
