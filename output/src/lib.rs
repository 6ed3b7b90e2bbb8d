//! Result records and their writers.
//!
//! The records are plain data and are the published format; a writer is a pure function from a record to text.
//! Nothing here computes physics or scores.
//!
//! - [`records`]: what a comparison, a run, a budget and a listing say; [`schema`]: the same for machines.
//! - [`table`], [`json`], [`csv_text`], [`markdown`], [`junit`]: whole records; [`cells`], [`trace_csv`]: rows as they come.
//! - [`report`]: all about some tanks as one HTML page.
//! - [`handout`]: a lesson to print.
//! - [`live`]: the page that computes in a browser.
//! - [`cautions`]: what must be said beside a result that touches mains, hot glass or stopped water.

pub mod card_html;
pub mod cautions;
pub mod cells;
pub mod csv_text;
mod difference;
pub mod handout;
mod heat_flows;
pub mod json;
pub mod judgement;
pub mod junit;
mod labels;
pub mod live;
pub mod markdown;
pub mod plot;
mod preference;
pub mod records;
pub mod report;
pub mod schema;
pub mod table;
pub mod trace_csv;
mod trade;
pub mod verdict;
pub mod wording;
