//! Result records and their writers.
//!
//! The records are plain data and are the published format; a writer is a pure function from a record to text.
//! Nothing here computes physics or scores.
//!
//! - [`records`]: what a comparison, a run, a budget and a listing say.
//! - [`cautions`]: what must be said beside a result that touches mains, hot glass or stopped water.

pub mod cautions;
pub mod csv_text;
mod difference;
pub mod json;
pub mod judgement;
pub mod plot;
mod preference;
pub mod records;
pub mod table;
pub mod trace_csv;
pub mod verdict;
pub mod wording;
