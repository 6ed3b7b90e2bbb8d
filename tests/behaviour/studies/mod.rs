//! Studies as somebody keeps them in a repository: nothing is lost, gates turn red, parts make a whole, cells run again.

mod gates;
mod interrupted;
mod junit;
mod parquet;
mod parts;
mod replay;
mod results;
mod statistics;
mod variants;

use std::path::Path;

use crate::bad_input::run_in;

/// A small tank for a day: cells take milliseconds. Its plug-in relay welded is a disaster.
pub const SMALL: &str = r#"scenarios = ["lidded-nano"]
strategies = ["on-off", "proportional"]
faults = ["none", "one contact welded"]
replicates = 3
duration = "1 d"
"#;

/// A folder with a study in it.
pub fn folder_with(study: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("folder");
    std::fs::write(folder.path().join("study.toml"), study).expect("written");
    folder
}

/// The result of a study as its folder keeps it.
pub fn kept(folder: &Path, results: &str) -> serde_json::Value {
    let text = std::fs::read_to_string(folder.join(results).join("study.json")).expect("study.json");
    serde_json::from_str(&text).expect("json")
}

/// A group's summary of a score.
#[track_caller]
pub fn score<'r>(group: &'r serde_json::Value, name: &str) -> &'r serde_json::Value {
    let scores = group["scores"].as_array().expect("scores");
    scores.iter().find(|score| score["score"] == name).expect(name)
}

/// Runs `tepid compare study.toml` with further arguments, and gives its exit code and what it said on both streams.
#[track_caller]
pub fn compared(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    run_in(folder, &[&["compare", "study.toml"], arguments].concat())
}

/// All files of a folder of results but the lock, by name.
pub fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<(String, Vec<u8>)> = std::fs::read_dir(folder)
        .expect("folder")
        .map(|entry| {
            let entry = entry.expect("entry");
            let name = entry.file_name().to_string_lossy().into_owned();
            (name, std::fs::read(entry.path()).expect("read"))
        })
        .filter(|(name, _)| name != "lock")
        .collect();
    files.sort();
    files
}

/// Two folders of results hold the same bytes.
#[track_caller]
pub fn same_bytes(a: &Path, b: &Path) {
    let (a, b) = (files(a), files(b));
    let names =
        |files: &[(String, Vec<u8>)]| -> Vec<String> { files.iter().map(|(name, _)| name.clone()).collect() };
    assert_eq!(names(&a), names(&b));
    assert!(!a.is_empty());
    for ((name, one), (_, other)) in a.iter().zip(&b) {
        assert!(one == other, "{name} differs");
    }
}
