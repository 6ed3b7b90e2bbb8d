//! The runs of a study, row by row.

use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use tepid_output::cells::{CellsCsv, CellsError, CellsParquet};

use crate::study_examples::{CELL_SCORES, cells};

const COLUMNS: &str = "cell scenario strategy fault_set case replicate began_h failure overshoot_k highest_temperature_c time_above_band_h \
                       energy_kwh hot_dose_used_frac closings_per_day";

fn csv(count: u64) -> String {
    let mut writer = CellsCsv::new(Vec::new(), &CELL_SCORES).expect("written and read in memory");
    for row in cells(count) {
        writer.write(&row).expect("written and read in memory");
    }
    String::from_utf8(writer.finish().expect("written and read in memory"))
        .expect("written and read in memory")
}

fn parquet(count: u64) -> Vec<u8> {
    let mut writer = CellsParquet::new(Vec::new(), &CELL_SCORES).expect("written and read in memory");
    for row in cells(count) {
        writer.write(row).expect("written and read in memory");
    }
    writer.finish().expect("written and read in memory")
}

/// All fields of a Parquet file as text, empty where there is none.
fn read(bytes: Vec<u8>) -> Vec<Vec<(String, String)>> {
    let reader = SerializedFileReader::new(bytes::Bytes::from(bytes)).expect("written and read in memory");
    let rows = reader.get_row_iter(None).expect("written and read in memory");
    rows.map(|row| {
        row.expect("written and read in memory")
            .get_column_iter()
            .map(|(name, field)| {
                let text = match field {
                    Field::Null => String::new(),
                    Field::Double(value) => value.to_string(),
                    Field::Str(text) => text.clone(),
                    other => other.to_string(),
                };
                (name.clone(), text)
            })
            .collect()
    })
    .collect()
}

#[test]
fn runs_are_published_as_csv() {
    insta::assert_snapshot!(csv(2));
}

#[test]
fn both_formats_hold_the_same_columns_and_the_same_values() {
    let text = csv(5);
    let mut lines = csv::Reader::from_reader(text.as_bytes());
    let head = lines.headers().unwrap().clone();
    assert_eq!(head.iter().collect::<Vec<_>>().join(" "), COLUMNS);
    let rows = read(parquet(5));
    assert_eq!(rows.len(), 5);
    for (line, row) in lines.records().zip(rows) {
        let line = line.unwrap();
        let of_csv: Vec<(&str, &str)> = head.iter().zip(&line).collect();
        let of_parquet: Vec<(&str, &str)> = row
            .iter()
            .map(|(name, text)| (name.as_str(), text.as_str()))
            .collect();
        assert_eq!(of_csv, of_parquet);
    }
}

/// The second run failed; the fifth score of the first is no number.
#[test]
fn what_a_run_does_not_have_is_missing_in_both() {
    let rows = read(parquet(2));
    let empty = |row: &[(String, String)]| -> Vec<String> {
        let empty = row.iter().filter(|(_, text)| text.is_empty());
        empty.map(|(name, _)| name.clone()).collect()
    };
    assert_eq!(empty(&rows[0]).join(" "), "began_h failure hot_dose_used_frac");
    assert_eq!(
        empty(&rows[1]).join(" "),
        "overshoot_k highest_temperature_c time_above_band_h energy_kwh hot_dose_used_frac closings_per_day"
    );
    let text = csv(2);
    let last = text.lines().last().unwrap();
    assert!(last.ends_with(",,,,,,"), "{last}");
}

#[test]
fn the_same_rows_give_the_same_bytes() {
    assert_eq!(parquet(300), parquet(300));
    assert_ne!(parquet(300), parquet(299));
}

#[test]
fn rows_are_written_in_groups_as_they_come() {
    let reader = SerializedFileReader::new(bytes::Bytes::from(parquet(25_000))).unwrap();
    let metadata = reader.metadata();
    let groups: Vec<i64> = metadata
        .row_groups()
        .iter()
        .map(|group| group.num_rows())
        .collect();
    assert_eq!(groups, [10_000, 10_000, 5_000]);
    assert!(
        metadata
            .file_metadata()
            .created_by()
            .unwrap()
            .starts_with("tepid version")
    );
}

#[test]
fn a_file_without_rows_still_has_its_columns() {
    let reader = SerializedFileReader::new(bytes::Bytes::from(parquet(0))).unwrap();
    assert_eq!(reader.metadata().file_metadata().num_rows(), 0);
    assert_eq!(reader.metadata().file_metadata().schema_descr().num_columns(), 14);
    assert_eq!(csv(0).lines().count(), 1);
}

#[test]
fn a_row_with_other_scores_is_refused() {
    let mut row = cells(1).next().unwrap();
    row.scores.pop();
    let mut as_csv = CellsCsv::new(Vec::new(), &CELL_SCORES).unwrap();
    assert!(matches!(
        as_csv.write(&row),
        Err(CellsError::Scores {
            found: 5,
            expected: 6,
            ..
        })
    ));
    let mut as_parquet = CellsParquet::new(Vec::new(), &CELL_SCORES).unwrap();
    assert!(matches!(as_parquet.write(row), Err(CellsError::Scores { .. })));
}
