//! Files that a file is made from: its base, weather, scripts, programs, a study's scenarios.

use std::path::{Path, PathBuf};

use toml::Value;

/// Files behind files further than this are none that loading would open.
const DEEPEST: usize = 16;

/// A file, and every file that a text in it names from the file's own folder, and those behind them; itself alone where it is no TOML.
///
/// Whatever is named is taken, so that no key is forgotten: a file too many costs nobody anything, one too few its contents.
#[must_use]
pub fn files_behind(path: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    follow(path, DEEPEST, &mut files);
    files
}

fn follow(path: &Path, deeper: usize, files: &mut Vec<PathBuf>) {
    let Ok(path) = path.canonicalize() else { return };
    if !path.is_file() || files.contains(&path) {
        return;
    }
    files.push(path.clone());
    let (Some(folder), Some(deeper)) = (path.parent(), deeper.checked_sub(1)) else {
        return;
    };
    let text = std::fs::read_to_string(&path).unwrap_or_default();
    if let Ok(table) = text.parse::<toml::Table>() {
        named(&Value::Table(table), &mut |name| {
            follow(&folder.join(name), deeper, files)
        });
    }
}

/// Every text of a tree.
fn named(value: &Value, tell: &mut dyn FnMut(&str)) {
    match value {
        Value::String(text) => tell(text),
        Value::Array(values) => values.iter().for_each(|value| named(value, tell)),
        Value::Table(table) => table.values().for_each(|value| named(value, tell)),
        _ => {}
    }
}
