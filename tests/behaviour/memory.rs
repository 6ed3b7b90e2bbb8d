//! Memory does not grow with a run's length (looked at on Linux, where the kernel tells).

use std::io::{Read, Write};
use std::process::Command;
use std::time::Duration;

/// What a pipe holds on Linux before a writer has to wait, bytes.
const PIPE_HOLDS: usize = 65_536;

/// Peak memory of the program over a run of that length, kB, as the kernel keeps it. The program finds its standard output full when it comes to
/// show the result, so that it waits there to be looked at.
fn peak_kb(duration: &str) -> u64 {
    let (mut reader, mut writer) = std::io::pipe().expect("a pipe");
    writer.write_all(&[b'.'; PIPE_HOLDS]).expect("it holds that much");
    let mut program = Command::new(env!("CARGO_BIN_EXE_tepid"))
        .args([
            "run",
            "lidded-nano",
            "--strategy",
            "on-off",
            "--duration",
            duration,
            "--format",
            "csv",
        ])
        .stdout(writer)
        .spawn()
        .expect("the program starts");
    let process = format!("/proc/{}", program.id());
    // Asleep, and without having computed since the look before.
    let mut seen = String::new();
    loop {
        std::thread::sleep(Duration::from_millis(100));
        assert!(
            program.try_wait().expect("a child of ours").is_none(),
            "it ended unseen"
        );
        let now = std::fs::read_to_string(format!("{process}/stat")).expect("it lives");
        if now == seen && now.contains(") S ") {
            break;
        }
        seen = now;
    }
    let status = std::fs::read_to_string(format!("{process}/status")).expect("it lives");
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let peak_kb = line
        .and_then(|line| line.trim().trim_end_matches(" kB").parse().ok())
        .expect("the kernel keeps it");
    let mut shown = String::new();
    reader.read_to_string(&mut shown).expect("text");
    assert!(program.wait().expect("a child of ours").success());
    assert!(
        shown.contains("scores."),
        "it showed its result after that: {}",
        &shown[PIPE_HOLDS..]
    );
    peak_kb
}

#[test]
fn a_run_of_two_years_takes_no_more_memory_than_one_of_forty_days() {
    let (short_kb, long_kb) = (peak_kb("40 d"), peak_kb("730 d"));
    // One byte kept for each of the 6 million further ticks of 10 s would be 6000 kB.
    assert!(
        long_kb < short_kb + 2000,
        "{short_kb} kB for 40 days, {long_kb} kB for 730"
    );
}
