//! Any cell of a study runs again by its name, to the bit as it was scored.

use super::{SMALL, compared, folder_with, kept, score};
use crate::bad_input::run_in;

#[test]
fn the_worst_run_of_every_group_runs_again_to_the_bit() {
    let vary = "[[vary]]\npath = \"strategy.setpoint\"\ndistribution = \"uniform\"\nlow = \"25 °C\"\nhigh = \"26 °C\"\n";
    let folder = folder_with(&format!("{SMALL}{vary}"));
    compared(folder.path(), &["--results", "kept"]);
    let result = kept(folder.path(), "kept");
    let groups = result["groups"].as_array().expect("groups");
    assert_eq!(groups.len(), 4);
    for group in groups {
        for (name, field) in [
            ("highest temperature", "highest_c"),
            ("lowest temperature", "lowest_c"),
        ] {
            let worst = &score(group, name)["worst"];
            let cell = worst["cell"].as_str().expect("cell");
            let (code, out, error) = run_in(
                folder.path(),
                &[
                    "run",
                    "study.toml",
                    "--cell",
                    cell,
                    "--format",
                    "json",
                    "--trace",
                    "course.csv",
                ],
            );
            assert_eq!(code, 0, "{error}");
            let run: serde_json::Value = serde_json::from_str(&out).expect("json");
            let again = run["scores"]["tanks"][0][field].as_f64().expect(field);
            let scored = worst["value"].as_f64().expect("value");
            assert_eq!(again.to_bits(), scored.to_bits(), "{cell}: {again} and {scored}");
            let course = std::fs::read_to_string(folder.path().join("course.csv")).expect("course");
            assert!(course.lines().count() > 100);
        }
    }
}

#[test]
fn a_cell_that_is_not_there_is_told_with_the_nearest() {
    let folder = folder_with(SMALL);
    for (cell, says) in [
        (
            "lidded-nano / on-of / none / 0",
            "the nearest is `lidded-nano / on-off / none / 0`",
        ),
        ("lidded-nano / on-off / none / 3", "0 to 2"),
        ("lidded-nano / on-off / none / first", "0 to 2"),
        ("17", "SCENARIO / STRATEGY / CASE / REPLICATE"),
    ] {
        let (code, _, error) = run_in(folder.path(), &["run", "study.toml", "--cell", cell]);
        assert_eq!(code, 2, "{error}");
        assert!(error.contains(says), "`{says}` is not in: {error}");
    }
    let (code, _, error) = run_in(folder.path(), &["run", "lidded-nano", "--cell", "17"]);
    assert_eq!(code, 2, "{error}");
}
