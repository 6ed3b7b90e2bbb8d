//! The module is built from the sources that are here.

use std::fmt::Write;
use std::path::Path;

use sha2::{Digest, Sha256};

/// Sources that are in the module, as `page/build.sh` lists them.
const SOURCES: [&str; 11] = [
    "lessons/Cargo.toml",
    "lessons/src",
    "page/Cargo.toml",
    "page/src",
    "scenarios/Cargo.toml",
    "scenarios/library",
    "scenarios/src",
    "sim/Cargo.toml",
    "sim/src",
    "strategies/Cargo.toml",
    "strategies/src",
];

fn files(path: &Path, list: &mut Vec<String>, root: &Path) {
    if path.is_dir() {
        for entry in std::fs::read_dir(path).expect("a folder") {
            files(&entry.expect("an entry").path(), list, root);
        }
    } else {
        let name = path.strip_prefix(root).expect("inside").to_str().expect("a name");
        list.push(name.replace('\\', "/"));
    }
}

fn sources_now() -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("a workspace");
    let mut list = Vec::new();
    for source in SOURCES {
        files(&root.join(source), &mut list, root);
    }
    list.sort();
    let mut text = String::new();
    for name in list {
        let digest = Sha256::digest(std::fs::read(root.join(&name)).expect("a file"));
        let hex = digest.iter().fold(String::new(), |mut hex, byte| {
            write!(hex, "{byte:02x}").expect("text");
            hex
        });
        writeln!(text, "{hex}  {name}").expect("text");
    }
    text
}

#[test]
fn the_module_is_built_from_these_sources() {
    let now = sources_now();
    let then = include_str!("../../module/built-from.txt");
    let stale: Vec<&str> = now
        .lines()
        .filter(|line| then.lines().all(|known| known != *line))
        .collect();
    assert!(
        now == then,
        "the module for browsers is of other sources; build it anew: bash page/build.sh\n{}",
        stale.join("\n")
    );
}
