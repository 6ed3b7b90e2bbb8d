//! Validation: what the program says of households, papers and handbooks beside what they say themselves.
//!
//! `cargo test --test validation -- --nocapture every_case` prints the table. Nothing here is tuned: where a figure does not
//! come out, the row says so and why, and fails as soon as it does come out.

mod case;
mod registry;
mod row;

mod alerts;
mod battery;
mod cooling;
mod deadband;
mod duty;
mod evaporation;
mod fan;
mod pane_film;
mod pools;
mod sensing;
mod size;
mod sizing;
mod streams;
mod stuck;
mod water_change;

#[test]
#[expect(clippy::print_stdout, reason = "the table, for who asks with `--nocapture`")]
fn every_case_is_as_stated() {
    let rows = registry::rows();
    println!("{}", registry::table(rows));
    let complaints: Vec<String> = rows
        .iter()
        .filter(|row| !row.is_as_stated())
        .map(row::Row::complaint)
        .collect();
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

/// The page's table lies between these lines.
const FROM: &str = "<!-- the table, as the tests print it -->\n";
const TO: &str = "\n<!-- end of the table -->";

/// Run with `UPDATE_VALIDATION=1` to write the table anew.
#[test]
fn the_page_shows_the_rows_as_they_are() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/validation.md");
    let page = std::fs::read_to_string(&path).expect("docs/validation.md");
    let (before, rest) = page.split_once(FROM).expect("the table's begin");
    let (shown, after) = rest.split_once(TO).expect("the table's end");
    let current = registry::page(registry::rows());
    if std::env::var_os("UPDATE_VALIDATION").is_some() {
        std::fs::write(&path, format!("{before}{FROM}{current}{TO}{after}")).expect("written");
    } else {
        assert!(
            shown == current,
            "docs/validation.md: run with UPDATE_VALIDATION=1"
        );
    }
}
