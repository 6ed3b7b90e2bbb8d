//! Files stay small and are named for what they hold.

use std::path::{Path, PathBuf};

/// No file longer than this.
const LONGEST: usize = 600;

/// Names that say nothing.
const EMPTY_NAMES: [&str; 7] = ["util", "utils", "helper", "helpers", "common", "misc", "manager"];

/// Every Rust file of the repository.
pub fn rust_files() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    for folder in [
        "sim",
        "strategies",
        "scenarios",
        "lessons",
        "output",
        "src",
        "tests",
        "examples",
        "benches",
    ] {
        collect(&root.join(folder), &mut files);
    }
    assert!(files.len() > 100, "only {} files found", files.len());
    files
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            if path.file_name().is_some_and(|name| name != "target") {
                collect(&path, files);
            }
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
}

#[test]
fn no_file_is_longer_than_six_hundred_lines() {
    for path in rust_files() {
        let lines = std::fs::read_to_string(&path).expect("text").lines().count();
        assert!(lines <= LONGEST, "{} has {lines} lines", path.display());
    }
}

#[test]
fn no_file_has_a_name_that_says_nothing() {
    for path in rust_files() {
        let stem = path
            .file_stem()
            .and_then(|stem| stem.to_str())
            .unwrap_or_default()
            .to_owned();
        assert!(!EMPTY_NAMES.contains(&stem.as_str()), "{}", path.display());
    }
}

#[test]
fn every_verification_stands_in_the_list_that_makes_the_table() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/verification");
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|extension| extension == "rs") {
            let text = std::fs::read_to_string(&path).unwrap();
            assert!(
                !text.contains("#[test]"),
                "{}: this test has its own main; list the check in main.rs",
                path.display()
            );
        }
    }
}
