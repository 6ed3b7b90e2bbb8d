//! What the runs of a study show of those that were not run.

use super::{SMALL, compared, folder_with, kept, score};

#[test]
fn replicates_are_added_until_a_mean_is_known_and_no_further() {
    let with = |within: &str| {
        let study = SMALL
            .replace("replicates = 3", "replicates = 64")
            .replace("\"none\", \"one contact welded\"", "\"none\"");
        let folder = folder_with(&format!(
            "{study}enough = {{ score = \"energy\", within = \"{within}\" }}\n"
        ));
        let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
        assert_eq!(code, 0, "{error}");
        let result = kept(folder.path(), "kept");
        assert_eq!(result["complete"], true);
        assert_eq!(result["cells"], result["cells_done"]);
        result["groups"]
            .as_array()
            .expect("groups")
            .iter()
            .map(|group| group["replicates"].as_u64().expect("count"))
            .collect::<Vec<_>>()
    };
    assert_eq!(with("1 kWh"), [8, 8], "known at the first look");
    assert_eq!(with("1e-6 kWh"), [64, 64], "never known, so the budget is spent");
}

#[test]
fn a_difference_is_told_where_there_is_one_and_not_where_there_is_none() {
    let study = SMALL
        .replace("replicates = 3", "replicates = 8")
        .replace(
            "\"proportional\"",
            "{ strategy = \"on-off\", name = \"the same\" }, { strategy = \"on-off\", name = \"narrow\", deadband = \"0.1 K\" }",
        );
    let folder = folder_with(&study);
    compared(folder.path(), &["--results", "kept"]);
    let result = kept(folder.path(), "kept");
    assert_eq!(result["reference"], "on-off");
    let closings = |group: usize| score(&result["groups"][group], "closings per day").clone();
    assert_eq!(closings(0)["difference"], serde_json::Value::Null);
    assert_eq!(closings(1)["difference"]["shown"], "alike");
    assert_eq!(closings(2)["difference"]["shown"], "worse");
    let interval = &closings(2)["difference"]["t_interval"];
    assert!(interval[0].as_f64().expect("low") > 0.0 && interval[1].as_f64() >= interval[0].as_f64());
    assert_eq!(
        (closings(0)["rank"].as_u64(), closings(2)["rank"].as_u64()),
        (Some(1), Some(3))
    );
}

#[test]
fn one_run_shows_no_interval_and_no_rank() {
    let folder = folder_with(&SMALL.replace("replicates = 3", "replicates = 1"));
    compared(folder.path(), &["--results", "kept"]);
    let result = kept(folder.path(), "kept");
    let score = &result["groups"][1]["scores"][0];
    assert_eq!(score["mean_interval"], serde_json::Value::Null);
    assert_eq!(score["rank"], serde_json::Value::Null);
    assert_eq!(score["difference"]["shown"], "too-few-runs");
}
