//! A study in every format.

use quick_junit::{NonSuccessKind, Report, TestCaseStatus};
use tepid_output::json::json;
use tepid_output::records::{GateBound, GateVerdict, ScoreUnit, StudyGroup, StudyResult};
use tepid_output::table::{self, WIDTH};
use tepid_output::wording::{MISSING, Units};
use tepid_output::{csv_text, junit, markdown, schema};

use crate::study_examples::{REPLAY, WINTER, bare, gate, study};

#[test]
fn a_study_reads_as_a_table() {
    insta::assert_snapshot!(table::study(&study(), Units::Metric));
}

#[test]
fn a_study_reads_as_a_table_in_us_units() {
    insta::assert_snapshot!(table::study(&study(), Units::Us));
}

#[test]
fn an_unfinished_study_says_so_first() {
    insta::assert_snapshot!(table::study(&bare(), Units::Metric));
}

#[test]
fn a_study_is_published_as_csv() {
    insta::assert_snapshot!(csv_text::study(&study()).unwrap());
}

#[test]
fn a_study_is_published_as_markdown() {
    insta::assert_snapshot!(markdown::study(&study()));
}

#[test]
fn a_study_is_published_as_junit() {
    insta::assert_snapshot!(junit::study(&study()).unwrap());
}

#[test]
fn json_read_back_is_the_same_study() {
    for written in [study(), bare()] {
        let read: StudyResult = serde_json::from_str(&json(&written).unwrap()).unwrap();
        assert_eq!(read, written);
    }
}

#[test]
fn broken_gates_stand_before_everything_else_and_their_command_can_be_copied() {
    let mut record = study();
    let long = format!("tepid run --cell {} study.toml", "x".repeat(120));
    record.gates[0].replay = Some(long.clone());
    let text = table::study(&record, Units::Metric);
    let gates = text.find("Broken gates").unwrap();
    assert!(gates < text.find("Strategy").unwrap(), "{text}");
    assert!(text.lines().any(|line| line.trim() == long), "{text}");
    assert!(markdown::study(&record).contains(&format!("`{long}`")));
}

#[test]
fn no_line_of_a_studys_table_is_wider_than_100_columns_but_the_commands() {
    let mut long = study();
    long.title = "A title that goes on and on, ".repeat(9);
    for group in &mut long.groups {
        group.strategy += " with deadband = 0.4 K and some more that was varied in a long list of things";
        group.scenario +=
            ", heater.left.power = 150 W, room.temperature.mean = 17 °C, water.target = 26.5 °C";
    }
    long.failures[0].reason = "x".repeat(250);
    for score in long.groups.iter_mut().flat_map(|group| &mut group.scores) {
        score.worst.value += 100.0;
        score.mean += 9.0;
        score.mean_interval = Some([score.mean - 8.0, score.mean + 8.0]);
    }
    for units in [Units::Metric, Units::Us] {
        for record in [&long, &study(), &bare()] {
            for line in table::study(record, units).lines() {
                assert!(line.chars().count() <= WIDTH || line.contains(REPLAY), "{line}");
            }
        }
    }
}

#[test]
fn a_gate_that_is_hardly_broken_reads_as_broken() {
    let told = |value: f64, limit: f64, unit: ScoreUnit, units: Units| {
        let mut record = study();
        record.gates[0].value = Some(value);
        record.gates[0].unit = unit;
        record.gates[0].bound = GateBound::AtMost { limit };
        let text = table::study(&record, units);
        let line = text
            .lines()
            .find(|line| line.starts_with("- hot dose used"))
            .unwrap();
        line.split(':')
            .next()
            .unwrap()
            .trim_start_matches("- hot dose used ")
            .to_owned()
    };
    let metric = |value, limit, unit| told(value, limit, unit, Units::Metric);
    assert_eq!(
        metric(0.5004, 0.5, ScoreUnit::Kelvin),
        "0.5004 K in the worst run, allowed is at most 0.50 K"
    );
    assert_eq!(
        metric(0.5000001, 0.5, ScoreUnit::Share),
        "0.5000001 in the worst run, allowed is at most 0.50"
    );
    assert_eq!(
        metric(15.25, 12.0, ScoreUnit::Share),
        "15.25 in the worst run, allowed is at most 12"
    );
    assert_eq!(
        told(30.01, 30.0, ScoreUnit::Celsius, Units::Us),
        "86.018 °F in the worst run, allowed is at most 86.0 °F"
    );
    assert_eq!(
        metric(0.51, 0.5, ScoreUnit::Kelvin),
        "0.51 K in the worst run, allowed is at most 0.50 K"
    );
}

