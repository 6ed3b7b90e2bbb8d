//! Every target of speed beside the figure reached, in one table that says which fall short.
//!
//! `cargo bench --bench targets` measures everything, `cargo bench --bench targets -- script` the groups whose name holds that word. Figures
//! are the quickest of several rounds, since other programs only ever make one slower; ratios are of one run. `docs/performance.md` says
//! where the targets come from and what limits them.
#![expect(clippy::print_stdout, reason = "a bench shows its figures")]

mod files;
mod memory;
mod odds;
mod program;
mod row;
mod scaling;
mod strategies;
mod studies;
mod years;

use row::Row;
use stats_alloc::{INSTRUMENTED_SYSTEM, StatsAlloc};
use std::alloc::System;

/// Counts what `memory.rs` tells.
#[global_allocator]
static ALLOCATOR: &StatsAlloc<System> = &INSTRUMENTED_SYSTEM;

/// How thoroughly to measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Effort {
    /// For figures: `cargo bench`.
    Earnest,
    /// Whether it runs at all: `cargo test --benches`.
    Glance,
}

impl Effort {
    /// One of two values.
    pub(crate) fn choose<T>(self, earnest: T, glance: T) -> T {
        match self {
            Self::Earnest => earnest,
            Self::Glance => glance,
        }
    }
}

/// A group measures and tells its rows.
type Group = fn(Effort) -> Vec<Row>;

const GROUPS: [(&str, Group); 8] = [
    ("tank-years", years::rows),
    ("strategies from outside", strategies::rows),
    ("studies", studies::rows),
    ("odds", odds::rows),
    ("files", files::rows),
    ("memory", memory::rows),
    ("program", program::rows),
    ("scaling", scaling::rows),
];

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let effort = if arguments.iter().any(|argument| argument == "--bench") {
        Effort::Earnest
    } else {
        Effort::Glance
    };
    let words: Vec<&String> = arguments
        .iter()
        .filter(|argument| !argument.starts_with('-'))
        .collect();
    let mut short = Vec::new();
    for (name, group) in GROUPS {
        if !words.is_empty() && !words.iter().any(|word| name.contains(word.as_str())) {
            continue;
        }
        println!("{name}");
        for row in group(effort) {
            println!("  {row}");
            if row.falls_short() {
                short.push(format!("{name}: {}", row.what));
            }
        }
    }
    if short.is_empty() {
        println!("every target is reached");
    } else {
        println!("short of the target: {}", short.join("; "));
    }
}
