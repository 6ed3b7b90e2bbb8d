//! Ctrl-C: the cells under way are finished, what is there is valid, the same command goes on.

use std::process::{Command, Stdio};
use std::time::Duration;

use super::{SMALL, compared, folder_with, kept, same_bytes};

#[cfg(unix)]
#[test]
fn an_interrupted_study_leaves_a_partial_result_that_says_so_and_goes_on_from_there() {
    let folder = folder_with(&SMALL.replace("replicates = 3", "replicates = 40"));
    let calm = compared(folder.path(), &["--results", "calm"]);
    assert_eq!(calm.0, 0, "{}", calm.2);
    let mut child = Command::new(env!("CARGO_BIN_EXE_tepid"))
        .current_dir(folder.path())
        .args(["compare", "study.toml", "--results", "stopped"])
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("starts");
    let journal = folder.path().join("stopped/journal");
    for _ in 0..1000 {
        if std::fs::metadata(&journal).is_ok_and(|journal| journal.len() > 1000) {
            break;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    let signalled = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(signalled.expect("kill").success());
    let status = child.wait().expect("ends");
    let mut error = String::new();
    std::io::Read::read_to_string(&mut child.stderr.take().expect("stderr"), &mut error).expect("text");
    assert_eq!(status.code(), Some(3), "{error}");
    assert!(
        error.contains("interrupted") && error.contains("goes on from there"),
        "{error}"
    );
    let partial = kept(folder.path(), "stopped");
    assert_eq!(partial["complete"], false);
    let done = partial["cells_done"].as_u64().expect("cells");
    assert!(
        done > 0 && done < partial["cells"].as_u64().expect("cells"),
        "{done}"
    );
    let (code, _, error) = compared(folder.path(), &["--results", "stopped"]);
    assert_eq!(code, 0, "{error}");
    same_bytes(&folder.path().join("calm"), &folder.path().join("stopped"));
}
