//! The report as somebody has it who got it by mail and opens it from disk.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

use crate::page::{Page, file_address};

/// A report on one small tank for a day, where little breaks it: to be written quickly.
static REPORT: LazyLock<PathBuf> = LazyLock::new(|| {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("report.html");
    let arguments = "report lidded-nano --strategy on-off --strategy pi --runs 5";
    let written = Command::new(env!("CARGO_BIN_EXE_tepid"))
        .args(arguments.split(' '))
        .args(["--set", "duration=1 d", "--set", "room.temperature.mean=23 °C"])
        .args(["--set", "room.year.coldest=22 °C"])
        .arg("-o")
        .arg(&path)
        .output()
        .expect("tepid runs");
    assert!(
        written.status.success(),
        "{}",
        String::from_utf8_lossy(&written.stderr)
    );
    path
});

fn page() -> Page {
    Page::open_file(&REPORT)
}

/// Its strategies in the order of the table's rows.
fn strategies(page: &mut Page) -> Vec<String> {
    page.texts("table[data-sorts] tbody th")
}

/// Figures of a column, as the sorting has them.
fn column(page: &mut Page, number: usize) -> Vec<f64> {
    let found = page.value(&format!(
        "[...document.querySelectorAll('table[data-sorts] tbody tr')].map(row => Number(row.cells[{number}].dataset.value))"
    ));
    serde_json::from_value(found).expect("figures")
}

/// Nothing to complain of, nothing fetched but the page itself, in light and in dark.
pub fn it_opens_from_disk_without_a_complaint_and_fetches_nothing() {
    let mut page = page();
    assert_eq!(page.complaints(), [""; 0]);
    assert_eq!(page.requests(), [file_address(&REPORT)]);
    assert_eq!(
        page.texts("h1"),
        ["Lidded nano tank, 40 L"],
        "the title of the scenario is that of the page"
    );
    page.screenshot("report-light");
    page.prefer("dark");
    page.screenshot("report-dark");
    assert_eq!(page.complaints(), [""; 0]);
}

/// Up, down and back, with the state said to whoever does not see the arrow.
pub fn a_click_sorts_its_table() {
    let mut page = page();
    let asked_for = strategies(&mut page);
    assert_eq!(asked_for, ["on-off", "pi"]);
    let closings = "table[data-sorts] thead th:nth-child(5)";
    let button = format!("{closings} button");
    page.click(&button);
    let up = column(&mut page, 4);
    assert!(up.is_sorted(), "{up:?}");
    assert_eq!(
        page.value(&format!("document.querySelector('{closings}').ariaSort")),
        "ascending"
    );
    page.click(&button);
    let mut down = column(&mut page, 4);
    assert_eq!(page.texts("#said"), ["Sorted by Closings a day, descending."]);
    down.reverse();
    assert!(down.is_sorted(), "{down:?}");
    assert_ne!(up.first(), up.last(), "a column of equal figures shows nothing");
    page.click(&button);
    assert_eq!(strategies(&mut page), asked_for);
    assert_eq!(page.complaints(), [""; 0]);
}

/// Tab to the head of a column, Enter.
pub fn the_keyboard_alone_sorts_it_too() {
    let mut page = page();
    page.tab_to("table[data-sorts] thead th:nth-child(1) button");
    page.press("Enter");
    assert_eq!(strategies(&mut page), ["on-off", "pi"]);
    page.press(" ");
    assert_eq!(strategies(&mut page), ["pi", "on-off"]);
    assert_eq!(
        page.value("document.activeElement.textContent"),
        "Strategy",
        "the focus stays where it was"
    );
}

/// A telephone and a wide screen.
pub fn it_fits_a_narrow_and_a_wide_screen() {
    let mut page = page();
    for width in [360, 1440] {
        page.resize(width, 800);
        assert_eq!(page.sticks_out_px(), 0, "at {width} pixels");
        page.screenshot(&format!("report-{width}"));
    }
}

/// The keeper's page begins on a sheet of its own, so there are several.
pub fn it_prints_on_several_sheets() {
    let mut page = page();
    let printed = page.printed("report");
    assert!(printed.starts_with(b"%PDF-"));
    let text = String::from_utf8_lossy(&printed);
    let sheets = text.matches("/Type /Page\n").count();
    assert!((4..=20).contains(&sheets), "{sheets} sheets");
}

