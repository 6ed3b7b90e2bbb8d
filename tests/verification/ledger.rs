//! Every check made, for the table at the end.
#![expect(clippy::print_stdout, reason = "the table is what this test says")]

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Mutex;

/// One quantity against one source.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Entry {
    /// Where the outside value comes from.
    pub source: String,
    /// What was compared, and how deviations are stated.
    pub quantity: String,
    /// Over which conditions.
    pub range: String,
    /// Largest deviation allowed.
    pub wanted: String,
    /// Largest deviation found.
    pub reached: String,
}

/// Checks run side by side, so the ledger is sorted when it is shown.
static ENTRIES: Mutex<BTreeSet<Entry>> = Mutex::new(BTreeSet::new());

/// Takes in a check, passed or failed.
pub fn enter(entry: Entry) {
    ENTRIES
        .lock()
        .expect("no check panics while it writes")
        .insert(entry);
}

/// Compares one number with one from outside: fails where they differ by more than `tolerance`, in the unit of both.
#[track_caller]
pub fn compare(quantity: &str, source: &str, range: &str, (ours, theirs): (f64, f64), tolerance: f64) {
    let deviation = (ours - theirs).abs();
    enter(Entry {
        quantity: quantity.to_owned(),
        source: source.to_owned(),
        range: format!("{range}: {} beside {}", short(ours), short(theirs)),
        wanted: short(tolerance),
        reached: short(deviation),
    });
    assert!(
        deviation <= tolerance,
        "{quantity}, {range}: {ours} beside {theirs}, allowed is {tolerance}"
    );
}

/// Three digits, with an exponent where zeros would hide them.
pub fn short(value: f64) -> String {
    let size = value.abs();
    if value == 0.0 {
        "0".to_owned()
    } else if (1e-2..1e5).contains(&size) {
        let places = (2 - size.log10().floor() as i32).max(0) as usize;
        format!("{value:.places$}")
    } else {
        format!("{value:.1e}")
    }
}

/// Shows all checks made.
pub fn print() {
    let entries = ENTRIES.lock().expect("no check panics while it writes");
    let rows: Vec<[&str; 5]> = std::iter::once(["Source", "Quantity", "Wanted", "Reached", "Range"])
        .chain(entries.iter().map(|entry| {
            [
                entry.source.as_str(),
                entry.quantity.as_str(),
                entry.wanted.as_str(),
                entry.reached.as_str(),
                entry.range.as_str(),
            ]
        }))
        .collect();
    let mut widths = [0; 5];
    for row in &rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = cell.chars().count().max(*width);
        }
    }
    println!();
    for row in &rows {
        let line: Vec<String> = row
            .iter()
            .zip(widths)
            .map(|(cell, width)| format!("{cell:<width$}"))
            .collect();
        println!("{}", line.join("  ").trim_end());
    }
    println!("\nSources");
    let tables: BTreeSet<&str> = entries.iter().map(|entry| entry.source.as_str()).collect();
    for name in tables {
        if let Some(head) = head(name) {
            println!("{name}: {head}");
        }
    }
}

/// What a table says of itself in its first line.
fn head(name: &str) -> Option<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/verification/data")
        .join(name);
    let text = std::fs::read_to_string(path).ok()?;
    Some(text.lines().next()?.trim_start_matches("# ").to_owned())
}
