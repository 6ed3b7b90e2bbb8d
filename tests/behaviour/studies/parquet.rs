//! Cells as columns are written by a program built for them; any other leaves no file behind that is of other cells than the rest of its folder.

use super::{SMALL, compared, folder_with};

const FILE: &str = "cells.parquet";

/// `.ci/run` reads the file with what people use; here it is whole, from its first mark to its last.
#[cfg(feature = "parquet")]
#[test]
fn a_program_with_parquet_keeps_every_cell_as_columns_too() {
    let folder = folder_with(SMALL);
    let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!(code, 0, "{error}");
    let columns = std::fs::read(folder.path().join("kept").join(FILE)).expect("written");
    assert!(columns.starts_with(b"PAR1") && columns.ends_with(b"PAR1"));
}

#[cfg(not(feature = "parquet"))]
#[test]
fn a_program_without_parquet_writes_no_columns() {
    let folder = folder_with(SMALL);
    let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!(code, 0, "{error}");
    assert!(folder.path().join("kept/cells.csv").exists());
    assert!(!folder.path().join("kept").join(FILE).exists());
}

#[cfg(not(feature = "parquet"))]
#[test]
fn a_program_without_parquet_runs_nothing_into_a_folder_that_has_columns_and_says_how_to_build_one_with() {
    let folder = folder_with(SMALL);
    let kept = folder.path().join("kept");
    std::fs::create_dir(&kept).expect("made");
    std::fs::write(kept.join(FILE), "of an earlier program").expect("written");
    let (code, out, error) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!((code, out.as_str()), (2, ""), "{error}");
    assert!(error.contains("kept/cells.parquet"), "{error}");
    assert!(
        error.contains("cargo build --release --features parquet"),
        "{error}"
    );
    assert!(!kept.join("journal").exists(), "a run has begun");
    assert_eq!(
        std::fs::read_to_string(kept.join(FILE)).expect("left alone"),
        "of an earlier program"
    );
}
