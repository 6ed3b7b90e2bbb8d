//! `tepid list` through the library: what there is to choose from.
//!
//! Run it with `cargo run --example list`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

fn main() {
    let listing = tepid::listing::listing();
    for (kind, entries) in [
        ("scenarios", listing.scenarios),
        ("strategies", listing.strategies),
        ("guards", listing.guards),
        ("faults", listing.faults),
    ] {
        println!("{kind}:");
        entries
            .iter()
            .for_each(|entry| println!("  {}: {}", entry.name, entry.summary));
    }
}
