//! Parts of a study on machines of their own make the whole, and nothing else does.

use std::process::Command;

use super::{SMALL, compared, folder_with, same_bytes};
use crate::bad_input::run_in;

#[test]
fn three_parts_run_at_the_same_time_make_the_bytes_of_the_whole() {
    let folder = folder_with(SMALL);
    compared(folder.path(), &["--results", "whole"]);
    let parts: Vec<_> = ["1/3", "2/3", "3/3"]
        .iter()
        .map(|shard| {
            Command::new(env!("CARGO_BIN_EXE_tepid"))
                .current_dir(folder.path())
                .args(["compare", "study.toml", "--shard", shard, "--results"])
                .arg(shard.replace('/', "-of-"))
                .stdout(std::process::Stdio::null())
                .spawn()
                .expect("starts")
        })
        .collect();
    for mut part in parts {
        assert!(part.wait().expect("ends").success());
    }
    let (code, _, error) = run_in(
        folder.path(),
        &[
            "merge",
            "study.toml",
            "3-of-3",
            "1-of-3",
            "2-of-3",
            "--results",
            "merged",
        ],
    );
    assert_eq!(code, 0, "{error}");
    same_bytes(&folder.path().join("whole"), &folder.path().join("merged"));
}

#[test]
fn gaps_overlaps_and_mixtures_of_parts_are_refused() {
    let folder = folder_with(SMALL);
    for (shard, results) in [
        ("1/2", "first"),
        ("2/2", "second"),
        ("1/2", "again"),
        ("1/3", "third"),
    ] {
        let (code, out, error) = compared(folder.path(), &["--shard", shard, "--results", results]);
        assert_eq!(code, 0, "{error}");
        assert!(out.contains("tepid merge study.toml"), "{out}");
    }
    std::fs::write(folder.path().join("other.toml"), format!("{SMALL}seed = 9\n")).expect("written");
    let (code, _, error) = run_in(
        folder.path(),
        &["compare", "other.toml", "--shard", "2/2", "--results", "foreign"],
    );
    assert_eq!(code, 0, "{error}");
    for (parts, says) in [
        (&["first"][..], "one part is missing of 2: 2"),
        (&["first", "second", "again"], "both are part 1/2"),
        (
            &["first", "third"],
            "is part 1/3, the first one named is one of 2",
        ),
        (&["first", "foreign"], "of another study"),
        (&["first", "nowhere"], "nowhere"),
    ] {
        let arguments = [&["merge", "study.toml"], parts, &["--results", "merged"]].concat();
        let (code, out, error) = run_in(folder.path(), &arguments);
        assert!(code == 2 || code == 3, "{code}: {error}");
        assert!(
            out.is_empty() && error.contains(says),
            "`{says}` is not in: {error}"
        );
    }
}

#[test]
fn a_part_that_lacks_cells_is_refused() {
    let folder = folder_with(SMALL);
    for (shard, results) in [("1/2", "first"), ("2/2", "second")] {
        compared(folder.path(), &["--shard", shard, "--results", results]);
    }
    let journal = folder.path().join("second/journal");
    let bytes = std::fs::read(&journal).expect("journal");
    std::fs::write(&journal, &bytes[..bytes.len() - 40]).expect("written");
    let arguments = ["merge", "study.toml", "first", "second", "--results", "merged"];
    let (code, _, error) = run_in(folder.path(), &arguments);
    assert_eq!(code, 2, "{error}");
    assert!(
        error.contains("part 2/2 is not finished") && !folder.path().join("merged").exists(),
        "{error}"
    );
}

#[test]
fn a_part_says_of_itself_which_it_is_in_a_job_that_numbers_its_parts() {
    let folder = folder_with(SMALL);
    let part = |variables: &[(&str, &str)], shard: &str, results: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_tepid"))
            .current_dir(folder.path())
            .args(["compare", "study.toml", "--shard", shard, "--results", results])
            .envs(variables.iter().copied())
            .output()
            .expect("runs");
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    let indexed = part(&[("JOB_COMPLETION_INDEX", "0")], "auto/2", "a");
    assert!(indexed.starts_with("Part 1 of 2"), "{indexed}");
    let array = [
        ("SLURM_ARRAY_TASK_ID", "8"),
        ("SLURM_ARRAY_TASK_MIN", "7"),
        ("SLURM_ARRAY_TASK_COUNT", "2"),
    ];
    let second = part(&array, "auto", "b");
    assert!(second.starts_with("Part 2 of 2"), "{second}");
    let (code, _, error) = run_in(folder.path(), &["merge", "study.toml", "a", "b"]);
    assert_eq!(code, 0, "{error}");
}

#[test]
fn a_part_is_kept_or_refused_and_a_study_that_waits_for_enough_has_no_parts() {
    let folder = folder_with(SMALL);
    let (code, _, error) = compared(folder.path(), &["--shard", "1/2"]);
    assert_eq!(code, 2);
    assert!(error.contains("--results DIR"), "{error}");
    let (code, _, error) = compared(folder.path(), &["--shard", "3/2", "--results", "a"]);
    assert_eq!(code, 2);
    assert!(error.contains("K from 1 to N"), "{error}");
    let enough = "enough = { score = \"energy\", within = \"1 kWh\" }\n";
    std::fs::write(folder.path().join("study.toml"), format!("{SMALL}{enough}")).expect("written");
    let (code, _, error) = compared(folder.path(), &["--shard", "1/2", "--results", "a"]);
    assert_eq!(code, 2);
    assert!(error.contains("cannot be run in parts"), "{error}");
}
