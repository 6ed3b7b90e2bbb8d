//! Nothing is lost: whenever the program dies, whatever the folder holds.

use std::io::Write;
use std::process::{Command, Stdio};
use std::time::Duration;

use super::{SMALL, compared, files, folder_with, same_bytes};

/// The program, started and not waited for.
fn started(folder: &std::path::Path, arguments: &[&str]) -> std::process::Child {
    Command::new(env!("CARGO_BIN_EXE_tepid"))
        .current_dir(folder)
        .args(["compare", "study.toml"])
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("starts")
}

#[test]
fn a_study_killed_again_and_again_ends_with_the_bytes_of_an_undisturbed_one() {
    let folder = folder_with(&SMALL.replace("replicates = 3", "replicates = 40"));
    let (code, _, error) = compared(folder.path(), &["--results", "calm"]);
    assert_eq!(code, 0, "{error}");
    let journal = folder.path().join("killed/journal");
    let mut killed_on_the_way = 0;
    for kill in 0..12 {
        let mut child = started(folder.path(), &["--results", "killed"]);
        // Another instant each time, from the start of the program on.
        std::thread::sleep(Duration::from_millis(20 + 37 * kill));
        child.kill().expect("killed");
        child.wait().expect("reaped");
        let kept = std::fs::metadata(&journal).map_or(0, |journal| journal.len());
        killed_on_the_way += u32::from(kept > 100 && !folder.path().join("killed/study.json").exists());
    }
    assert!(killed_on_the_way > 0, "no kill came while cells were run");
    let (code, _, error) = compared(folder.path(), &["--results", "killed"]);
    assert_eq!(code, 0, "{error}");
    same_bytes(&folder.path().join("calm"), &folder.path().join("killed"));
}

#[test]
fn a_torn_tail_of_the_journal_is_dropped_and_run_again() {
    let folder = folder_with(SMALL);
    compared(folder.path(), &["--results", "whole"]);
    compared(folder.path(), &["--results", "torn"]);
    let journal = folder.path().join("torn/journal");
    let bytes = std::fs::read(&journal).expect("journal");
    for (cut, flipped) in [
        (1, None),
        (150, None),
        (bytes.len() / 2, None),
        (0, Some(3)),
        (0, Some(bytes.len() - 300)),
    ] {
        let mut torn = bytes[..bytes.len() - cut].to_vec();
        if let Some(from_the_end) = flipped {
            let at = torn.len() - from_the_end;
            torn[at] ^= 0x40;
        }
        std::fs::write(&journal, torn).expect("written");
        let (code, _, error) = compared(folder.path(), &["--results", "torn"]);
        assert_eq!(code, 0, "{error}");
        same_bytes(&folder.path().join("whole"), &folder.path().join("torn"));
    }
}

#[test]
fn a_finished_study_runs_nothing_when_it_is_asked_for_again() {
    let folder = folder_with(SMALL);
    compared(folder.path(), &["--results", "kept"]);
    let before = files(&folder.path().join("kept"));
    let (code, out, _) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!(code, 0);
    assert!(!out.is_empty());
    assert!(before == files(&folder.path().join("kept")));
}

#[test]
fn results_of_another_study_are_refused_and_left_alone() {
    let folder = folder_with(SMALL);
    compared(folder.path(), &["--results", "kept"]);
    let before = files(&folder.path().join("kept"));
    for other in [
        SMALL.replace("replicates = 3", "replicates = 4"),
        SMALL.replace("\"1 d\"", "\"2 d\""),
        SMALL.replace("\"on-off\"", "{ strategy = \"on-off\", deadband = \"0.2 K\" }"),
        format!("{SMALL}seed = 8\n"),
    ] {
        std::fs::write(folder.path().join("study.toml"), other).expect("written");
        let (code, out, error) = compared(folder.path(), &["--results", "kept"]);
        assert_eq!((code, out.as_str()), (2, ""), "{error}");
        assert!(
            error.contains("another study") && error.contains("kept"),
            "{error}"
        );
        assert!(before == files(&folder.path().join("kept")));
    }
}

#[test]
fn another_gate_or_title_does_not_run_the_cells_again() {
    let folder = folder_with(SMALL);
    compared(folder.path(), &["--results", "kept"]);
    let gate = "title = \"The same\"\n[[gate]]\nscore = \"energy\"\nat_most = \"1 Wh\"\n";
    std::fs::write(folder.path().join("study.toml"), format!("{SMALL}{gate}")).expect("written");
    let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
    assert_eq!(code, 1, "{error}");
}

#[test]
fn a_folder_with_somebody_elses_journal_is_refused() {
    let folder = folder_with(SMALL);
    let kept = folder.path().join("kept");
    std::fs::create_dir(&kept).expect("made");
    for length in [1, 100] {
        std::fs::write(kept.join("journal"), "Monday: fed the fish.\n".repeat(length)).expect("written");
        let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
        assert_eq!(code, 2, "{error}");
        let left = std::fs::read_to_string(kept.join("journal")).expect("journal");
        assert!(left.starts_with("Monday"), "{error}");
    }
}

#[test]
fn of_two_processes_in_one_folder_the_second_refuses() {
    let folder = folder_with(&SMALL.replace("replicates = 3", "replicates = 400"));
    let mut first = started(folder.path(), &["--results", "kept"]);
    let journal = folder.path().join("kept/journal");
    for _ in 0..500 {
        if std::fs::metadata(&journal).is_ok_and(|journal| journal.len() > 0) {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    let (code, _, error) = compared(folder.path(), &["--results", "kept"]);
    first.kill().expect("killed");
    first.wait().expect("reaped");
    assert_eq!(code, 3, "{error}");
    assert!(error.contains("another tepid is at work"), "{error}");
}

#[test]
fn a_folder_that_cannot_be_made_is_told() {
    let folder = folder_with(SMALL);
    std::fs::File::create(folder.path().join("file"))
        .and_then(|mut file| file.write_all(b"not a folder"))
        .expect("written");
    let (code, _, error) = compared(folder.path(), &["--results", "file/inside"]);
    assert_eq!(code, 3, "{error}");
    assert!(error.contains("cannot write"), "{error}");
}

/// A limit on the size of files stands for a full disk: both refuse a write on the way.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_ends_the_study_with_a_reason_and_keeps_what_was_done() {
    let folder = folder_with(&SMALL.replace("replicates = 3", "replicates = 20"));
    compared(folder.path(), &["--results", "calm"]);
    let limited = Command::new("bash")
        .current_dir(folder.path())
        .args([
            "-c",
            "trap '' XFSZ; ulimit -f 4; exec \"$0\" compare study.toml --results full",
        ])
        .arg(env!("CARGO_BIN_EXE_tepid"))
        .output()
        .expect("runs");
    let error = String::from_utf8_lossy(&limited.stderr);
    assert_eq!(limited.status.code(), Some(3), "{error}");
    assert!(error.contains("full/journal"), "{error}");
    let (code, _, error) = compared(folder.path(), &["--results", "full"]);
    assert_eq!(code, 0, "{error}");
    same_bytes(&folder.path().join("calm"), &folder.path().join("full"));
}
