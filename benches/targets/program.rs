//! The program as it is started.

use std::process::{Command, Stdio};

use crate::Effort;
use crate::row::{Row, quickest_s};

const PROGRAM: &str = env!("CARGO_BIN_EXE_tepid");

/// Targets: see `docs/performance.md`.
const LIST_MS: f64 = 10.0;
const BARE_S: f64 = 2.0;
const SIZE_MB: f64 = 15.0;

/// How long it runs, s.
fn started_s(arguments: &[&str], rounds: u32) -> f64 {
    quickest_s(rounds, || {
        let status = Command::new(PROGRAM)
            .args(arguments)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .expect("the program starts");
        assert!(status.success(), "{status}");
    })
}

pub(crate) fn rows(effort: Effort) -> Vec<Row> {
    let list_ms = started_s(&["list"], effort.choose(30, 1)) * 1e3;
    let mut rows =
        vec![Row::told("`tepid list`", format!("{list_ms:.1} ms")).at_most(list_ms, LIST_MS, "ms")];
    if effort == Effort::Earnest {
        let bare_s = started_s(&[], 3);
        rows.push(
            Row::told(
                "`tepid` alone: the default comparison",
                format!("{bare_s:.2} s on all cores"),
            )
            .at_most(bare_s, BARE_S, "s"),
        );
        let size_mb = std::fs::metadata(PROGRAM).map_or(f64::NAN, |data| data.len() as f64 / 1e6);
        rows.push(
            Row::told("the program's file", format!("{size_mb:.1} MB")).at_most(size_mb, SIZE_MB, "MB"),
        );
    }
    rows
}
