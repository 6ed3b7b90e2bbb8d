//! `tepid live -o` through the library: the whole page as one text.
//!
//! Run it with `cargo run --example live`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let page = tepid_output::live::page(None, tepid_output::wording::Units::Metric)?;
    println!("one page of {} kB, with its model in it", page.len() / 1000);
    Ok(())
}