#[test]
fn fault_cases_that_read_the_same_are_told_once() {
    let mut record = study();
    let again: Vec<StudyGroup> = record.groups[2..]
        .iter()
        .map(|group| StudyGroup {
            case: "relay right welded".to_owned(),
            ..group.clone()
        })
        .collect();
    let tables = |record: &StudyResult| table::study(record, Units::Metric).matches("\nStrategy").count();
    let before = tables(&record);
    record.groups.extend(again.clone());
    assert_eq!(tables(&record), before);
    let text = table::study(&record, Units::Metric);
    assert!(
        text.contains("one contact welded: relay left welded and relay right welded: 64 runs"),
        "{text}"
    );
    record.groups.extend(again.into_iter().map(|group| StudyGroup {
        case: "dial welded".to_owned(),
        replicates: 32,
        ..group
    }));
    assert_eq!(tables(&record), before + 1);
}

#[test]
fn a_study_without_gates_says_nothing_of_gates() {
    let mut record = study();
    record.gates.clear();
    assert!(!table::study(&record, Units::Metric).contains(" gate"));
    assert!(markdown::study(&record).contains("**No gates.**"));
}

#[test]
fn a_broken_gate_turns_its_case_red_in_junit_with_all_that_is_needed_to_see_it() {
    let xml = junit::study(&study()).unwrap();
    let report = Report::deserialize_from_str(&xml).unwrap();
    assert_eq!((report.tests, report.failures, report.errors), (2, 1, 0));
    let suite = &report.test_suites[0];
    assert_eq!(suite.name.as_str(), "winter-gates");
    let [healthy, welded] = suite.test_cases.as_slice() else {
        panic!("{xml}");
    };
    assert_eq!(
        (
            healthy.classname.as_ref().unwrap().as_str(),
            healthy.name.as_str()
        ),
        (WINTER, "nothing broken")
    );
    assert!(matches!(healthy.status, TestCaseStatus::Success { .. }));
    assert_eq!(welded.name.as_str(), "one contact welded: relay left welded");
    let TestCaseStatus::NonSuccess {
        kind,
        message,
        description,
        ..
    } = &welded.status
    else {
        panic!("{xml}");
    };
    assert_eq!(*kind, NonSuccessKind::Failure);
    let message = message.as_ref().unwrap().as_str();
    for part in [
        "hot dose used",
        "> 10",
        "at most 0.50",
        "on-off",
        "tank display",
        REPLAY,
    ] {
        assert!(message.contains(part), "{part} in {message}");
    }
    let all = description.as_ref().unwrap().as_str();
    for part in [
        "0.91",
        "0.88 at worst (baseline 0.80)",
        "spare-room-winter/fixed-duty/3",
        "division by zero",
        "could not be judged",
    ] {
        assert!(all.contains(part), "{part} in {all}");
    }
    assert!(!xml.contains("time"), "{xml}");
}

#[test]
fn a_run_without_a_result_is_an_error_in_junit_and_a_case_that_was_not_run_is_skipped() {
    let mut record = study();
    record.gates.retain(|gate| gate.verdict == GateVerdict::Holds);
    let counts = |record: &StudyResult| {
        let report = Report::deserialize_from_str(&junit::study(record).unwrap()).unwrap();
        (report.tests, report.failures, report.errors)
    };
    assert_eq!(counts(&record), (2, 0, 1));
    record.failures.clear();
    assert_eq!(counts(&record), (2, 0, 0));
    record.gates.push(gate("on-off", None, GateVerdict::NotJudged));
    assert_eq!(counts(&record), (2, 0, 1));
    record.gates.clear();
    for group in &mut record.groups[..2] {
        group.replicates = 0;
    }
    assert!(junit::study(&record).unwrap().contains("<skipped"));
}

#[test]
fn names_cannot_break_out_of_markdown_or_xml() {
    let mut record = study();
    record.gates[0].strategy = "a|b <script> `c` *d* & \"e\"".to_owned();
    record.gates[0].replay = Some("tepid run --cell 'a|b`c`' study.toml".to_owned());
    let text = markdown::study(&record);
    let line = text.lines().find(|line| line.contains("script")).unwrap();
    assert!(line.contains(r"a\|b &lt;script> \`c\` \*d\* &amp;"), "{line}");
    let bars = |line: &str| line.replace("\\|", "").matches('|').count();
    let head = text.lines().find(|line| line.starts_with("| Score")).unwrap();
    assert_eq!(bars(line), bars(head), "{line}");
    let xml = junit::study(&record).unwrap();
    assert!(xml.contains("a|b &lt;script&gt;"), "{xml}");
    Report::deserialize_from_str(&xml).unwrap();
}

