//! Clause: the scores of every library scenario stay the same bits until somebody means to change them. Watched: a change of the model that nobody
//! noticed; run in debug and in release (`.ci/run`), so both give the same.
//!
//! `UPDATE_GOLDEN=1 cargo test --test determinism golden` writes the file anew; CHANGELOG.md must then name its digest, with what changed and why.

use std::fmt::Write as _;
use std::path::Path;

use sha2::{Digest, Sha256};
use tepid::study::CellScores;
use tepid_scenarios::{SCORES, library};
use tepid_sim::run::{RunRequest, binds, run};
use tepid_sim::time::DAY;

/// Long scenarios are cut to this.
const LONGEST_MS: i64 = 14 * DAY;

/// Scores of each scenario under the first built-in strategy of these that applies.
const STRATEGIES: [&str; 3] = ["pi", "on-off", "fan-cooling"];

fn golden() -> String {
    let mut text = String::from(
        "# Scores of every library scenario, seed 7, to the last bit. Written by UPDATE_GOLDEN=1 (tests/determinism/golden.rs).\n",
    );
    for name in library::names() {
        let mut scenario = tepid_scenarios::scenario(name, &[]).expect("library scenario");
        scenario.duration_ms = scenario.duration_ms.min(LONGEST_MS);
        for strategy in STRATEGIES {
            let recipe = tepid_scenarios::strategy(strategy).expect("strategy").recipe;
            if binds(&scenario, recipe.as_ref()).is_err() {
                continue;
            }
            let scores = run(&RunRequest::new(&scenario, recipe.as_ref(), 7), None).expect("runs");
            let scores = CellScores::healthy(&scores, scenario.duration_ms);
            let _ = writeln!(text, "\n[\"{name} / {strategy}\"]");
            for (score, value) in SCORES.iter().zip(scores.values) {
                if let Some(value) = value {
                    let _ = writeln!(text, "\"{}\" = {value:?}", score.name);
                }
            }
        }
    }
    text
}

fn digest(text: &str) -> String {
    let bytes = Sha256::digest(text.as_bytes());
    bytes.iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn the_scores_of_the_library_are_the_golden_ones_and_the_changelog_knows_them() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = root.join("tests/determinism/golden.toml");
    let now = golden();
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::write(&path, &now).expect("written");
    }
    let kept = std::fs::read_to_string(&path).expect("golden.toml");
    for (kept, now) in kept.lines().zip(now.lines()) {
        assert_eq!(kept, now, "a score changed");
    }
    assert_eq!(kept.lines().count(), now.lines().count());
    let changelog = std::fs::read_to_string(root.join("CHANGELOG.md")).expect("CHANGELOG.md");
    let digest = digest(&kept);
    assert!(
        changelog.contains(&digest),
        "CHANGELOG.md does not name the golden scores {digest}: say there what changed and why"
    );
}