/// What the keeper gets is one sheet: A4 less margins of 16 mm above and below leaves 265 mm, 1001 CSS pixels.
pub fn the_sheet_for_the_keeper_is_one() {
    let mut page = page();
    page.on_paper();
    let high = page.value("document.querySelector('.customer').getBoundingClientRect().height");
    let high = high.as_f64().expect("a height");
    assert!((300.0..1001.0).contains(&high), "{high} pixels");
    let wide = page.value("document.querySelector('.customer').getBoundingClientRect().width");
    assert!(wide.as_f64() > Some(600.0), "{wide} pixels");
}

/// On a telephone a picture is scrolled rather than shrunk: its smallest words keep nine pixels.
pub fn words_in_pictures_stay_legible_on_a_telephone() {
    let mut page = page();
    page.resize(360, 800);
    let smallest = page.value(
        "Math.min(...[...document.querySelectorAll('svg')].map(svg => 11 * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width))",
    );
    assert!(smallest.as_f64() >= Some(8.99), "{smallest} pixels");
    assert_eq!(page.sticks_out_px(), 0);
}

/// Every picture says what it shows, every table head what it is a head of, every link on the page leads somewhere.
pub fn whoever_does_not_see_it_is_told_the_same() {
    let mut page = page();
    let unnamed = "[...document.querySelectorAll('svg')].filter(svg => \
        !(svg.getAttribute('aria-labelledby') ?? '').split(' ').every(id => (document.getElementById(id)?.textContent ?? '').length > 3)).length";
    assert_eq!(page.value(unnamed), 0);
    assert!(page.value("document.querySelectorAll('svg').length").as_i64() >= Some(8));
    assert_eq!(
        page.value("[...document.querySelectorAll('th')].filter(th => !th.scope).length"),
        0
    );
    let leading_nowhere = "[...document.querySelectorAll('a[href^=\"#\"]')].filter(a => !document.querySelector(a.getAttribute('href'))).length";
    assert_eq!(page.value(leading_nowhere), 0);
    let twice = "(() => { const ids = [...document.querySelectorAll('[id]')].map(one => one.id); return ids.length - new Set(ids).size; })()";
    assert_eq!(page.value(twice), 0);
    assert_eq!(page.value("document.documentElement.lang"), "en");
    let levels =
        page.value("[...document.querySelectorAll('h1,h2,h3,h4')].map(head => Number(head.tagName[1]))");
    let levels: Vec<i64> = serde_json::from_value(levels).expect("levels");
    assert!(
        levels.windows(2).all(|pair| pair[1] - pair[0] <= 1),
        "no level is left out: {levels:?}"
    );
}

/// The page of a study: opens, fits, sorts every one of its tables.
pub fn a_page_of_a_study_opens_fits_and_sorts() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("study-page");
    std::fs::create_dir_all(&folder).expect("a folder");
    let study = "scenarios = [\"lidded-nano\", \"warm-room-fan\"]\nstrategies = [\"on-off\", \"pi\"]\n\
        duration = \"12 h\"\nreplicates = 5\n[[gate]]\nscore = \"hot dose used\"\nat_most = \"1 %\"\n";
    std::fs::write(folder.join("study.toml"), study).expect("a study");
    let written = Command::new(env!("CARGO_BIN_EXE_tepid"))
        .current_dir(&folder)
        .args(["report", "study.toml", "-o", "study.html"])
        .output()
        .expect("tepid runs");
    assert!(
        written.status.success(),
        "{}",
        String::from_utf8_lossy(&written.stderr)
    );
    let path = folder.join("study.html");
    let mut page = Page::open_file(&path);
    assert_eq!(page.requests(), [file_address(&path)]);
    page.click("table[data-sorts] th:nth-child(4) button");
    let first = page.value(
        "[...document.querySelector('table[data-sorts]').tBodies[0].rows].map(row => Number(row.cells[3].dataset.value))",
    );
    let first: Vec<f64> = serde_json::from_value(first).expect("figures");
    assert!(first.is_sorted(), "{first:?}");
    for width in [360, 1440] {
        page.resize(width, 800);
        assert_eq!(page.sticks_out_px(), 0, "at {width} pixels");
        page.screenshot(&format!("study-{width}"));
    }
    assert_eq!(page.complaints(), [""; 0]);
}