#[test]
fn what_a_study_does_not_know_is_missing_in_every_format() {
    let record = bare();
    let table = table::study(&record, Units::Metric);
    let line = |start: &str| table.lines().find(|line| line.starts_with(start)).unwrap();
    assert!(line("proportional").trim_end().ends_with(MISSING), "{table}");
    assert!(
        line("- hot dose used").contains(&format!("hot dose used {MISSING} in")),
        "{table}"
    );
    assert!(!table.contains('±') || table.contains("means ±"), "{table}");

    let csv = csv_text::study(&record).unwrap();
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let head = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let known = |row: &csv::StringRecord| -> Vec<String> {
        let cells = head.iter().zip(row).filter(|(_, cell)| !cell.is_empty());
        cells.map(|(name, _)| name.to_owned()).collect()
    };
    assert_eq!(
        known(&rows[0]).join(" "),
        "scenario strategy fault_set case replicates failed score unit runs mean quantile_05 quantile_50 quantile_95 worst worst_replicate \
         worst_cell reference pairs difference shown confidence_frac seed complete"
    );
    assert_eq!(
        known(&rows[1]).join(" "),
        "scenario strategy fault_set case replicates failed confidence_frac seed complete"
    );
    assert_eq!(
        known(&rows[2]).join(" "),
        "scenario strategy does_not_apply confidence_frac seed complete"
    );

    let value: serde_json::Value = serde_json::from_str(&json(&record).unwrap()).unwrap();
    let score = &value["groups"][0]["scores"][0];
    for field in ["mean_interval", "standard_deviation", "rank"] {
        assert!(
            score.as_object().unwrap().contains_key(field) && score[field].is_null(),
            "{field}"
        );
    }
    assert!(value["gates"][0]["value"].is_null() && value["gates"][0]["worst"].is_null());

    let markdown = markdown::study(&record);
    let row = markdown
        .lines()
        .find(|line| line.contains("| proportional |"))
        .unwrap();
    assert!(row.ends_with(&format!("| {MISSING} |")), "{row}");
    let xml = junit::study(&record).unwrap();
    assert!(xml.contains(&format!("hot dose used {MISSING}")), "{xml}");
}

/// Run with `UPDATE_SCHEMA=1` to write it anew.
#[test]
fn the_committed_schema_of_a_study_result_is_current() {
    let path =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/schema/study-result.schema.json");
    let text = json(&schema::study_result()).unwrap();
    if std::env::var_os("UPDATE_SCHEMA").is_some() {
        std::fs::write(&path, &text).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        committed == text,
        "docs/schema/study-result.schema.json is not current"
    );
}

#[test]
fn studies_are_valid_by_the_schema_and_broken_ones_are_not() {
    let schema = serde_json::to_value(schema::study_result()).unwrap();
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::validator_for(&schema).unwrap();
    for record in [study(), bare()] {
        let value = serde_json::to_value(&record).unwrap();
        let problems: Vec<String> = validator.iter_errors(&value).map(|one| one.to_string()).collect();
        assert!(problems.is_empty(), "{problems:?}");
    }
    let whole = serde_json::to_value(study()).unwrap();
    let broken = |pointer: &str, value: serde_json::Value| {
        let mut broken = whole.clone();
        *broken.pointer_mut(pointer).unwrap() = value;
        !validator.is_valid(&broken)
    };
    assert!(broken("/format", "tepid-run".into()));
    assert!(broken("/version", 99.into()));
    assert!(broken("/gates/0/verdict", "red".into()));
    assert!(broken("/gates/0/bound/is", "about".into()));
    assert!(broken("/groups/0/scores/0/mean", "0.3".into()));
    assert!(broken("/groups/0/scores/0/unit", "furlong".into()));
    assert!(broken(
        "/groups/0/scores/0/mean_interval",
        serde_json::json!([0.1])
    ));
    assert!(broken("/groups/0/replicates", serde_json::json!(-1)));
    assert!(!broken(
        "/groups/0/scores/0/mean_interval",
        serde_json::Value::Null
    ));
    let mut without = whole.clone();
    without.as_object_mut().unwrap().remove("groups");
    assert!(!validator.is_valid(&without));
}
