//! `tepid lesson` through the library: what a lesson asks, and what its runs show.
//!
//! Run it with `cargo run --example lesson`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::lesson::given;
use tepid_output::table::{self, LessonDepth};
use tepid_output::wording::Units;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let lesson = tepid_lessons::lesson("big-heater").ok_or("no such lesson")?;
    let given = given(lesson)?;
    print!(
        "{}",
        table::lesson(&given.record, LessonDepth::Answer, Units::Metric)
    );
    Ok(())
}
