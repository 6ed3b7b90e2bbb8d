//! Clause: a study in parts gives the bytes of the whole. Watched: replicates numbered anew in each part.

use std::path::PathBuf;
use std::sync::atomic::AtomicBool;

use crate::support::{bytes_of, plan, whole};
use tepid::compare::Silent;
use tepid::study::{Outcome, Shard, StudyRequest, merge, study};

#[test]
fn parts_of_two_and_of_five_give_the_bytes_of_the_whole() {
    let plan = plan(4);
    let folder = tempfile::tempdir().expect("folder");
    let stop = AtomicBool::new(false);
    let request = |name: &str, shard: Shard| (folder.path().join(name), shard);
    let run = |(path, shard): &(PathBuf, Shard)| {
        let request = StudyRequest {
            shard: *shard,
            ..whole(&plan, path, &stop)
        };
        study(&request, &Silent).expect("runs")
    };
    let undivided = request("whole", Shard::WHOLE);
    assert!(matches!(run(&undivided), Outcome::Whole(_)));
    for of in [2, 5] {
        let parts: Vec<(PathBuf, Shard)> = (1..=of)
            .map(|number| request(&format!("{number} of {of}"), Shard { number, of }))
            .collect();
        for part in &parts {
            assert!(matches!(run(part), Outcome::Part { cells_done, cells } if cells_done == cells));
        }
        let merged = folder.path().join(format!("merged of {of}"));
        let request = whole(&plan, &merged, &stop);
        let paths: Vec<PathBuf> = parts.into_iter().rev().map(|(path, _)| path).collect();
        merge(&request, &paths).expect("merges");
        assert!(bytes_of(&merged) == bytes_of(&undivided.0), "{of} parts");
    }
}
