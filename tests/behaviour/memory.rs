//! Memory does not grow with a run's length (looked at on Linux, where the kernel tells).

use std::process::{Command, Stdio};
use std::time::Duration;

/// Peak memory of the program over a run of that length, kB, as the kernel keeps it while the program lives: looked at every few
/// milliseconds, so that what it does in its last moments may be missed.
fn peak_kb(duration: &str) -> u64 {
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
        .stdout(Stdio::null())
        .spawn()
        .expect("the program starts");
    let status = format!("/proc/{}/status", program.id());
    let mut peak_kb = 0;
    while program.try_wait().expect("a child of ours").is_none() {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let now_kb = line.and_then(|line| line.trim().trim_end_matches(" kB").parse().ok());
        peak_kb = now_kb.unwrap_or(0).max(peak_kb);
        std::thread::sleep(Duration::from_millis(2));
    }
    assert!(program.wait().expect("a child of ours").success());
    assert!(peak_kb > 0, "{status} was never read");
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
